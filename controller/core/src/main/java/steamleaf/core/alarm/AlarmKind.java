package steamleaf.core.alarm;

import static steamleaf.core.alarm.Priority.HIGH;
import static steamleaf.core.alarm.Priority.LOW;
import static steamleaf.core.alarm.Priority.MEDIUM;
import static steamleaf.core.alarm.Source.BATCH;
import static steamleaf.core.alarm.Source.GUARD;
import static steamleaf.core.alarm.Source.READING;
import static steamleaf.core.alarm.Source.SHELL;
import static steamleaf.core.reading.UnitKind.LINE;
import static steamleaf.core.reading.UnitKind.OVEN;
import static steamleaf.core.reading.UnitKind.STEAMER;

import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitKind;

/**
 * The alarm table: the single truth about what is told to people. {@code docs/alarms.md} is made
 * from it. The order is that in which alarms of the same cycle are shown, likely causes first. The
 * sentences in both languages stand in the contract under {@link #key()} and {@code key.do}.
 *
 * <p>Priorities, delays and times to respond are engineering choices.
 */
public enum AlarmKind {
    // trips and interlocks of the guard, under the key of their reason
    SMOKE(
            new Def(HIGH, GUARD, LINE)
                    .trip()
                    .evacuates()
                    .respond(60)
                    .means("people breathe smoke, the fire grows")),
    FIRE_LIKE(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .evacuates()
                    .respond(60)
                    .means("an open door feeds the fire")),
    EMERGENCY_STOP(
            new Def(HIGH, GUARD, LINE).trip().respond(60).means("somebody may be in danger")),
    CYCLE_LATE(
            new Def(HIGH, GUARD, LINE)
                    .trip()
                    .respond(300)
                    .means("the program cannot be relied on; wet leaf waits in warm ovens")),
    CONTACTOR_WELDED(
            new Def(HIGH, GUARD, LINE)
                    .trip()
                    .respond(120)
                    .means("one more fault and heat cannot be taken away")),
    CONTACTOR_NOT_CLOSING(
            new Def(MEDIUM, GUARD, LINE).trip().respond(600).means("no heat, no steam")),
    UNDERVOLTAGE(
            new Def(MEDIUM, GUARD, LINE)
                    .trip()
                    .respond(600)
                    .means("a chattering contactor welds; wet leaf waits")),
    RESTARTED_TOO_OFTEN(
            new Def(MEDIUM, GUARD, LINE)
                    .trip()
                    .respond(1_800)
                    .means("the controller cannot be relied on")),
    OVER_PRESSURE(
            new Def(HIGH, GUARD, STEAMER)
                    .trip()
                    .respond(120)
                    .means("the relief valve lifts, live steam in the room")),
    CHEST_NOT_COOLING(
            new Def(HIGH, GUARD, STEAMER)
                    .trip()
                    .respond(300)
                    .means("steam still enters the chest; the hood stays locked")),
    BELT_STOPPED(
            new Def(HIGH, GUARD, STEAMER)
                    .trip()
                    .respond(120)
                    .means("leaf lies in the steam and goes to mush")),
    CHEST_SENSOR_BAD(
            new Def(MEDIUM, GUARD, STEAMER)
                    .trip()
                    .respond(600)
                    .means("no steam; the dose is unknown")),
    CHEST_SENSORS_DISAGREE(
            new Def(MEDIUM, GUARD, STEAMER)
                    .trip()
                    .respond(600)
                    .means("no steam; the dose is unknown")),
    CURRENT_WITH_HEAT_OFF(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(120)
                    .means(
                            "the heater's relay is stuck on: only the contactor holds the heat off")),
    RISING_WITH_HEAT_OFF(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(120)
                    .means("heat comes from where none was asked for, or probes are swapped")),
    HIGH_LIMIT_OPEN(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("the oven was dangerously hot, or its limit is broken")),
    AIR_ABOVE_OVEN_LIMIT(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("leaf scorches, parts age, dust may catch fire")),
    EXHAUST_ABOVE_LIMIT(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("leaf scorches, dust may catch fire")),
    RISING_TOO_FAST(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(120)
                    .means("a fire, or a probe that cannot be believed")),
    AIR_SENSOR_BAD(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("no heat; nobody sees whether the oven is too hot; wet leaf waits")),
    AIRFLOW_NOT_PROVEN(
            new Def(HIGH, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("no heat; wet leaf stews in still warmth")),
    AIRFLOW_STUCK_PROVEN(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(1_800)
                    .means("a failed fan would not be noticed, so no heat")),
    AIR_ABOVE_RECIPE_LIMIT(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(300)
                    .means("the leaf gets too warm: stewed smell, brown")),
    AIR_FROZEN(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(600)
                    .means("no heat; the air's temperature is unknown")),
    AIR_DISAGREES_EXHAUST(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(600)
                    .means("no heat; the air's temperature is unknown")),
    HEAT_WITHOUT_RISE(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(600)
                    .means("no heat; the probe may lie outside the oven")),
    HEATED_TOO_LONG(
            new Def(MEDIUM, GUARD, OVEN)
                    .trip()
                    .respond(600)
                    .means("over-dried leaf is dusty and can smoulder")),
    HOOD_OPEN(
            new Def(MEDIUM, GUARD, STEAMER)
                    .onlyInUse()
                    .respond(300)
                    .means("no steam; leaf on the belt is steamed unevenly")),
    HOOD_NOT_LOCKED(
            new Def(MEDIUM, GUARD, STEAMER)
                    .onlyInUse()
                    .hiddenBy("HOOD_OPEN")
                    .respond(300)
                    .means("no steam; leaf on the belt is steamed unevenly")),
    NO_STEAM_AVAILABLE(
            new Def(MEDIUM, GUARD, STEAMER)
                    .onlyInUse()
                    .on(5)
                    .respond(300)
                    .means("leaf waits and warms; enzymes go on")),
    NO_HEATER_CURRENT(
            new Def(MEDIUM, GUARD, OVEN)
                    .hiddenBy("HIGH_LIMIT_OPEN")
                    .on(5)
                    .off(30)
                    .respond(600)
                    .means("the oven cools; wet leaf waits")),
    EXTRACTOR_NOT_PROVEN(
            new Def(MEDIUM, GUARD, STEAMER)
                    .respond(600)
                    .means("steam stays in the room; the hood stays locked")),
    EXTRACTOR_STUCK_PROVEN(
            new Def(LOW, GUARD, STEAMER)
                    .respond(3_600)
                    .means("a failed extractor would not be noticed")),
    CHEST_ABOVE_BOILING(
            new Def(LOW, GUARD, STEAMER)
                    .off(10)
                    .respond(1_800)
                    .means("superheated steam, a wrong sensor or a wrong barometer")),
    DOOR_OPEN(
            new Def(LOW, GUARD, OVEN)
                    .onlyInUse()
                    .on(300)
                    .respond(600)
                    .means("the oven cools; leaf inside takes up water")),
    DOOR_NOT_SEEN_OPEN(
            new Def(LOW, GUARD, OVEN)
                    .onlyInUse()
                    .on(60)
                    .respond(1_800)
                    .means("heat waits: the door contact may be stuck")),

    // sensors that are no trip
    EXHAUST_SENSOR_BAD(
            new Def(MEDIUM, READING, OVEN)
                    .quantities(Quantity.EXHAUST_C)
                    .on(5)
                    .off(30)
                    .respond(600)
                    .means("heat stops ten minutes after; the moisture estimate widens")),
    EXHAUST_HUMIDITY_BAD(
            new Def(LOW, READING, OVEN)
                    .quantities(Quantity.EXHAUST_RH)
                    .hiddenBy("EXHAUST_SENSOR_BAD")
                    .on(30)
                    .off(30)
                    .respond(1_800)
                    .means("the moisture estimate widens")),
    SCALE_BAD(
            new Def(LOW, READING, OVEN)
                    .quantities(Quantity.SCALE_KG)
                    .on(30)
                    .off(30)
                    .respond(1_800)
                    .means("the moisture estimate widens")),
    PRESSURE_SENSOR_BAD(
            new Def(MEDIUM, READING, LINE)
                    .quantities(Quantity.ROOM_PRESSURE_KPA)
                    .on(30)
                    .off(30)
                    .respond(600)
                    .means("no steam: the boiling point is not known")),
    ROOM_SENSOR_BAD(
            new Def(LOW, READING, LINE)
                    .quantities(Quantity.ROOM_C, Quantity.ROOM_RH)
                    .on(30)
                    .off(30)
                    .respond(3_600)
                    .means("the moisture estimate widens")),
    BUTTON_STUCK(
            new Def(LOW, READING, LINE)
                    .pressed(
                            Quantity.START_BUTTON,
                            Quantity.RESET_BUTTON,
                            Quantity.CONFIRM_BUTTON,
                            Quantity.SILENCE_BUTTON)
                    .on(30)
                    .respond(1_800)
                    .means("that button does nothing until it has been released")),
    ROOM_WARM(
            new Def(LOW, READING, LINE)
                    .above(Quantity.ROOM_C, 30.0, 1.0)
                    .on(60)
                    .off(60)
                    .respond(1_800)
                    .means("a heap of fresh leaf warms and reddens")),

    // leaf and batch
    LEAF_TOO_WARM(
            new Def(MEDIUM, BATCH, OVEN)
                    .on(60)
                    .off(60)
                    .respond(300)
                    .means("wet leaf that is too warm smells stewed and goes brown")),
    STEAM_FLOOR_MISSED(
            new Def(MEDIUM, BATCH, STEAMER)
                    .respond(300)
                    .means("enzymes go on: the leaf reddens while it dries")),
    HELD_TOO_LONG(
            new Def(MEDIUM, BATCH, OVEN, STEAMER)
                    .respond(600)
                    .means("held leaf sours or takes up water")),
    NOBODY_ANSWERED(
            new Def(MEDIUM, BATCH, STEAMER, OVEN)
                    .respond(600)
                    .means("the batch waits or is held, and its leaf spoils")),
    TARGET_OUT_OF_REACH(
            new Def(MEDIUM, BATCH, OVEN)
                    .on(60)
                    .off(60)
                    .respond(1_800)
                    .means("with this air the leaf never gets dry enough")),
    MOISTURE_UNSURE(
            new Def(LOW, BATCH, OVEN)
                    .on(60)
                    .off(60)
                    .respond(1_800)
                    .means("the batch may end outside 4 to 7 %")),
    FRESHNESS_LIMIT(
            new Def(MEDIUM, BATCH, LINE).respond(600).means("the leaf is too old for a clean tea")),
    FRESHNESS_WARNING(
            new Def(LOW, BATCH, LINE)
                    .hiddenBy("FRESHNESS_LIMIT")
                    .respond(1_800)
                    .means("the leaf reddens while it waits")),

    // the controller itself
    DISK_FULL(
            new Def(MEDIUM, SHELL, LINE)
                    .respond(3_600)
                    .means("curves are thinned out, then lost; events last")),
    POSITIONS_NOT_TAKEN(
            new Def(MEDIUM, SHELL, LINE)
                    .on(5)
                    .off(5)
                    .respond(1_800)
                    .means("dampers and belt speed are not what they should be")),
    CLOCK_DOUBTFUL(
            new Def(LOW, SHELL, LINE)
                    .respond(3_600)
                    .means("times in the record are marked doubtful"));

    private static final Map<String, AlarmKind> BY_KEY = new HashMap<>();

    static {
        for (AlarmKind kind : values()) {
            BY_KEY.put(kind.key(), kind);
        }
    }

    private final Def def;
    private final String key = name().toLowerCase(Locale.ROOT).replace('_', '-');

    AlarmKind(Def def) {
        this.def = def;
    }

    /** The alarm of a guard's reason, null when that reason rings no alarm. */
    public static @Nullable AlarmKind of(String reasonKey) {
        return BY_KEY.get(reasonKey);
    }

    /** Key of the sentences in the contract's table of texts. */
    public String key() {
        return key;
    }

    /** The kinds of units that have this alarm. */
    public Set<UnitKind> scope() {
        return def.scope;
    }

    public Priority priority() {
        return def.priority;
    }

    public Source source() {
        return def.source;
    }

    /** Alarm of a trip: stands until the trip is reset, never shelved, hidden or out of service. */
    public boolean isTrip() {
        return def.trip;
    }

    /** People must leave. */
    public boolean isEvacuation() {
        return def.evacuates;
    }

    /** Suppressed by design while its unit is not in use. */
    public boolean isOnlyInUse() {
        return def.onlyInUse;
    }

    /** Suppressed by design while this alarm of the same unit stands, which says it already. */
    public @Nullable AlarmKind hiddenBy() {
        String name = def.hiddenBy;
        return name == null ? null : valueOf(name);
    }

    /** The condition must stand this long before the alarm. */
    public double onDelayS() {
        return def.onS;
    }

    /** The condition must be gone this long before the alarm returns. */
    public double offDelayS() {
        return def.offS;
    }

    /** Time to respond: after it the consequence comes. */
    public double respondS() {
        return def.respondS;
    }

    /** What it leads to if nobody acts, for the document. */
    public String consequence() {
        return def.consequence;
    }

    /** Sensors that this alarm watches for being bad. */
    public List<Quantity> quantities() {
        return def.bad;
    }

    /** Contacts that this alarm watches for staying closed. */
    public List<Quantity> contacts() {
        return def.pressed;
    }

    /** The value that this alarm watches, or null. */
    public @Nullable Quantity value() {
        return def.value;
    }

    /** The value alarms above this; NaN without a value. */
    public double limit() {
        return def.limit;
    }

    /** The value returns only this far below the limit; NaN without a value. */
    public double deadBand() {
        return def.deadBand;
    }
}
