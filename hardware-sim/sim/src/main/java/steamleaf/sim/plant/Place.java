package steamleaf.sim.plant;

/** Where a charge is. */
public enum Place {
    /** Before, on or behind the belt of the steamer. */
    STEAMER,
    /** Spread on the bench in room air. */
    BENCH,
    /** On the cooling table, fan running. */
    COOLING_TABLE,
    /** Heaped and covered. */
    RESTING,
    ROLLING,
    SHAPING,
    OVEN,
    /** Sealed; it has left the line. */
    PACKED,
    /** Merged into another charge. */
    MERGED
}
