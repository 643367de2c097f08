package steamleaf.core.interlock;

import steamleaf.core.reading.UnitKind;

/** The rule table. (Rows follow.) */
public enum Rule {
    EMERGENCY_STOP(
            "L-1", UnitKind.LINE, Effect.CONTACTOR_OFF, 0.0, Latch.TRIP, Reason.EMERGENCY_STOP);

    private final String id;
    private final UnitKind scope;
    private final Effect effect;
    private final double delayS;
    private final Latch latch;
    private final Reason reason;

    Rule(String id, UnitKind scope, Effect effect, double delayS, Latch latch, Reason reason) {
        this.id = id;
        this.scope = scope;
        this.effect = effect;
        this.delayS = delayS;
        this.latch = latch;
        this.reason = reason;
    }

    /** Short id, shown to people. */
    public String id() {
        return id;
    }

    /** The kind of unit it watches. */
    public UnitKind scope() {
        return scope;
    }

    public Effect effect() {
        return effect;
    }

    /** How long the cause must stand before the effect. */
    public double delayS() {
        return delayS;
    }

    public Latch latch() {
        return latch;
    }

    public Reason reason() {
        return reason;
    }
}
