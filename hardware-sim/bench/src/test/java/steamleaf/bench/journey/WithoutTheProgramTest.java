package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.PlantYaml;
import steamleaf.sim.plant.UnitTruth;

/**
 * The controller's process is paused, killed and ended while a batch runs with steam in the chest
 * and the belt moving; plant and watchdog relay live on in this process and must be safe by
 * themselves. The steamer's chest is a light one, so that nobody waits for it to get warm.
 */
@Timeout(value = 10, unit = TimeUnit.MINUTES)
final class WithoutTheProgramTest {
    private static final Duration WARM = Duration.ofMinutes(3);

    /** Contactor, horn and belt, from the last edge. */
    private static final double WITHIN_S = 1.0;

    private static final PlantSettings LIGHT =
            ((PlantYaml.Read)
                            PlantYaml.read(
                                    "steamer: {metalJPerK: 500}\noven: {wallJPerK: 1000}\nroom: {temperatureC: 45}",
                                    "light chest",
                                    PlantSettings.stock()))
                    .settings();

    private final LivePlant plant = LivePlant.start(LIGHT, 20_261_125);

    @Test
    void aPausedAKilledAndAnEndedControllerLeaveTheLineSafeWithinASecond(@TempDir Path folder)
            throws Exception {
        try (plant;
                Mosquitto broker = new Mosquitto(folder);
                Outside outside = new Outside(broker.port(), "kei")) {
            plant.act(line -> line.plant().permitKey(true));
            plant.await("plant time", Child.PATIENCE, () -> plant.timeS() > 0.5);
            assertSafe("nobody has driven anything yet");

            try (Child controller = start(folder, broker)) {
                planned(outside);
                steaming(outside);
                signal(controller, "STOP");
                assertDropped(plant.timeS());
                signal(controller, "CONT");
                JsonNode late =
                        outside.awaitUnit(
                                "line",
                                Child.PATIENCE,
                                live -> live.path("causes").toString().contains("\"L-3\""));
                assertEquals(0.0, late.path("outputs").path("contactor").doubleValue());
                assertSafe("it came back and has not been reset");

                steaming(outside);
                controller.kill();
                assertDropped(plant.timeS());
            }
            try (Child controller = start(folder, broker)) {
                outside.awaitUnit(
                        "oven-1",
                        Child.PATIENCE,
                        live -> live.path("state").asText().equals("held"));
                assertSafe("it has come up held");

                steaming(outside);
                signal(controller, "TERM");
                plant.await(
                        "contactor open",
                        Child.PATIENCE,
                        () -> !Double.isNaN(plant.contactorOpenSinceS()));
                assertTrue(Double.isNaN(plant.hornSinceS()), "off before the relay had to do it");
                assertEquals(143, controller.await(), "128 and SIGTERM's 15");
                plant.await("horn", Child.PATIENCE, () -> !Double.isNaN(plant.hornSinceS()));
                assertSafe("it has ended");
            }
        }
    }

    private Child start(Path folder, Mosquitto broker) throws IOException {
        Child controller = ControllerApart.start(folder, plant.port(), broker.port());
        assertSafe("it has not reached its first cycle");
        return controller;
    }

    private static void planned(Outside outside) {
        String lot = outside.takeInLot();
        outside.moved(
                "oven-1",
                "plan-batch",
                Map.of("recipe", "standard", "lots", List.of(Map.of("lot", lot, "massKg", 4.0))));
    }

