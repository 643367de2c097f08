package steamleaf.core.interlock;

import static steamleaf.core.interlock.Effect.ALARM_ONLY;
import static steamleaf.core.interlock.Effect.CONTACTOR_OFF;
import static steamleaf.core.interlock.Effect.FIRE;
import static steamleaf.core.interlock.Effect.HEAT_OFF;
import static steamleaf.core.interlock.Effect.STEAM_OFF;
import static steamleaf.core.interlock.Latch.FOLLOWS;
import static steamleaf.core.interlock.Latch.INTERLOCK;
import static steamleaf.core.interlock.Latch.TRIP;
import static steamleaf.core.interlock.Row.EXHAUST_ROUND_S;
import static steamleaf.core.interlock.Row.line;
import static steamleaf.core.interlock.Row.oven;
import static steamleaf.core.interlock.Row.steamer;
import static steamleaf.core.reading.UnitId.LINE;
import static steamleaf.core.reading.UnitId.STEAMER;

import java.util.Arrays;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/**
 * The rule table: the single truth about what takes heat and steam away. {@code docs/interlocks.md}
 * is made from it. Order matters: of two causes in the same cycle the upper one came first.
 *
 * <p>Conditions say when all is <em>well</em>, so that a value that is bad, missing or not a number
 * takes the effect. Delays and limits are engineering choices; process safety times are our own
 * arithmetic for the stock line (heater 6 kW, air and elements together 1.6 kJ/K, empty oven with
 * its damper closed: settles 115 K above a room of 22 °C with a time constant of 31 s) and prove
 * nothing for another one.
 */
