package steamleaf.core.alarm;

/** Who finds the condition. */
public enum Source {
    /** A rule of the guard, under the key of its reason. */
    GUARD,
    /** This package, from the readings. */
    READING,
    /** Estimate and batch. */
    BATCH,
    /** The program around the cycle: disk, clock. */
    SHELL
}