    /**
     * As a person does: whatever the oven waits for is armed and pressed, until the contactor feeds
     * heaters and valves, steam flows and the belt moves. On a busy machine a late cycle may trip
     * meanwhile; then it is reset like any other trip.
     */
    private void steaming(Outside outside) {
        long untilNs = System.nanoTime() + WARM.toNanos();
        while (!steams()) {
            assertTrue(
                    System.nanoTime() < untilNs,
                    () -> outside.unit("oven-1") + "\n" + outside.unit("steamer"));
            JsonNode oven = outside.unit("oven-1");
            boolean tripped = !oven.path("causes").isEmpty();
            switch (oven.path("state").asText()) {
                case "planned" -> ask(outside, tripped ? "reset" : "start");
                case "held", "stopped" -> ask(outside, tripped ? "reset" : "resume");
                default -> {}
            }
            boolean running = oven.path("state").asText().equals("running");
            boolean closed = Double.isNaN(plant.contactorOpenSinceS());
            if (closed && running) {
                press(Button.CONFIRM); // the steamer is ready
            } else {
                press(running || tripped ? Button.RESET : Button.START);
            }
        }
        pass(2.0);
        if (!Double.isNaN(plant.hornSinceS())) {
            press(Button.SILENCE);
        }
    }

    private boolean steams() {
        return Double.isNaN(plant.contactorOpenSinceS())
                && Double.isNaN(plant.noSteamSinceS())
                && Double.isNaN(plant.beltStandsSinceS());
    }

    private static void ask(Outside outside, String action) {
        outside.answer(outside.command("oven-1", "arm", Map.of("action", action)));
    }

    /** Down and up again, each long enough to be seen, and time for what follows. */
    private void press(Button button) {
        plant.act(line -> line.plant().hold(button, true));
        pass(0.5);
        plant.act(line -> line.plant().hold(button, false));
        pass(1.0);
    }

    private void pass(double s) {
        double untilS = plant.timeS() + s;
        plant.await("plant time", Child.PATIENCE, () -> plant.timeS() >= untilS);
    }

    private static void signal(Child controller, String name) {
        try (Child kill =
                Child.start(
                        "kill",
                        List.of(
                                Child.program("/bin/kill", "procps"),
                                "-" + name,
                                Long.toString(controller.pid())))) {
            assertEquals(0, kill.await());
        }
    }

    /**
     * The latching relay has dropped contactor and belt, the dampers fell closed, the horn sounds.
     */
    private void assertDropped(double gaveNoEdgeSinceS) {
        plant.await(
                "horn, contactor, belt and steam",
                Duration.ofSeconds(30),
                () ->
                        !Double.isNaN(plant.hornSinceS())
                                && !Double.isNaN(plant.contactorOpenSinceS())
                                && !Double.isNaN(plant.beltStandsSinceS())
                                && !Double.isNaN(plant.noSteamSinceS()));
        double hornS = plant.hornSinceS() - gaveNoEdgeSinceS;
        double openS = plant.contactorOpenSinceS() - gaveNoEdgeSinceS;
        double beltS = plant.beltStandsSinceS() - gaveNoEdgeSinceS;
        double steamS = plant.noSteamSinceS() - gaveNoEdgeSinceS;
        assertTrue(hornS < WITHIN_S, "horn after " + hornS + " s");
        assertTrue(openS < WITHIN_S, "contactor open after " + openS + " s");
        assertTrue(beltS < WITHIN_S, "belt stands after " + beltS + " s");
        double valveS = LIGHT.steamer().valveS();
        assertTrue(steamS < WITHIN_S + valveS, "no steam after " + steamS + " s");
        plant.await(
                "the damper's spring",
                Child.PATIENCE,
                () -> {
                    plant.act(line -> assertSafe(line, "the relay stays dropped"));
                    return plant.damper() <= 0.0;
                });
        plant.act(
                line -> {
                    assertTrue(line.plant().hornSounds(), "horn");
                });
    }

    private void assertSafe(String when) {
        plant.act(line -> assertSafe(line, when));
    }

    private static void assertSafe(SimulatedLine line, String when) {
        Plant plant = line.plant();
        assertFalse(plant.contactorClosed(), when);
        for (int n = 1; n <= plant.ovens(); n++) {
            assertEquals(0.0, plant.truth(n).heaterW, when);
        }
        UnitTruth steamer = plant.truth("steamer");
        assertEquals(0.0, steamer.steamKgPerS, when);
        assertEquals(0.0, steamer.beltMPerS, when);
    }
}