public enum Rule {
    EMERGENCY_STOP(
            line("L-1", CONTACTOR_OFF, TRIP, Reason.EMERGENCY_STOP)
                    .unless(
                            "emergency stop not provably healthy",
                            (v, u) -> v.on(LINE, Quantity.EMERGENCY_STOP_HEALTHY))
                    .hardWired("the emergency stop breaks the contactor's coil itself")
                    .safetyTime(
                            1.0,
                            "the hard-wired stop acts within the contactor's drop-out of 0.1 s;"
                                    + " the program only confirms it")
                    .provenBy("each season: press it, contactor must open")),
    SMOKE(
            line("L-2", FIRE, TRIP, Reason.SMOKE)
                    .unless(
                            "smoke detector fitted and not provably healthy",
                            (v, u) ->
                                    v.on(LINE, Quantity.SMOKE_HEALTHY)
                                            || v.readings
                                                            .get(LINE, Quantity.SMOKE_HEALTHY)
                                                            .quality()
                                                    == Quality.NOT_FITTED)
                    .hardWired("fire alarm as the local fire code wants it")
                    .safetyTime(
                            30.0,
                            "engineering choice: forced air turns a smouldering heap into flame in"
                                    + " tens of seconds")
                    .provenBy("each season: the detector's own test button")),
    CYCLE_LATE(
            line("L-3", CONTACTOR_OFF, TRIP, Reason.CYCLE_LATE)
                    .unless("cycle late, or longer than 0.5 s", (v, u) -> !v.late)
                    .showsWithin(0.8) // a cycle that ends later is the watchdog relay's
                    .hardWired("watchdog relay: no edge for 0.8 s drops the contactor")
                    .safetyTime(
                            23.0,
                            "full heat from 80 °C to the oven's limit of 110 °C:"
                                    + " 31 s · ln((137 − 80)/(137 − 110)) = 23 s")
                    .provenBy("before each closing: pulse withheld, contactor must stay open")),
    CONTACTOR_WELDED(
            line("L-4", CONTACTOR_OFF, TRIP, Reason.CONTACTOR_WELDED)
                    .unless(
                            "contactor not provably open with its coil off or the pulse withheld",
                            (v, u) ->
                                    !v.contactor.mustBeOpen()
                                            || v.off(LINE, Quantity.CONTACTOR_CLOSED))
                    .after(0.5)
                    .hardWired(
                            "watchdog relay in the coil's circuit (the pulse is withheld); the"
                                    + " solid-state relays and the high limit remain")
                    .safetyTime(
                            23.0,
                            "harm needs a second fault, a heater relay stuck on; from then as L-3")
                    .provenBy("before each closing: pulse withheld, contactor must stay open")),
    CONTACTOR_NOT_CLOSING(
            line("L-5", CONTACTOR_OFF, TRIP, Reason.CONTACTOR_NOT_CLOSING)
                    .unless(
                            "contactor not provably closed with its coil on and the pulse given",
                            (v, u) ->
                                    v.contactor.mustBeOpen()
                                            || v.on(LINE, Quantity.CONTACTOR_CLOSED))
                    .after(0.5)
                    .hardWired("none needed: an open contactor is safe")
                    .notTimed("not timed: the contactor is open, or its feedback lies")
                    .provenBy("each closing")),
    UNDERVOLTAGE(
            line("L-6", CONTACTOR_OFF, TRIP, Reason.UNDERVOLTAGE)
                    .unless(
                            "supply not provably healthy",
                            (v, u) -> v.on(LINE, Quantity.SUPPLY_HEALTHY))
                    .after(0.3)
                    .hardWired("undervoltage relay, if the electrician fits one")
                    .safetyTime(
                            2.0,
                            "engineering choice: a chattering contactor welds within seconds, so it"
                                    + " is opened once and cleanly")
                    .provenBy("each season: the relay's test button")),
    RESTARTED_TOO_OFTEN(
            line("L-7", CONTACTOR_OFF, TRIP, Reason.RESTARTED_TOO_OFTEN)
                    .unless(
                            "three restarts of the controller within an hour",
                            (v, u) -> v.restartsWithinHour < 3)
                    .hardWired("none")
                    .notTimed("not timed: heat is off after every restart anyway")
                    .provenBy("none: counted from the times of starts that survive a restart")),
    PERMIT_KEY_OFF(
            line("L-8", CONTACTOR_OFF, FOLLOWS, Reason.PERMIT_KEY_OFF)
                    .unless(
                            "permit key not provably on",
                            (v, u) -> v.on(LINE, Quantity.PERMIT_KEY_ON))
                    .hardWired(
                            "none on the stock line: only the program reads the key; a key in the"
                                    + " coil's circuit is advised")
                    .notTimed("not timed: a permission, not an emergency stop")
                    .provenBy("each day by use")),

