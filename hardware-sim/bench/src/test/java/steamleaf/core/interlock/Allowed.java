package steamleaf.core.interlock;

/** Allowed outputs for tests of what stands behind the guard. */
public final class Allowed {
    private Allowed() {}

    /** What the guard would give if it allowed every wish. */
    public static AllowedOutputs everything(WantedOutputs wanted) {
        return new AllowedOutputs(wanted, true);
    }
}
