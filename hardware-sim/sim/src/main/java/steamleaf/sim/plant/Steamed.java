package steamleaf.sim.plant;

/** How steamed leaf looks to the processor. */
public enum Steamed {
    RED_STEMS,
    RIGHT,
    MUSH
}