    HOOD_OPEN(
            steamer("S-1", STEAM_OFF, INTERLOCK, Reason.HOOD_OPEN)
                    .unless(
                            "hood not provably closed",
                            (v, u) -> v.on(STEAMER, Quantity.HOOD_CLOSED))
                    .hardWired("guard lock; the hood contact breaks the steam valves' circuit")
                    .safetyTime(
                            1.0,
                            "bolt 0.5 s, hood lifted by half a metre 0.5 s; the lock, not the"
                                    + " program, keeps people from live steam")
                    .provenBy("each day by use: unlock and open, contact must change")),
    HOOD_NOT_LOCKED(
            steamer("S-2", STEAM_OFF, INTERLOCK, Reason.HOOD_NOT_LOCKED)
                    .unless(
                            "hood not provably locked",
                            (v, u) -> v.on(STEAMER, Quantity.HOOD_LOCKED))
                    .hardWired("guard lock; the bolt's contact breaks the steam valves' circuit")
                    .safetyTime(1.0, "as S-1")
                    .provenBy("each day by use: unlock, contact must change")),
    OVER_PRESSURE(
            steamer("S-3", STEAM_OFF, TRIP, Reason.OVER_PRESSURE)
                    .unless(
                            "over-pressure switch not provably healthy",
                            (v, u) -> v.on(STEAMER, Quantity.OVER_PRESSURE_HEALTHY))
                    .hardWired("the switch breaks the steam valves' circuit; relief valve")
                    .safetyTime(
                            1.3,
                            "both belt ends blocked: 101 kPa · 0.0085 m³/s / 0.06 m³ = 14 kPa/s;"
                                    + " from the switch at 2 kPa to 20 kPa, which the chest is"
                                    + " assumed to stand: 18/14 = 1.3 s; the relief valve lifts at"
                                    + " 5 kPa")
                    .provenBy("each season by the installer, with the relief valve")),
    CHEST_SENSOR_BAD(
            steamer("S-4", STEAM_OFF, TRIP, Reason.CHEST_SENSOR_BAD)
                    .unless(
                            "chest sensor A or B bad",
                            (v, u) ->
                                    v.isGood(STEAMER, Quantity.CHEST_A_C)
                                            && v.isGood(STEAMER, Quantity.CHEST_B_C))
                    .hardWired("over-pressure switch and relief valve; hood lock")
                    .safetyTime(
                            60.0,
                            "leaf is spoilt before anybody is hurt: longest dwell 120 s, half")
                    .provenBy("each season: both against a reference thermometer")),
    CHEST_SENSORS_DISAGREE(
            steamer("S-5", STEAM_OFF, TRIP, Reason.CHEST_SENSORS_DISAGREE)
                    .unless(
                            "chest sensors good and more than 3 °C apart",
                            (v, u) ->
                                    // bad sensors are S-4's business: NaN compares as well here
                                    !(Math.abs(
                                                    v.good(STEAMER, Quantity.CHEST_A_C)
                                                            - v.good(STEAMER, Quantity.CHEST_B_C))
                                            > 3.0))
                    .after(10.0)
                    .hardWired("over-pressure switch and relief valve; hood lock")
                    .safetyTime(60.0, "as S-4; the delay lets unequal lags pass while steam comes")
                    .provenBy("each season: both against a reference thermometer")),
    BELT_STOPPED(
            steamer("S-6", STEAM_OFF, TRIP, Reason.BELT_STOPPED)
                    .unless(
                            "steam on, or off for less than a minute with the belt still driven,"
                                    + " and belt not provably moving",
                            (v, u) -> {
                                boolean leafInSteam =
                                        v.steamDriven()
                                                || (v.driven.beltRun()
                                                        && !v.steamer.valveOffFor(60.0, v.nowS));
                                return !leafInSteam
                                        || v.good(STEAMER, Quantity.BELT_MM_PER_S) > 0.5;
                            })
                    .after(15.0)
                    .showsWithin(3.1) // without a pulse for so long the belt counts as standing
                    .hardWired("none")
                    .safetyTime(
                            30.0,
                            "leaf gets half of the shortest dwell again (20 to 40 s light): spoilt,"
                                    + " nobody hurt; a pulse comes each 3 s at the slowest speed")
                    .provenBy("each month: hold the belt's pulse wheel")),
    CHEST_NOT_COOLING(
            steamer("S-7", CONTACTOR_OFF, TRIP, Reason.CHEST_NOT_COOLING)
                    .unless(
                            "both valves closed for 30 s, then in 180 s the chest fell by less than"
                                    + " 3 °C and is above 70 °C",
                            (v, u) -> !v.steamer.notCooling())
                    .showsWithin(390.0)
                    .hardWired("second valve in series; hood lock")
                    .safetyTime(
                            600.0,
                            "the hood unlocks below 60 °C, not before 830 s · ln(78/38) = 600 s"
                                    + " after the valves closed")
                    .provenBy("each steaming by use")),
    NO_STEAM_AVAILABLE(
            steamer("S-8", STEAM_OFF, FOLLOWS, Reason.NO_STEAM_AVAILABLE)
                    .unless(
                            "steam not provably available",
                            (v, u) -> v.on(STEAMER, Quantity.STEAM_AVAILABLE))
                    .after(2.0)
                    .hardWired("low-water cut-out and the boiler's own controls")
                    .notTimed(
                            "not timed: no steam does no harm; when it is back the valves may open"
                                    + " again without a press, hood and bolt still proven")
                    .provenBy("each day by use")),
    CHEST_ABOVE_BOILING(
            steamer("S-9", ALARM_ONLY, FOLLOWS, Reason.CHEST_ABOVE_BOILING)
                    .unless(
                            "chest more than 4 °C above boiling at the measured pressure",
                            (v, u) ->
                                    // unknown pressure has its own alarm; S-4 sees bad sensors
                                    !(Math.max(
                                                    v.good(STEAMER, Quantity.CHEST_A_C),
                                                    v.good(STEAMER, Quantity.CHEST_B_C))
                                            > v.in.limits().boilingC() + 4.0))
                    .after(10.0)
                    .hardWired("over-pressure switch trips; relief valve")
                    .notTimed(
                            "not timed: superheat, a sensor or the weather; the pressure switch"
                                    + " trips")
                    .provenBy("each season with S-4")),
    EXTRACTOR_NOT_PROVEN(
            steamer("S-10", ALARM_ONLY, FOLLOWS, Reason.EXTRACTOR_NOT_PROVEN)
                    .unless(
                            "extractor driven for 15 s and airflow not provably there",
                            (v, u) ->
                                    !v.steamer.extractor().onFor(15.0, v.nowS)
                                            || v.on(STEAMER, Quantity.EXTRACTOR_PROVEN))
                    .showsWithin(15.0)
                    .hardWired("hood lock: without the extractor the hood stays locked")
                    .notTimed("not timed: the hood stays locked")
                    .provenBy("each day by use")),
    EXTRACTOR_STUCK_PROVEN(
            steamer("S-11", ALARM_ONLY, FOLLOWS, Reason.EXTRACTOR_STUCK_PROVEN)
                    .unless(
                            "extractor off for 60 s and airflow still not provably gone",
                            (v, u) ->
                                    !v.steamer.extractor().offFor(60.0, v.nowS)
                                            || v.off(STEAMER, Quantity.EXTRACTOR_PROVEN))
                    .showsWithin(60.0)
                    .hardWired("hood lock: the hood stays locked until this contact was seen open")
                    .notTimed("not timed: the hood stays locked")
                    .provenBy("each day by use")),

