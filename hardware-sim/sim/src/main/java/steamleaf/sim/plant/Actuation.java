package steamleaf.sim.plant;

/**
 * What the terminals of the line carry during one plant step: levels as they stand at the screws,
 * whoever or whatever put them there. One mutable instance per line, written by the board and read
 * by the plant.
 *
 * <p>Index {@code i} of an array is oven {@code i + 1}. Levels are electrical: whether heat follows
 * is decided by the contactor, the hard-wired limits and the plant's own faults.
 */
public final class Actuation {
    /** Coil of the main contactor (heaters and steam, not the fans). */
    public boolean contactorCoil;

    /** Edges seen on the watchdog line during this step. */
    public int watchdogEdges;

    public boolean steamValve;
    public boolean secondSteamValve;
    public boolean beltRun;

    /** Belt speed command, 0 to 1 of full speed. */
    public double beltSpeed;

    public boolean extractor;
    public boolean hoodUnlock;
    public boolean horn;
    public boolean lampRed;
    public boolean lampYellow;
    public boolean lampGreen;
    public boolean lampBlue;

    public final boolean[] heater;
    public final boolean[] fan;

    /** Exhaust damper command, 0 (closed, as the spring leaves it) to 1 (open). */
    public final double[] damper;

    public Actuation(int ovens) {
        heater = new boolean[ovens];
        fan = new boolean[ovens];
        damper = new double[ovens];
    }
}
