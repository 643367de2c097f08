package steamleaf.sim;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultKind;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.UnitTruth;

class TraceWriterTest {
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final Plant plant = new Plant(PlantSettings.stock(), 1);

    private List<String> lines() {
        return out.toString(StandardCharsets.US_ASCII).lines().toList();
    }

    @Test
    void theHeaderIsTheAgreedOne() {
        new TraceWriter(out, plant.units()).close();
        assertEquals(
                List.of(
                        "time_s,unit,air_c,leaf_c,moisture_wb,water_kg,door_open,fan_on,damper,heater_on,valve_on,"
                                + "contactor_on,heater_w,airflow_m3h,steam_kg_s"),
                lines());
    }

    @Test
    void aRowSaysWhatTheUnitIsAndLeavesTheRestEmpty() {
        try (TraceWriter trace = new TraceWriter(out, plant.units())) {
            UnitTruth oven = plant.truth("oven-1");
            oven.airC = 79.99951;
            oven.leaf.present = true;
            oven.leaf.temperatureC = -0.0004;
            oven.leaf.moistureWb = 0.7999995;
            oven.leaf.waterKg = 3.2;
            oven.doorOpen = true;
            oven.fanOn = false;
            oven.damper = 0.0625;
            oven.heaterOn = true;
            oven.contactorOn = true;
            oven.heaterW = 5999.96;
            oven.airflowM3PerH = 200;
            trace.row(18_000, 1, oven);
            UnitTruth steamer = plant.truth("steamer");
            steamer.airC = -12.3456;
            steamer.leaf.present = false;
            steamer.doorOpen = false;
            steamer.fanOn = true;
            steamer.valveOn = true;
            steamer.contactorOn = false;
            steamer.steamKgPerS = 0.0012345;
            trace.row(7, 0, steamer);
        }
        assertEquals(
                "18000,oven-1,80.000,0.000,0.800000,3.200000,1,0,0.063,1,,1,6000.0,200.00,",
                lines().get(1));
        assertEquals("7,steamer,-12.346,,,,0,1,,,1,0,,,0.001235", lines().get(2));
    }

    @Test
    void manyRowsKeepTheirOrder() {
        try (TraceWriter trace = new TraceWriter(out, plant.units())) {
            for (int second = 0; second < 3000; second++) {
                trace.write(second, plant);
            }
        }
        List<String> lines = lines();
        assertEquals(1 + 3000 * 4, lines.size());
        for (int i = 1; i < lines.size(); i++) {
            String begins = (i - 1) / 4 + "," + plant.units().get((i - 1) % 4) + ",";
            assertEquals(begins, lines.get(i).substring(0, begins.length()));
            assertEquals(14, lines.get(i).chars().filter(c -> c == ',').count());
        }
    }

    @Test
    void theSameSeedGivesTheSameBytes() {
        assertArrayEquals(run(3), run(3));
    }

    private static byte[] run(long seed) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (SimulatedLine line = SimulatedLine.open(PlantSettings.stock(), Board.stock(), seed);
                TraceWriter trace = new TraceWriter(bytes, line.plant().units())) {
            line.faults().inject("oven-1.heater-relay", FaultKind.STUCK_ON, 60);
            for (int step = 0; step < 1200; step++) {
                line.advance(0.1);
                if (step % 10 == 9) {
                    trace.write(step / 10 + 1, line.plant());
                }
            }
        }
        return bytes.toByteArray();
    }
}