    FIRE_LIKE(
            oven("O-1", FIRE, TRIP, Reason.FIRE_LIKE)
                    .unless(
                            "contactor proven open for 20 s, fan unchanged for 60 s, air above 60 °C"
                                    + " and 10 °C warmer than anything in the ten minutes before",
                            (v, u) -> {
                                double airC = v.good(u, Quantity.AIR_C);
                                boolean rising =
                                        v.oven(u)
                                                .contactorOpen()
                                                .exceededBy(OvenWatch.FIRE_K, airC);
                                return !(rising && airC > 60.0);
                            })
                    .showsWithin(80.0)
                    .hardWired("none in the oven; the local fire code decides")
                    .safetyTime(
                            120.0,
                            "engineering choice; the damper's spring and the fan's stop starve the"
                                    + " fire, the door stays shut")
                    .provenBy("commissioning only, by simulation")),
    CURRENT_WITH_HEAT_OFF(
            oven("O-2", CONTACTOR_OFF, TRIP, Reason.CURRENT_WITH_HEAT_OFF)
                    .unless(
                            "heater current not provably absent with the heater off",
                            (v, u) -> v.drivenOven(u).heater() || v.off(u, Quantity.HEATER_CURRENT))
                    .after(0.5)
                    .hardWired("independent high limit breaks that heater's circuit")
                    .safetyTime(23.0, "full heat from 80 to 110 °C, as L-3")
                    .provenBy("each heating by use: current must come and go with the heater")),
    RISING_WITH_HEAT_OFF(
            oven("O-3", CONTACTOR_OFF, TRIP, Reason.RISING_WITH_HEAT_OFF)
                    .unless(
                            "heater off for 30 s, fan unchanged for 60 s, air above 40 °C and 6 °C"
                                    + " warmer than anything in the ten minutes before",
                            (v, u) -> {
                                double airC = v.good(u, Quantity.AIR_C);
                                boolean rising =
                                        v.oven(u).heatOff().exceededBy(OvenWatch.RISING_K, airC);
                                return !(rising && airC > 40.0);
                            })
                    .showsWithin(45.0)
                    .hardWired("independent high limit breaks that heater's circuit")
                    .safetyTime(
                            65.0,
                            "second line behind O-2; full heat from 80 °C to the independent high"
                                    + " limit of 130 °C: 31 s · ln(57/7) = 65 s; 45 s are the 30 s"
                                    + " until the air is judged and 15 s for 6 °C more, with a fan"
                                    + " that runs on, as it does after heat")
                    .provenBy("commissioning: ovens warmed one by one")),
    HIGH_LIMIT_OPEN(
            oven("O-4", HEAT_OFF, TRIP, Reason.HIGH_LIMIT_OPEN)
                    .unless(
                            "independent high limit not provably healthy",
                            (v, u) -> v.on(u, Quantity.HIGH_LIMIT_HEALTHY))
                    .hardWired("the high limit breaks that heater's circuit itself; reset by hand")
                    .safetyTime(
                            10.0, "the hard-wired limit has acted already; the program confirms")
                    .provenBy("each season: warmed at its sensor until it opens")),
    DOOR_OPEN(
            oven("O-5", HEAT_OFF, INTERLOCK, Reason.DOOR_OPEN)
                    .unless("door not provably closed", (v, u) -> v.on(u, Quantity.DOOR_CLOSED))
                    .hardWired(
                            "none on the stock line; a second door contact in the heater's circuit"
                                    + " is advised")
                    .safetyTime(
                            2.0,
                            "engineering choice: hands reach trays before elements, which stand"
                                    + " behind a guard")
                    .provenBy("each charge by use: must be seen open (O-17)")),
    AIR_SENSOR_BAD(
            oven("O-6", HEAT_OFF, TRIP, Reason.AIR_SENSOR_BAD)
                    .unless("air sensor bad", (v, u) -> v.isGood(u, Quantity.AIR_C))
                    .hardWired("independent high limit, own sensor")
                    .safetyTime(23.0, "full heat from 80 to 110 °C, as L-3")
                    .provenBy("each season: against a reference thermometer")),
    AIR_ABOVE_OVEN_LIMIT(
            oven("O-7", HEAT_OFF, TRIP, Reason.AIR_ABOVE_OVEN_LIMIT)
                    .unless(
                            "air not provably within the oven's limit",
                            (v, u) ->
                                    v.good(u, Quantity.AIR_C) <= v.built(u).airLimitC()
                                            || !v.isGood(u, Quantity.AIR_C)) // O-6
                    .hardWired("independent high limit at 130 °C, own sensor")
                    .safetyTime(
                            34.0,
                            "full heat from 110 to 130 °C: 31 s · ln(27/7) = 42 s, less 8 s of the"
                                    + " probe's lag")
                    .provenBy("each season: limit lowered below the running air")),
    EXHAUST_ABOVE_LIMIT(
            oven("O-8", HEAT_OFF, TRIP, Reason.EXHAUST_ABOVE_LIMIT)
                    .unless(
                            "exhaust above its limit",
                            // O-16 sees a bad exhaust sensor
                            (v, u) -> !(v.good(u, Quantity.EXHAUST_C) > v.built(u).exhaustLimitC()))
                    .showsWithin(EXHAUST_ROUND_S)
                    .hardWired("independent high limit at 130 °C, own sensor")
                    .safetyTime(34.0, "as O-7: the exhaust follows the air of a dry charge")
                    .provenBy("each season: against a reference thermometer")),
    AIRFLOW_NOT_PROVEN(
            oven("O-9", HEAT_OFF, TRIP, Reason.AIRFLOW_NOT_PROVEN)
                    .unless(
                            "fan driven for 10 s, door closed for 10 s, and airflow not provably"
                                    + " there (heat is off from the first cycle, the trip follows)",
                            (v, u) ->
                                    !v.oven(u).fan().onFor(10.0, v.nowS)
                                            || !v.oven(u).doorClosedFor(10.0, v.nowS)
                                            || v.on(u, Quantity.AIRFLOW_PROVEN))
                    .after(3.0)
                    .hardWired("none on the stock line; the high limit remains")
                    .safetyTime(
                            37.0,
                            "elements without air: 6 kW / 900 J/K = 6.7 °C/s, 250 °C more until dust"
                                    + " on them scorches")
                    .provenBy("each heating by use (O-10)")),
    AIRFLOW_STUCK_PROVEN(
            oven("O-10", HEAT_OFF, TRIP, Reason.AIRFLOW_STUCK_PROVEN)
                    .unless(
                            "fan off for 60 s and airflow not provably gone",
                            (v, u) ->
                                    !v.oven(u).fan().offFor(60.0, v.nowS)
                                            || v.off(u, Quantity.AIRFLOW_PROVEN))
                    .showsWithin(60.0)
                    .hardWired("none")
                    .notTimed("not timed: heat is off while the fan is")
                    .provenBy("each stop of the fan by use")),
    AIR_ABOVE_RECIPE_LIMIT(
            oven("O-11", HEAT_OFF, TRIP, Reason.AIR_ABOVE_RECIPE_LIMIT)
                    .unless(
                            "air had kept the recipe's limit and is now 15 °C above it (controller and probe lag overshoot by less)",
                            (v, u) ->
                                    !(v.oven(u).limit().kept()
                                            && v.good(u, Quantity.AIR_C)
                                                    > v.limits(u).airLimitC()
                                                            + v.settings.recipeTripK()))
                    .hardWired("independent high limit, own sensor, for the oven only")
                    .safetyTime(60.0, "the leaf's own harm: minutes of air that is too warm")
                    .provenBy("with O-7")),
    RISING_TOO_FAST(
            oven("O-12", HEAT_OFF, TRIP, Reason.RISING_TOO_FAST)
                    .unless(
                            "air more than 50 °C above what it was when the running 10 s began"
                                    + " (stock: 5 °C/s, more than heater and fan can make)",
                            (v, u) -> !v.oven(u).rise().tooFast())
                    .showsWithin(20.0) // it may begin in the middle of one window
                    .hardWired("independent high limit, own sensor")
                    .safetyTime(23.0, "as L-3; a faster rise is a probe's fault or a fire")
                    .provenBy("commissioning only, by simulation")),
    AIR_FROZEN(
            oven("O-13", HEAT_OFF, TRIP, Reason.AIR_FROZEN)
                    .unless(
                            "air's value unchanged to the last bit for 120 s while the heater"
                                    + " switched four times",
                            (v, u) -> !v.oven(u).frozen().frozen(v.oven(u).heater().switches()))
                    .showsWithin(130.0)
                    .hardWired("independent high limit, own sensor")
                    .safetyTime(
                            600.0,
                            "second line: exhaust limit (O-8) and high limit hold the temperature;"
                                    + " this row ends the state within a small part of a charge")
                    .provenBy("commissioning only, by simulation")),
    AIR_DISAGREES_EXHAUST(
            oven("O-14", HEAT_OFF, TRIP, Reason.AIR_DISAGREES_EXHAUST)
                    .unless(
                            "heated within the last minute and exhaust more than 10 °C warmer than"
                                    + " the air",
                            (v, u) ->
                                    v.oven(u).heater().offFor(60.0, v.nowS)
                                            || !(v.good(u, Quantity.EXHAUST_C)
                                                    > v.good(u, Quantity.AIR_C) + 10.0))
                    .after(120.0)
                    .showsWithin(EXHAUST_ROUND_S)
                    .hardWired("independent high limit, own sensor")
                    .safetyTime(
                            600.0, "second line, as O-13: air that left the trays is never warmer")
                    .provenBy("commissioning: ovens warmed one by one")),
    HEAT_WITHOUT_RISE(
            oven("O-15", HEAT_OFF, TRIP, Reason.HEAT_WITHOUT_RISE)
                    .unless(
                            "heater on for four fifths of 120 s, air rose by less than 1 °C and is"
                                    + " less than 15 °C above the room",
                            (v, u) -> !v.oven(u).demand().noAnswer())
                    .showsWithin(240.0)
                    .hardWired("independent high limit, own sensor")
                    .safetyTime(600.0, "second line, as O-13: probe fallen out, or heater dead")
                    .provenBy("commissioning: ovens warmed one by one")),
    EXHAUST_SENSOR_BAD(
            oven("O-16", HEAT_OFF, INTERLOCK, Reason.EXHAUST_SENSOR_BAD)
                    .unless(
                            "exhaust temperature bad: the air probe has no witness",
                            (v, u) -> v.isGood(u, Quantity.EXHAUST_C))
                    .after(600.0)
                    .showsWithin(EXHAUST_ROUND_S)
                    .hardWired("independent high limit, own sensor")
                    .notTimed(
                            "not timed: harm needs a second fault, a drifting air probe, and the"
                                    + " high limit remains")
                    .provenBy("each season: against a reference thermometer")),
    DOOR_NOT_SEEN_OPEN(
            oven("O-17", HEAT_OFF, FOLLOWS, Reason.DOOR_NOT_SEEN_OPEN)
                    .unless(
                            "new charge and the door was not seen open since the last one",
                            (v, u) -> v.oven(u).charge().proven())
                    .hardWired("none: a door contact stuck closed shows only by use")
                    .notTimed("not timed: heat does not start")
                    .provenBy("each charge by use")
                    .startsAnyway()),
    HEATED_TOO_LONG(
            oven("O-18", HEAT_OFF, TRIP, Reason.HEATED_TOO_LONG)
                    .unless(
                            "heater on in one batch for longer than three fifths of the longest"
                                    + " times of its recipe's dryings together (tuning: 2 h)",
                            (v, u) ->
                                    v.oven(u).heater().onS(v.nowS) <= v.limits(u).longestHeatOnS())
                    .hardWired("none")
                    .notTimed("not timed: over-dried leaf is spoilt and dusty, hours too late")
                    .provenBy("commissioning only, by simulation")),
    HEAT_PAUSED_AIR_WARM(
            oven("O-19", HEAT_OFF, FOLLOWS, Reason.HEAT_PAUSED_AIR_WARM)
                    .unless(
                            "air not provably within 2 °C above the recipe's limit, then not yet"
                                    + " within 1 °C",
                            (v, u) ->
                                    !v.oven(u).limit().paused()
                                            || !v.isGood(u, Quantity.AIR_C)) // O-6
                    .hardWired("none")
                    .notTimed("not timed: heat waits until the air has cooled")
                    .provenBy("by use, where a cooler drying follows a hotter one")
                    .startsAnyway()),
    NO_HEATER_CURRENT(
            oven("O-20", ALARM_ONLY, FOLLOWS, Reason.NO_HEATER_CURRENT)
                    .unless(
                            "heater driven with the contactor closed and no current",
                            (v, u) ->
                                    !v.drivenOven(u).heater()
                                            || !v.on(LINE, Quantity.CONTACTOR_CLOSED)
                                            || v.on(u, Quantity.HEATER_CURRENT))
                    .after(1.0)
                    .hardWired("none needed: a dead heater is safe")
                    .notTimed("not timed: element, fuse or relay open; the leaf waits")
                    .provenBy("each heating by use")),
    ANOTHER_OVEN_WARMS_FIRST(
            oven("O-21", HEAT_OFF, FOLLOWS, Reason.ANOTHER_OVEN_WARMS_FIRST)
                    .unless(
                            "another oven is in its first warming since the controller's start (its"
                                    + " heat on, its air not yet 6 °C warmer, at most 250 s), and"
                                    + " this started oven has not had its own",
                            (v, u) ->
                                    (v.started & GuardState.bit(u)) == 0
                                            || v.turn.mayHeat(u.number()))
                    .hardWired("none: swapped probes show by use, in O-3 and O-15")
                    .notTimed("not timed: heat waits, at most 250 s for each other oven")
                    .provenBy("each morning by use")
                    .startsAnyway());

