package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import steamleaf.app.io.Hardware;
import steamleaf.app.io.Wiring;
import steamleaf.core.interlock.Allowed;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.interlock.WantedOutputs;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.Sensing;

/**
 * Scan and drive against the running plant: what is driven moves it, and what it senses is read,
 * cycle by cycle.
 */
class ScanOnSimulatedLineTest {
    private static final int OVENS = 3;

    /** Chips that take turns show what was there within the last second. */
    private static final int ROUND_CYCLES = 10;

    private final SimulatedLine line =
            SimulatedLine.open(PlantSettings.stock(), Board.stock(), 4711);
    private final List<String> told = new ArrayList<>();
    private final Hardware hardware = Hardware.open(line.pi4j(), Wiring.stock(), told::add);
    private final Deque<double[]> recent = new ArrayDeque<>();
    private long cycle;
    private Readings readings = new Readings.Collector(OVENS).build();

    @AfterEach
    void close() {
        hardware.close();
        line.close();
    }

    private void run(int cycles, WantedOutputs wanted) {
        for (int i = 0; i < cycles; i++) {
            line.advance(0.1);
            readings = hardware.scan().scan(++cycle);
            assertTrue(hardware.drive().apply(Allowed.everything(wanted), Annunciation.DARK).all());
            assertTrue(hardware.drive().pulse());
            compare();
        }
    }

    /** The channels that take turns, as the plant shows them now. */
    private static double[] turns(Sensing s) {
        return new double[] {
            s.roomC,
            s.roomRh,
            s.roomPressureKPa,
            s.exhaustC[0],
            s.exhaustRh[0],
            s.scaleKg[0],
            s.exhaustC[1],
            s.exhaustRh[1],
            s.scaleKg[1],
            s.exhaustC[2],
            s.exhaustRh[2],
            s.scaleKg[2]
        };
    }

