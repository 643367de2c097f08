package steamleaf.core.interlock;

import steamleaf.core.reading.UnitId;

/** What the guard did in a cycle, for the journal. */
public sealed interface GuardEvent {
    /** A rule took effect. */
    record TookEffect(Rule rule, UnitId unit, boolean firstOut) implements GuardEvent {}

    /** The condition went away; the latch may still hold. */
    record Returned(Rule rule, UnitId unit) implements GuardEvent {}

    /** The rule let go: by itself, by a start or by a reset. */
    record LetGo(Rule rule, UnitId unit) implements GuardEvent {}

    /** A reset came while the cause is still there. */
    record ResetRefused(Rule rule, UnitId unit) implements GuardEvent {}

    /** A unit may have heat or steam: the press at the machine was accepted. */
    record Started(UnitId unit) implements GuardEvent {}

    record StartRefused(UnitId unit, Reason reason) implements GuardEvent {}

    /** Heat, steam and belt of a unit went off by a stop. */
    record Stopped(UnitId unit) implements GuardEvent {}

    /** The contactor's way from open to closed moved on. */
    record ContactorMoved(ContactorPhase from, ContactorPhase to) implements GuardEvent {}
}