    /** Scan and drive: at most one cycle each at 10 Hz, a Pt100's conversion of 21 ms included. */
    public static final double CYCLES_S = 0.2;

    /** Drop-out of the contactor, taken from the trade's 50 to 100 ms. */
    public static final double DROP_OUT_S = 0.1;

    /** A steam valve closes in this time. */
    public static final double VALVE_S = 0.3;

    private final Row row;

    Rule(Row row) {
        this.row = row;
    }

    static int count(UnitKind kind) {
        return rules(kind).length;
    }

    /** The rules that watch this kind of unit, in the table's order. */
    static Rule[] rules(UnitKind kind) {
        return Arrays.stream(values()).filter(r -> r.scope() == kind).toArray(Rule[]::new);
    }

    boolean good(View view, UnitId unit) {
        return row.check.good(view, unit);
    }

    /** Short id, shown to people. */
    public String id() {
        return row.id;
    }

    /** The kind of unit it watches. */
    public UnitKind scope() {
        return row.scope;
    }

    public Effect effect() {
        return row.effect;
    }

    public Latch latch() {
        return row.latch;
    }

    public Reason reason() {
        return row.reason;
    }

    /** The cause in words, for the document; people are told {@link #reason} in their language. */
    public String cause() {
        return row.cause;
    }

