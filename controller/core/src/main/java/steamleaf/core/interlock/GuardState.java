package steamleaf.core.interlock;

import java.util.List;
import steamleaf.core.reading.UnitId;

/** What the guard remembers from cycle to cycle: a value. */
public final class GuardState {
    private GuardState() {}

    /**
     * What survives a restart: trips stay tripped, counters go on. Everything else starts at its
     * worst case: nothing started, hood unvented, contactor to be proven.
     */
    public record Kept(List<KeptTrip> trips, List<KeptOven> ovens) {
        public static final Kept NOTHING = new Kept(List.of(), List.of());
    }

    /**
     * @param rule the rule's id
     */
    public record KeptTrip(String rule, UnitId unit, boolean firstOut, long sinceCycle) {}

    /**
     * @param heatOnS heater on in this charge
     * @param doorSeenOpen the door was seen open since the last charge began
     */
    public record KeptOven(long charge, double heatOnS, boolean doorSeenOpen) {}

    /**
     * The state with which a controller starts.
     *
     * @param restartsWithinHour starts of the controller in the hour before this one; when the wall
     *     clock is doubtful, count every start that may have been
     */
    public static GuardState started(GuardSettings settings, Kept kept, int restartsWithinHour) {
        return new GuardState();
    }

    public Kept kept() {
        return Kept.NOTHING;
    }

    /** All rules in effect or latched, first cause first. */
    public List<Cause> causes() {
        return List.of();
    }

    /** Causes that take something from this unit: its own and the line's. */
    public List<Cause> causes(UnitId unit) {
        return List.of();
    }

    /** A trip is latched that takes heat or steam from this unit. */
    public boolean tripped(UnitId unit) {
        return false;
    }

    /** Every precondition of heat (oven) or steam (steamer), good or not. */
    public List<Permissive> permissives(UnitId unit) {
        return List.of();
    }

    /** A start of this unit would be accepted now. */
    public boolean readyToStart(UnitId unit) {
        return false;
    }

    /** Heat may be on in this cycle if wanted. */
    public boolean heatAllowed(UnitId oven) {
        return false;
    }

    /** Steam may be on in this cycle if wanted. */
    public boolean steamAllowed() {
        return false;
    }

    public ContactorPhase contactor() {
        return ContactorPhase.OPEN;
    }

    /** People must leave: smoke or a fire-like rise. */
    public boolean evacuate() {
        return false;
    }

    /** The hood may be unlocked when asked: vented and cool. */
    public boolean hoodMayUnlock() {
        return false;
    }
}
