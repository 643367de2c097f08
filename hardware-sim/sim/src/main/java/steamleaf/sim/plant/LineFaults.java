package steamleaf.sim.plant;

/** What may be broken at the steamer and at the line; every field is healthy as built. */
public final class LineFaults {
    public boolean contactorWelded;

    /** The contactor never pulls in. */
    public boolean contactorDead;

    /** The contactor's feedback contact stays as it is. */
    public boolean contactorFeedbackFrozen;

    /** The watchdog relay holds whatever happens. */
    public boolean watchdogRelayStuck;

    /** Mains gone: no heat, fans, steam, belt, contactor or relay. */
    public boolean supplyLost;

    /** Voltage relative to the voltage in the settings; 1 is healthy. */
    public double supplySag = 1;

    /** The emergency stop's wire is broken: reads pressed, and breaks the contactor's circuit. */
    public boolean emergencyStopWireBroken;

    public boolean smoke;

    /** Somebody presses the emergency stop. */
    public boolean emergencyStopPressed;

    /** Somebody has taken the permit key away. */
    public boolean keyTaken;

    /** Somebody lifts the hood as soon as the bolt lets go. */
    public boolean hoodPulled;

    /** The clock on the wall, from which times are written, is ahead by this. */
    public double clockAheadS;

    public boolean steamValveStuckOpen;
    public boolean secondSteamValveStuckOpen;
    public boolean steamValveStuckClosed;
    public boolean secondSteamValveStuckClosed;

    /** The boiler gives no steam (low water, no fuel). */
    public boolean steamFailed;

    /** Share of the chest's openings that is blocked, 0 to 1. */
    public double openingBlocked;

    public boolean beltJammed;

    /** The belt turns but its pulse contact does not. */
    public boolean beltPulseDead;

    public boolean extractorFailed;

    /** The hood's switch says closed whatever the hood does. */
    public boolean hoodSwitchStuckClosed;

    /** The bolt does not catch. */
    public boolean boltStuckOpen;

    /** The bolt does not release. */
    public boolean boltStuckLocked;

    /** The over-pressure switch neither opens nor breaks the steam. */
    public boolean overPressureSwitchDead;

    /** The chest's first element hangs in the room. */
    public boolean chestAFellOut;

    /** The chest's second element hangs in the room. */
    public boolean chestBFellOut;

    public double chestADriftK;
    public double chestBDriftK;
    public double roomDriftK;

    /** Added to the relative humidity, 0 to 1. */
    public double roomRhDrift;

    public double pressureDriftKPa;

    void copyFrom(LineFaults other) {
        contactorWelded = other.contactorWelded;
        contactorDead = other.contactorDead;
        contactorFeedbackFrozen = other.contactorFeedbackFrozen;
        watchdogRelayStuck = other.watchdogRelayStuck;
        supplyLost = other.supplyLost;
        supplySag = other.supplySag;
        emergencyStopWireBroken = other.emergencyStopWireBroken;
        smoke = other.smoke;
        emergencyStopPressed = other.emergencyStopPressed;
        keyTaken = other.keyTaken;
        hoodPulled = other.hoodPulled;
        clockAheadS = other.clockAheadS;
        steamValveStuckOpen = other.steamValveStuckOpen;
        secondSteamValveStuckOpen = other.secondSteamValveStuckOpen;
        steamValveStuckClosed = other.steamValveStuckClosed;
        secondSteamValveStuckClosed = other.secondSteamValveStuckClosed;
        steamFailed = other.steamFailed;
        openingBlocked = other.openingBlocked;
        beltJammed = other.beltJammed;
        beltPulseDead = other.beltPulseDead;
        extractorFailed = other.extractorFailed;
        hoodSwitchStuckClosed = other.hoodSwitchStuckClosed;
        boltStuckOpen = other.boltStuckOpen;
        boltStuckLocked = other.boltStuckLocked;
        overPressureSwitchDead = other.overPressureSwitchDead;
        chestAFellOut = other.chestAFellOut;
        chestBFellOut = other.chestBFellOut;
        chestADriftK = other.chestADriftK;
        chestBDriftK = other.chestBDriftK;
        roomDriftK = other.roomDriftK;
        roomRhDrift = other.roomRhDrift;
        pressureDriftKPa = other.pressureDriftKPa;
    }
}
