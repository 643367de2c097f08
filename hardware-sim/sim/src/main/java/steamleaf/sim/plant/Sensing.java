package steamleaf.sim.plant;

/**
 * What the sensing elements of the line are exposed to after a plant step: true physical values at
 * the place of each element, before any chip. Sensor bias, noise and lag of the element itself are
 * already in; quantisation, conversion time and bus faults are the chips' business. One mutable
 * instance per line, written by the plant and read by the board.
 *
 * <p>Index {@code i} of an array is oven {@code i + 1}. Booleans are contact states, {@code true}
 * meaning closed circuit.
 */
public final class Sensing {
    public boolean emergencyStopHealthy = true;
    public boolean permitKeyOn;
    public boolean startButton;
    public boolean resetButton;
    public boolean confirmButton;
    public boolean silenceButton;
    public boolean contactorClosed;
    public boolean supplyHealthy = true;
    public boolean smokeHealthy = true;
    public boolean hoodClosed = true;
    public boolean hoodLocked = true;
    public boolean steamAvailable = true;
    public boolean overPressureHealthy = true;
    public boolean extractorProven;

    /** Level of the belt's pulse contact; one pulse (two changes) per 20 mm of belt. */
    public boolean beltPulse;

    /**
     * The watchdog relay holds; false means dropped: contactor coil and the dampers' output enable
     * are dead.
     */
    public boolean watchdogRelayHolds;

    public double chestAC;
    public double chestBC;
    public double roomC;

    /** Relative humidity, 0 to 1. */
    public double roomRh;

    public double roomPressureKPa;

    public final double[] airC;
    public final double[] exhaustC;

    /** Relative humidity at the exhaust probe, 0 to 1. */
    public final double[] exhaustRh;

    /** Load on the tray scale, trays included, kg. */
    public final double[] scaleKg;

    public final boolean[] doorClosed;
    public final boolean[] airflowProven;
    public final boolean[] highLimitHealthy;
    public final boolean[] heaterCurrent;

    public Sensing(int ovens) {
        airC = new double[ovens];
        exhaustC = new double[ovens];
        exhaustRh = new double[ovens];
        scaleKg = new double[ovens];
        doorClosed = new boolean[ovens];
        airflowProven = new boolean[ovens];
        highLimitHealthy = new boolean[ovens];
        heaterCurrent = new boolean[ovens];
    }

    void copyFrom(Sensing other) {
        emergencyStopHealthy = other.emergencyStopHealthy;
        permitKeyOn = other.permitKeyOn;
        startButton = other.startButton;
        resetButton = other.resetButton;
        confirmButton = other.confirmButton;
        silenceButton = other.silenceButton;
        contactorClosed = other.contactorClosed;
        supplyHealthy = other.supplyHealthy;
        smokeHealthy = other.smokeHealthy;
        hoodClosed = other.hoodClosed;
        hoodLocked = other.hoodLocked;
        steamAvailable = other.steamAvailable;
        overPressureHealthy = other.overPressureHealthy;
        extractorProven = other.extractorProven;
        beltPulse = other.beltPulse;
        watchdogRelayHolds = other.watchdogRelayHolds;
        chestAC = other.chestAC;
        chestBC = other.chestBC;
        roomC = other.roomC;
        roomRh = other.roomRh;
        roomPressureKPa = other.roomPressureKPa;
        System.arraycopy(other.airC, 0, airC, 0, airC.length);
        System.arraycopy(other.exhaustC, 0, exhaustC, 0, exhaustC.length);
        System.arraycopy(other.exhaustRh, 0, exhaustRh, 0, exhaustRh.length);
        System.arraycopy(other.scaleKg, 0, scaleKg, 0, scaleKg.length);
        System.arraycopy(other.doorClosed, 0, doorClosed, 0, doorClosed.length);
        System.arraycopy(other.airflowProven, 0, airflowProven, 0, airflowProven.length);
        System.arraycopy(other.highLimitHealthy, 0, highLimitHealthy, 0, highLimitHealthy.length);
        System.arraycopy(other.heaterCurrent, 0, heaterCurrent, 0, heaterCurrent.length);
    }
}
