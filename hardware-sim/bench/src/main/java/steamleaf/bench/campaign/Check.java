package steamleaf.bench.campaign;

/** What is looked for in every cycle, on the side of the simulator's truth. */
public enum Check {
    HEAT_DOOR_OPEN("heat with the door open"),
    HEAT_WITHOUT_AIR("heat without air moving"),
    HEAT_ABOVE_LIMIT("heat while the air's own probe is above the oven's limit"),
    HEAT_LONG_ABOVE_LIMIT(
            "heat long after the air passed the oven's limit, whatever its probe says"),
    HEAT_ABOVE_HIGH_LIMIT("heat above the independent high limit"),
    HEAT_STOP_PRESSED("heat with the emergency stop pressed or its wire broken"),
    STEAM_STOP_PRESSED("steam with the emergency stop pressed or its wire broken"),
    STEAM_HOOD_OPEN("steam into the open hood"),
    HEAT_AFTER_TRIP("heat after a trip, without a reset at the machine"),
    STEAM_AFTER_TRIP("steam after a trip, without a reset at the machine"),
    BELT_AFTER_TRIP("belt after a trip, without a reset at the machine"),
    HEAT_AFTER_INTERLOCK("heat after an interlock, without a press at the machine"),
    ALARM_MISSING("a demanded alarm was not raised in its time"),
    CANNOT_RUN("everything is mended and a person resets, but the line cannot run again"),
    BROKE_OFF("the run broke off"),
    PROGRAM_FAILED("the controller's cycle failed"),
    PEOPLE_FAILED("the scripted people failed: a mistake of the campaign, not of the controller");

    private final String words;

    Check(String words) {
        this.words = words;
    }

    public String words() {
        return words;
    }
}
