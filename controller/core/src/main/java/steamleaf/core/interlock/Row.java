package steamleaf.core.interlock;

import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** One row of the rule table while it is written down. */
final class Row {
    /** Exhausts take turns: no such value is older, with nine channels. */
    static final double EXHAUST_ROUND_S = 1.0;

    /** Whether all is well, said positively: what cannot be proven is not well. */
    @FunctionalInterface
    interface Check {
        boolean good(View view, UnitId unit);
    }

    final String id;
    final UnitKind scope;
    final Effect effect;
    final Latch latch;
    final Reason reason;
    Check check = (view, unit) -> false;
    String cause = "";
    double delayS;
    double windowS;
    String hardWired = "";
    double safetyTimeS = Double.NaN;
    String arithmetic = "";
    String proofTest = "";
    boolean blocksStart = true;

    private Row(String id, UnitKind scope, Effect effect, Latch latch, Reason reason) {
        this.id = id;
        this.scope = scope;
        this.effect = effect;
        this.latch = latch;
        this.reason = reason;
    }

    static Row line(String id, Effect effect, Latch latch, Reason reason) {
        return new Row(id, UnitKind.LINE, effect, latch, reason);
    }

    static Row steamer(String id, Effect effect, Latch latch, Reason reason) {
        return new Row(id, UnitKind.STEAMER, effect, latch, reason);
    }

    static Row oven(String id, Effect effect, Latch latch, Reason reason) {
        return new Row(id, UnitKind.OVEN, effect, latch, reason);
    }

    /** The cause in words, and the condition that must hold for all to be well. */
    Row unless(String why, Check good) {
        cause = why;
        check = good;
        return this;
    }

    /** The cause must stand this long. */
    Row after(double s) {
        delayS = s;
        return this;
    }

    /** The condition itself needs up to this long to show. */
    Row showsWithin(double s) {
        windowS = s;
        return this;
    }

    /** What does the same without the program. */
    Row hardWired(String what) {
        hardWired = what;
        return this;
    }

    /** From the cause to harm if nothing acted. */
    Row safetyTime(double s, String why) {
        safetyTimeS = s;
        arithmetic = why;
        return this;
    }

    /** Nothing happens against a clock. */
    Row notTimed(String why) {
        arithmetic = why;
        return this;
    }

    Row provenBy(String test) {
        proofTest = test;
        return this;
    }

    /** Comes and goes in normal running, so a start is accepted meanwhile. */
    Row startsAnyway() {
        blocksStart = false;
        return this;
    }
}
