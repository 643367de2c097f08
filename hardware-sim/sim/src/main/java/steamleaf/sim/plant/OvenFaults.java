package steamleaf.sim.plant;

/** What may be broken at one oven; every field is healthy as built. */
public final class OvenFaults {
    /** The heater relay conducts although it is not driven. */
    public boolean heaterRelayStuckOn;

    /** The heater relay never conducts. */
    public boolean heaterRelayStuckOff;

    /** Share of the heating elements burnt out, 0 to 1. */
    public double elementBurnt;

    /** Somebody holds the door open, whatever others do with it. */
    public boolean doorHeldOpen;

    /** The fan does not turn. */
    public boolean fanFailed;

    /** The fan turns although it is not driven. */
    public boolean fanStuckOn;

    /** Share of the air flow that the filter takes, besides what the settings say, 0 to 1. */
    public double filterBlocked;

    /** Position at which the damper is stuck, 0 to 1; not-a-number while it is free. */
    public double damperStuckAt = Double.NaN;

    /** The door's switch says closed whatever the door does. */
    public boolean doorSwitchStuckClosed;

    /** The airflow switch says proven whatever the air does. */
    public boolean airflowSwitchStuckOn;

    /** The high limit neither sees heat nor opens. */
    public boolean highLimitDead;

    /** Current through the heater is never reported. */
    public boolean currentSensorDead;

    /** The air element hangs in the room. */
    public boolean airProbeFellOut;

    /** The exhaust's element hangs in the room. */
    public boolean exhaustProbeFellOut;

    /**
     * Something burns inside: heat at nominal fresh air, W; less air, less heat, never less than a
     * tenth.
     */
    public double fireW;

    public double airDriftK;
    public double exhaustDriftK;

    /** Added to the relative humidity, 0 to 1. */
    public double exhaustRhDrift;

    public double scaleDriftKg;

    void copyFrom(OvenFaults other) {
        heaterRelayStuckOn = other.heaterRelayStuckOn;
        heaterRelayStuckOff = other.heaterRelayStuckOff;
        elementBurnt = other.elementBurnt;
        doorHeldOpen = other.doorHeldOpen;
        fanFailed = other.fanFailed;
        fanStuckOn = other.fanStuckOn;
        filterBlocked = other.filterBlocked;
        damperStuckAt = other.damperStuckAt;
        doorSwitchStuckClosed = other.doorSwitchStuckClosed;
        airflowSwitchStuckOn = other.airflowSwitchStuckOn;
        highLimitDead = other.highLimitDead;
        currentSensorDead = other.currentSensorDead;
        airProbeFellOut = other.airProbeFellOut;
        exhaustProbeFellOut = other.exhaustProbeFellOut;
        fireW = other.fireW;
        airDriftK = other.airDriftK;
        exhaustDriftK = other.exhaustDriftK;
        exhaustRhDrift = other.exhaustRhDrift;
        scaleDriftKg = other.scaleDriftKg;
    }
}
