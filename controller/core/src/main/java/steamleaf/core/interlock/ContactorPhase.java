package steamleaf.core.interlock;

/**
 * The contactor's way from open to closed. Before each closing the pulse is withheld until the
 * watchdog relay has dropped, and the coil is driven: the contactor must stay open.
 */
public enum ContactorPhase {
    /** Not wanted, or kept open by a rule. */
    OPEN,
    /** Pulse withheld until the relay must have dropped. */
    RELAY_DROPPING,
    /** Pulse withheld, coil driven: must stay open. */
    PROVING_OPEN,
    /** Pulse back, regular for long enough that the relay can pick up. */
    PULSE_SETTLING,
    /** Somebody must press reset at the machine, so that the relay picks up. */
    AWAITING_RESET,
    /** Coil driven, feedback not seen yet. */
    CLOSING,
    /** Proven closed: heat and steam may follow. */
    CLOSED
}