    /** How long the cause must stand before the effect. */
    public double delayS() {
        return row.delayS;
    }

    /** How long the cause needs to show in the readings, at most. */
    public double windowS() {
        return row.windowS;
    }

    /** From the cause at the terminals to the effect there, at most. */
    public double reactionS() {
        double actuator =
                switch (row.effect) {
                    case CONTACTOR_OFF, FIRE -> DROP_OUT_S;
                    case STEAM_OFF -> VALVE_S;
                    case HEAT_OFF, ALARM_ONLY -> 0.0;
                };
        return row.windowS + row.delayS + CYCLES_S + actuator;
    }

    /** What does the same without the program. */
    public String hardWired() {
        return row.hardWired;
    }

    /** From the cause to harm if nothing acted; NaN where nothing happens against a clock. */
    public double safetyTimeS() {
        return row.safetyTimeS;
    }

    /** How the safety time was worked out. */
    public String arithmetic() {
        return row.arithmetic;
    }

    public String proofTest() {
        return row.proofTest;
    }

    /** While it stands, a start is refused. */
    public boolean blocksStart() {
        return row.blocksStart && row.effect != ALARM_ONLY;
    }

    /** It takes heat, steam and belt from the whole line. */
    public boolean opensContactor() {
        return row.effect == CONTACTOR_OFF || row.effect == FIRE;
    }

    /** Who lets go of it once its cause is gone. */
    public String letGoBy() {
        return switch (row.latch) {
            case TRIP -> "reset at the machine, armed on the page; then start";
            case INTERLOCK -> "confirm at the machine; start, if the batch was held meanwhile";
            case FOLLOWS ->
                    opensContactor()
                            ? "nobody: by itself; the contactor is tried and wants reset at the"
                                    + " machine, a batch held meanwhile its start"
                            : "nobody: by itself";
        };
    }
}
