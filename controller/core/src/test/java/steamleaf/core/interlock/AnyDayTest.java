package steamleaf.core.interlock;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Supplier;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

/** Whatever sensors, people and wishes do: what must hold in every cycle holds. */
class AnyDayTest {
    private static final int OVENS = 2;

    /** Not fitted is a matter of configuration and does not come and go. */
    private static final Quality[] BAD =
            java.util.Arrays.stream(Quality.values())
                    .filter(q -> q != Quality.GOOD && q != Quality.NOT_FITTED)
                    .toArray(Quality[]::new);

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 20_260_501})
    void heatAndSteamAreOnOnlyWhenEverythingIsProvablyWell(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        Rig rig = new Rig(OVENS).running();
        Set<UnitId> tripped = new HashSet<>();
        int heated = 0;
        int steamed = 0;
        int trips = 0;
        for (int n = 0; n < 20_000; n++) {
            boolean calm = n / 2000 % 2 == 0; // people repair and start again, then things break
            mutate(rig, random, calm);
            Set<UnitId> starts = new HashSet<>();
            Set<UnitId> stops = new HashSet<>();
            boolean resets = calm && random.nextInt(20) == 0;
            for (UnitId unit : new UnitId[] {UnitId.STEAMER, UnitId.oven(1), UnitId.oven(2)}) {
                if (random.nextInt(calm ? 10 : 50) == 0) {
                    starts.add(unit);
                }
                if (random.nextInt(200) == 0) {
                    stops.add(unit);
                }
            }
            starts.forEach(rig::askStart);
            stops.forEach(rig::askStop);
            if (resets) {
                rig.askReset(UnitId.LINE);
                tripped.clear();
            }
            rig.elapsedS = random.nextInt(5000) == 0 ? 0.6 : Rig.CYCLE_S;
            boolean contactorFed = rig.out.contactor() && rig.relayHolds;
            GuardInput seen = rig.input(WantedOutputs.off(OVENS));
            rig.cycle();
            for (GuardEvent event : rig.lastEvents) {
                if (event instanceof GuardEvent.TookEffect(Rule rule, UnitId unit, boolean first)
                        && rule.latch() == Latch.TRIP) {
                    trips++;
                    tripped.add(rule.opensContactor() ? UnitId.LINE : unit);
                    assertTrue(first || !rig.state.causes().isEmpty());
                }
            }
            for (int i = 1; i <= OVENS; i++) {
                if (rig.heater(i)) {
                    heated++;
                    heatIsProven(rig, seen, UnitId.oven(i), tripped, stops, contactorFed, seed);
                }
            }
            if (rig.steam()) {
                steamed++;
                steamIsProven(rig, seen, tripped, stops, contactorFed, seed);
            }
            always(rig, seen, tripped, seed);
        }
        assertTrue(
                heated > 1000 && steamed > 500 && trips > 20, heated + " " + steamed + " " + trips);
    }

    private static void heatIsProven(
            Rig rig,
            GuardInput seen,
            UnitId oven,
            Set<UnitId> tripped,
            Set<UnitId> stops,
            boolean contactorFed,
            long seed) {
        Supplier<String> why = () -> "seed " + seed + " " + oven.label() + " " + rig.story();
        int i = oven.number() - 1;
        lineIsProven(seen, tripped, stops, contactorFed, why);
        assertTrue(seen.readings().isOn(oven, Quantity.DOOR_CLOSED), why);
        assertTrue(seen.readings().isOn(oven, Quantity.AIRFLOW_PROVEN), why);
        assertTrue(seen.readings().isOn(oven, Quantity.HIGH_LIMIT_HEALTHY), why);
        assertTrue(seen.readings().good(oven, Quantity.AIR_C) <= 110, why);
        assertTrue(seen.readings().good(oven, Quantity.AIR_C) <= rig.airLimitC[i] + 2, why);
        assertFalse(seen.readings().good(oven, Quantity.EXHAUST_C) > 105, why);
        assertTrue(rig.wantHeat[i], why);
        assertTrue(rig.out.ovens().get(i).fan(), why);
        assertTrue(rig.state.isStarted(oven) && rig.state.heatAllowed(oven), why);
        assertFalse(tripped.contains(oven) || stops.contains(oven), why);
    }

    private static void lineIsProven(
            GuardInput seen,
            Set<UnitId> tripped,
            Set<UnitId> stops,
            boolean contactorFed,
            Supplier<String> why) {
        assertTrue(seen.readings().isOn(UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY), why);
        assertTrue(seen.readings().isOn(UnitId.LINE, Quantity.PERMIT_KEY_ON), why);
        assertTrue(seen.readings().isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED), why);
        assertTrue(seen.readings().isOn(UnitId.LINE, Quantity.SMOKE_HEALTHY), why);
        assertFalse(tripped.contains(UnitId.LINE) || stops.contains(UnitId.LINE), why);
        assertTrue(
                contactorFed || seen.readings().isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED), why);
    }

    private static void steamIsProven(
            Rig rig,
            GuardInput seen,
            Set<UnitId> tripped,
            Set<UnitId> stops,
            boolean contactorFed,
            long seed) {
        Supplier<String> why = () -> "seed " + seed + " steamer " + rig.story();
        lineIsProven(seen, tripped, stops, contactorFed, why);
        assertTrue(seen.readings().isOn(UnitId.STEAMER, Quantity.HOOD_CLOSED), why);
        assertTrue(seen.readings().isOn(UnitId.STEAMER, Quantity.HOOD_LOCKED), why);
        assertTrue(seen.readings().isOn(UnitId.STEAMER, Quantity.OVER_PRESSURE_HEALTHY), why);
        assertTrue(seen.readings().get(UnitId.STEAMER, Quantity.CHEST_A_C).isGood(), why);
        assertTrue(seen.readings().get(UnitId.STEAMER, Quantity.CHEST_B_C).isGood(), why);
        assertTrue(rig.wantSteam && rig.state.isStarted(UnitId.STEAMER), why);
        assertFalse(tripped.contains(UnitId.STEAMER) || stops.contains(UnitId.STEAMER), why);
        assertFalse(rig.out.hoodUnlock(), why);
    }

    private static void always(Rig rig, GuardInput seen, Set<UnitId> tripped, long seed) {
        Supplier<String> why = () -> "seed " + seed + " " + rig.story();
        if (rig.out.contactor()) {
            assertTrue(rig.wantContactor, why);
            assertFalse(tripped.contains(UnitId.LINE), why);
        }
        if (rig.out.beltRun()) {
            assertTrue(rig.wantBelt, why);
            assertFalse(tripped.contains(UnitId.LINE) || tripped.contains(UnitId.STEAMER), why);
            assertTrue(seen.readings().isOn(UnitId.STEAMER, Quantity.HOOD_CLOSED), why);
        } else {
            assertEquals(0.0, rig.out.beltSpeed(), why);
        }
        if (rig.out.hoodUnlock()) {
            assertTrue(seen.readings().good(UnitId.STEAMER, Quantity.CHEST_A_C) < 60, why);
            assertTrue(seen.readings().good(UnitId.STEAMER, Quantity.CHEST_B_C) < 60, why);
            assertTrue(seen.readings().isOn(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN), why);
        }
        if (rig.out.pulse()) {
            assertTrue(rig.elapsedS <= 0.5, why);
        }
    }

    private static void mutate(Rig rig, SplittableRandom random, boolean calm) {
        if (calm && random.nextInt(20) == 0) {
            rig.forced.clear();
            rig.wantContactor = true;
        }
        if (random.nextInt(calm ? 400 : 15) == 0) {
            Quantity quantity = Quantity.values()[random.nextInt(Quantity.values().length)];
            UnitId unit =
                    switch (quantity.of()) {
                        case LINE -> UnitId.LINE;
                        case STEAMER -> UnitId.STEAMER;
                        case OVEN -> UnitId.oven(1 + random.nextInt(OVENS));
                    };
            switch (random.nextInt(3)) {
                case 0 -> rig.spoil(unit, quantity, BAD[random.nextInt(BAD.length)]);
                case 1 -> rig.force(unit, quantity, random.nextInt(2));
                case 2 -> rig.heal(unit, quantity);
                default -> throw new AssertionError();
            }
        }
        for (int i = 0; i < OVENS; i++) {
            rig.airC[i] =
                    Math.clamp(
                            rig.airC[i] + (random.nextDouble() - (calm ? 0.52 : 0.48)) * 0.8,
                            25,
                            115);
            rig.exhaustC[i] = rig.airC[i] - 3;
            if (random.nextInt(300) == 0) {
                rig.wantHeat[i] ^= true;
                rig.wantFan[i] = rig.wantHeat[i] || random.nextBoolean();
                rig.airLimitC[i] = random.nextBoolean() ? 85 : 35;
            }
        }
        double chest = rig.steam() ? 98 : 40;
        rig.chestAC += (chest - rig.chestAC) * 0.005;
        rig.chestBC = rig.chestAC;
        if (random.nextInt(500) == 0) {
            rig.wantSteam ^= true;
            rig.wantBelt = rig.wantSteam || random.nextBoolean();
            rig.wantUnlock = !rig.wantSteam;
        }
        if (random.nextInt(3000) == 0) {
            rig.wantContactor ^= true;
        }
        rig.resetButton = calm && random.nextInt(5) == 0;
    }
}
