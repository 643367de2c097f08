package steamleaf.core.interlock;

import java.util.function.Consumer;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

/**
 * How to bring about each rule's cause on a running rig, and how to take it away: without a
 * default, so that a new row has to be tested the day it is written.
 *
 * @param prepare before the clock runs
 * @param cause the moment from which delays count
 * @param heal takes the cause away
 */
record Story(UnitId unit, Consumer<Rig> prepare, Consumer<Rig> cause, Consumer<Rig> heal) {
    static final UnitId OVEN = UnitId.oven(2);
    private static final int I = 1;

    private static Story contact(UnitId unit, Quantity quantity) {
        return new Story(
                unit, r -> {}, r -> r.force(unit, quantity, 0), r -> r.heal(unit, quantity));
    }

    static Story of(Rule rule) {
        UnitId line = UnitId.LINE;
        UnitId steamer = UnitId.STEAMER;
        return switch (rule) {
            case EMERGENCY_STOP -> contact(line, Quantity.EMERGENCY_STOP_HEALTHY);
            case SMOKE -> contact(line, Quantity.SMOKE_HEALTHY);
            case CYCLE_LATE -> new Story(line, r -> {}, r -> r.late = true, r -> r.late = false);
            case CONTACTOR_WELDED ->
                    new Story(
                            line,
                            r -> {},
                            r -> {
                                r.wantContactor = false;
                                r.force(line, Quantity.CONTACTOR_CLOSED, 1);
                            },
                            r -> {
                                r.wantContactor = true;
                                r.heal(line, Quantity.CONTACTOR_CLOSED);
                            });
            case CONTACTOR_NOT_CLOSING -> contact(line, Quantity.CONTACTOR_CLOSED);
            case UNDERVOLTAGE -> contact(line, Quantity.SUPPLY_HEALTHY);
            case RESTARTED_TOO_OFTEN -> new Story(line, r -> {}, r -> {}, r -> {});
            case PERMIT_KEY_OFF -> contact(line, Quantity.PERMIT_KEY_ON);
            case HOOD_OPEN -> contact(steamer, Quantity.HOOD_CLOSED);
            case HOOD_NOT_LOCKED -> contact(steamer, Quantity.HOOD_LOCKED);
            case OVER_PRESSURE -> contact(steamer, Quantity.OVER_PRESSURE_HEALTHY);
            case CHEST_SENSOR_BAD ->
                    new Story(
                            steamer,
                            r -> {},
                            r -> r.spoil(steamer, Quantity.CHEST_B_C, Quality.FAULT),
                            r -> r.heal(steamer, Quantity.CHEST_B_C));
            case CHEST_SENSORS_DISAGREE ->
                    new Story(
                            steamer,
                            r -> {},
                            r -> r.chestBC = r.chestAC - 3.01,
                            r -> r.chestBC = r.chestAC - 3.0);
            case BELT_STOPPED ->
                    new Story(
                            steamer,
                            r -> {},
                            r -> r.force(steamer, Quantity.BELT_MM_PER_S, 0.4),
                            r -> r.heal(steamer, Quantity.BELT_MM_PER_S));
            case CHEST_NOT_COOLING ->
                    new Story(
                            steamer,
                            r -> {
                                r.chestAC = 96;
                                r.chestBC = 96;
                            },
                            r -> r.wantSteam = false,
                            r -> {
                                r.chestAC = 60;
                                r.chestBC = 60;
                                r.wantSteam = true;
                                r.run(400);
                            });
            case NO_STEAM_AVAILABLE -> contact(steamer, Quantity.STEAM_AVAILABLE);
            case CHEST_ABOVE_BOILING ->
                    new Story(
                            steamer,
                            r -> {},
                            r -> {
                                r.chestAC = r.boilingC + 4.1;
                                r.chestBC = r.boilingC + 3.0;
                            },
                            r -> {
                                r.chestAC = 90;
                                r.chestBC = 90;
                            });
            case EXTRACTOR_NOT_PROVEN ->
                    new Story(
                            steamer,
                            r -> {
                                r.wantSteam = false;
                                r.wantExtractor = false;
                                r.run(70);
                            },
                            r -> {
                                r.wantExtractor = true;
                                r.force(steamer, Quantity.EXTRACTOR_PROVEN, 0);
                            },
                            r -> r.heal(steamer, Quantity.EXTRACTOR_PROVEN));
            case EXTRACTOR_STUCK_PROVEN ->
                    new Story(
                            steamer,
                            r -> {
                                r.wantSteam = false;
                                r.run(70);
                            },
                            r -> {
                                r.wantExtractor = false;
                                r.force(steamer, Quantity.EXTRACTOR_PROVEN, 1);
                            },
                            r -> r.heal(steamer, Quantity.EXTRACTOR_PROVEN));
            case FIRE_LIKE ->
                    new Story(
                            OVEN,
                            r -> {
                                r.warm(I + 1, 80);
                                r.run(90);
                                r.wantContactor = false;
                                r.run(70);
                            },
                            r -> r.airC[I] = 90,
                            r -> {
                                r.wantContactor = true;
                                r.airC[I] = 80;
                            });
            case CURRENT_WITH_HEAT_OFF ->
                    new Story(
                            OVEN,
                            r -> r.wantHeat[I] = false,
                            r -> r.force(OVEN, Quantity.HEATER_CURRENT, 1),
                            r -> {
                                r.wantHeat[I] = true;
                                r.heal(OVEN, Quantity.HEATER_CURRENT);
                            });
            case RISING_WITH_HEAT_OFF ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airC[I] = 50;
                                r.run(70);
                                r.wantHeat[I] = false;
                                r.run(35);
                            },
                            r -> r.airC[I] = 56,
                            r -> {
                                r.airC[I] = 50;
                                r.wantHeat[I] = true;
                            });
            case HIGH_LIMIT_OPEN -> contact(OVEN, Quantity.HIGH_LIMIT_HEALTHY);
            case DOOR_OPEN -> contact(OVEN, Quantity.DOOR_CLOSED);
            case AIR_SENSOR_BAD ->
                    new Story(
                            OVEN,
                            r -> {},
                            r -> r.spoil(OVEN, Quantity.AIR_C, Quality.NO_ANSWER),
                            r -> r.heal(OVEN, Quantity.AIR_C));
            case AIR_ABOVE_OVEN_LIMIT ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airLimitC[I] = 120; // a recipe cannot lift the oven's own limit
                                r.exhaustC[I] = 100;
                                r.warm(I + 1, 108);
                            },
                            r -> r.airC[I] = 110.01,
                            r -> r.airC[I] = 109);
            case EXHAUST_ABOVE_LIMIT ->
                    new Story(
                            OVEN,
                            r -> r.exhaustC[I] = 104,
                            r -> r.exhaustC[I] = 105.01,
                            r -> r.exhaustC[I] = 40);
            case AIRFLOW_NOT_PROVEN -> contact(OVEN, Quantity.AIRFLOW_PROVEN);
            case AIRFLOW_STUCK_PROVEN ->
                    new Story(
                            OVEN,
                            r -> {
                                r.wantHeat[I] = false;
                                r.run(70);
                            },
                            r -> {
                                r.wantFan[I] = false;
                                r.force(OVEN, Quantity.AIRFLOW_PROVEN, 1);
                            },
                            r -> {
                                r.heal(OVEN, Quantity.AIRFLOW_PROVEN);
                                r.run(0.2);
                                r.wantFan[I] = true;
                                r.wantHeat[I] = true;
                                r.run(3);
                            });
            case AIR_ABOVE_RECIPE_LIMIT ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airLimitC[I] = 60;
                                r.airC[I] = 60;
                                r.run(130);
                            },
                            r -> r.airC[I] = 75.1,
                            r -> r.airC[I] = 60);
            case RISING_TOO_FAST ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airC[I] = 30;
                                r.run(21);
                            },
                            r -> r.airC[I] = 80.1,
                            r -> r.run(11));
            case AIR_FROZEN ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airC[I] = 41;
                                r.run(6);
                            },
                            r -> {
                                // the heater is switched by the test's loop
                            },
                            r -> {
                                r.airC[I] = 42;
                                r.run(6);
                            });
            case AIR_DISAGREES_EXHAUST ->
                    new Story(
                            OVEN,
                            r -> r.airC[I] = 50,
                            r -> r.exhaustC[I] = 60.1,
                            r -> r.exhaustC[I] = 60);
            case HEAT_WITHOUT_RISE ->
                    new Story(OVEN, r -> r.airC[I] = 36.9, r -> {}, r -> r.airC[I] = 38);
            case EXHAUST_SENSOR_BAD ->
                    new Story(
                            OVEN,
                            r -> r.airC[I] = 50,
                            r -> r.spoil(OVEN, Quantity.EXHAUST_C, Quality.GARBLED),
                            r -> r.heal(OVEN, Quantity.EXHAUST_C));
            case DOOR_NOT_SEEN_OPEN ->
                    new Story(
                            OVEN,
                            r -> {},
                            r -> r.charge[I] = 7,
                            r -> {
                                r.force(OVEN, Quantity.DOOR_CLOSED, 0);
                                r.cycle();
                                r.heal(OVEN, Quantity.DOOR_CLOSED);
                                r.askStart(OVEN);
                                r.cycle();
                            });
            case HEATED_TOO_LONG ->
                    new Story(
                            OVEN,
                            r -> r.airC[I] = 50,
                            r -> r.longestHeatOnS[I] = 1,
                            r -> r.longestHeatOnS[I] = 9999);
            case HEAT_PAUSED_AIR_WARM ->
                    new Story(
                            OVEN,
                            r -> {
                                r.airC[I] = 50;
                                r.run(1);
                            },
                            r -> r.airLimitC[I] = 35, // held: the limit falls under the hot air
                            r -> r.airLimitC[I] = 85);
            case ANOTHER_OVEN_WARMS_FIRST ->
                    new Story(
                            OVEN,
                            r -> { // the third one is warm already
                                r.wantHeat[2] = true;
                                r.askStart(UnitId.oven(3));
                                r.run(1);
                                r.answer(3);
                            },
                            r -> {
                                r.wantHeat[0] = true;
                                r.wantHeat[1] = true;
                                r.askStart(UnitId.oven(1));
                                r.askStart(OVEN);
                            },
                            r -> r.answer(1));
            case NO_HEATER_CURRENT -> contact(OVEN, Quantity.HEATER_CURRENT);
        };
    }
}