    private double[] turns(Readings r) {
        double[] values = new double[3 + 3 * OVENS];
        values[0] = r.good(UnitId.LINE, Quantity.ROOM_C);
        values[1] = r.good(UnitId.LINE, Quantity.ROOM_RH);
        values[2] = r.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA);
        for (int i = 0; i < OVENS; i++) {
            UnitId oven = UnitId.oven(i + 1);
            values[3 + 3 * i] = r.good(oven, Quantity.EXHAUST_C);
            values[4 + 3 * i] = r.good(oven, Quantity.EXHAUST_RH);
            values[5 + 3 * i] = r.good(oven, Quantity.SCALE_KG);
        }
        return values;
    }

    /**
     * Half a count each: 175 K and 1 of 65535, 20 kg and 120 kPa of 2147484 (with the calibration's
     * own half count).
     */
    private static double resolution(int channel) {
        return switch (channel % 3) {
            case 0 -> 0.5 * 175.0 / 65_535.0 + 1e-9;
            case 1 -> 0.5 / 65_535.0 + 1e-9;
            default -> channel == 2 ? 120.0 / 2_147_484 : 20.0 / 2_147_484;
        };
    }

    private void compare() {
        Sensing sensing = line.plant().sensing();
        recent.addLast(turns(sensing));
        if (recent.size() > ROUND_CYCLES) {
            recent.removeFirst();
        }
        if (cycle < 60) {
            return; // the bridge converters are still calibrating
        }
        double pt100K = 0.5 * 400.0 / 32_768.0 / 0.37;
        assertEquals(sensing.chestAC, readings.good(UnitId.STEAMER, Quantity.CHEST_A_C), pt100K);
        assertEquals(sensing.chestBC, readings.good(UnitId.STEAMER, Quantity.CHEST_B_C), pt100K);
        for (int i = 0; i < OVENS; i++) {
            assertEquals(
                    sensing.airC[i], readings.good(UnitId.oven(i + 1), Quantity.AIR_C), pt100K);
        }
        double[] read = turns(readings);
        for (int channel = 0; channel < read.length; channel++) {
            int at = channel;
            double nearest =
                    recent.stream()
                            .mapToDouble(shown -> Math.abs(shown[at] - read[at]))
                            .min()
                            .orElse(Double.NaN);
            assertTrue(
                    nearest <= resolution(channel),
                    "channel " + channel + " in cycle " + cycle + ": " + nearest);
        }
        contacts(sensing);
    }

    private void contacts(Sensing s) {
        contact(s.contactorClosed, UnitId.LINE, Quantity.CONTACTOR_CLOSED);
        contact(s.resetButton, UnitId.LINE, Quantity.RESET_BUTTON);
        contact(s.permitKeyOn, UnitId.LINE, Quantity.PERMIT_KEY_ON);
        contact(s.emergencyStopHealthy, UnitId.LINE, Quantity.EMERGENCY_STOP_HEALTHY);
        contact(s.hoodClosed, UnitId.STEAMER, Quantity.HOOD_CLOSED);
        contact(s.hoodLocked, UnitId.STEAMER, Quantity.HOOD_LOCKED);
        contact(s.steamAvailable, UnitId.STEAMER, Quantity.STEAM_AVAILABLE);
        contact(s.extractorProven, UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN);
        for (int i = 0; i < OVENS; i++) {
            UnitId oven = UnitId.oven(i + 1);
            contact(s.doorClosed[i], oven, Quantity.DOOR_CLOSED);
            contact(s.airflowProven[i], oven, Quantity.AIRFLOW_PROVEN);
            contact(s.highLimitHealthy[i], oven, Quantity.HIGH_LIMIT_HEALTHY);
            contact(s.heaterCurrent[i], oven, Quantity.HEATER_CURRENT);
        }
    }

    private void contact(boolean closed, UnitId unit, Quantity quantity) {
        assertEquals(
                closed,
                readings.isOn(unit, quantity),
                () -> unit.label() + " " + quantity + " in cycle " + cycle);
    }

    private static WantedOutputs driven(boolean contactor, int hotOven, double beltSpeed) {
        List<OvenOutputs> ovens =
                new ArrayList<>(Collections.nCopies(OVENS, new OvenOutputs(false, true, 0.25)));
        if (hotOven > 0) {
            ovens.set(hotOven - 1, new OvenOutputs(true, true, 0.25));
        }
        return new WantedOutputs(
                contactor, false, false, beltSpeed > 0, beltSpeed, true, false, ovens);
    }

    private double airC(int oven) {
        return readings.good(UnitId.oven(oven), Quantity.AIR_C);
    }

    @Test
    void whatIsDrivenMovesThePlantAndWhatItShowsIsRead() {
        line.plant().permitKey(true);
        run(60, driven(false, 0, 0));
        line.plant().hold(Button.RESET, true);
        run(3, driven(false, 0, 0));
        line.plant().hold(Button.RESET, false);
        run(30, driven(true, 0, 0));
        assertTrue(readings.isOn(UnitId.LINE, Quantity.CONTACTOR_CLOSED));

        double before = airC(2);
        run(600, driven(true, 2, 0.5)); // a minute of heat in oven 2, belt at half speed
        assertTrue(readings.isOn(UnitId.oven(2), Quantity.HEATER_CURRENT));
        assertTrue(readings.isOff(UnitId.oven(1), Quantity.HEATER_CURRENT));
        assertTrue(airC(2) > before + 5.0, "from " + before + " to " + airC(2));
        double fullMmPerS = 1000 * line.plant().settings().steamer().beltFullMPerS();
        double windowS = 8 * 10.0 / (0.5 * fullMmPerS);
        assertEquals(
                0.5 * fullMmPerS,
                readings.good(UnitId.STEAMER, Quantity.BELT_MM_PER_S),
                0.5 * fullMmPerS * 0.1 / (windowS - 0.1));

        run(100, driven(false, 0, 0));
        assertTrue(readings.isOff(UnitId.LINE, Quantity.CONTACTOR_CLOSED));
        assertEquals(0.0, readings.good(UnitId.STEAMER, Quantity.BELT_MM_PER_S));
        assertEquals(List.of(), told);
    }
}
