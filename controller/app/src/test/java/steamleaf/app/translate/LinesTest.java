package steamleaf.app.translate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

final class LinesTest {
    private static final Instant AT = Instant.parse("2026-05-01T06:00:00.250Z");
    private final Lines lines = new Lines();

    private static UnitView idle(UnitId unit, double airSetpointC, double damper) {
        return new UnitView(
                unit,
                ProcedureState.IDLE,
                null,
                0,
                null,
                List.of(),
                null,
                null,
                0,
                0,
                0,
                "",
                0,
                airSetpointC,
                0,
                false,
                false,
                damper,
                null,
                null,
                List.of(),
                null,
                0,
                List.of(),
                List.of(),
                null,
                null,
                Double.NaN,
                false,
                null);
    }

    private static JsonNode tree(byte[] json) {
        try {
            return Codec.read(json, JsonNode.class);
        } catch (Codec.Malformed e) {
            throw new AssertionError(new String(json, StandardCharsets.UTF_8), e);
        }
    }

    private JsonNode second(Readings readings, List<UnitView> views, double... shares) {
        return tree(lines.second(7, AT, false, readings, views, shares, true)).get("body");
    }

    @Test
    void anEventsLineIsTheCodecsBodyInAnEnvelope() {
        Bodies.Guard guard =
                new Bodies.Guard("oven-1", "O-1", "caused", true, Because.of("door-open", "茶"));
        JsonNode line = tree(lines.event(7, AT, true, "guard", guard));
        assertEquals(7, line.get("cycle").asLong());
        assertEquals("2026-05-01T06:00:00.250Z", line.get("at").asText());
        assertTrue(line.get("doubtful").asBoolean());
        assertEquals("guard", line.get("kind").asText());
        assertEquals(Codec.tree(guard), line.get("body"));
    }

    @Test
    void timesAreWrittenAsTheCodecWritesThem() {
        for (long ms : new long[] {0, 1, 10, 100, 999, 1_000, 86_399_999}) {
            Instant at = Instant.parse("2026-05-01T00:00:00Z").plusMillis(ms);
            JsonNode line = tree(lines.event(1, at, false, "lost", new Bodies.Lost("x", 1)));
            assertEquals(at, Instant.parse(line.get("at").asText()));
        }
    }

    /** Against the JDK's own decimal arithmetic. */
    @Test
    void numbersAreRoundedToTheirDecimals() {
        Random random = new Random(20_260_501);
        Readings.Collector collector = new Readings.Collector(1);
        for (int i = 0; i < 20_000; i++) {
            double value = (random.nextDouble() - 0.3) * Math.pow(10, random.nextInt(6) - 2);
            collector.set(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA, value, Quality.GOOD);
            double written =
                    second(collector.build(), List.of(idle(UnitId.LINE, Double.NaN, 0)), 0)
                            .get("units")
                            .get("line")
                            .get("pressureKPa")
                            .asDouble();
            assertEquals(Math.round(value * 100) / 100.0, written, () -> "of " + value);
        }
    }

    @Test
    void whatDoesNotApplyOrCannotBeBelievedIsLeftOut() {
        Readings.Collector collector = new Readings.Collector(1);
        collector.set(UnitId.oven(1), Quantity.AIR_C, 80.126, Quality.GOOD);
        collector.set(UnitId.oven(1), Quantity.EXHAUST_C, 60.0, Quality.STALE);
        collector.set(UnitId.oven(1), Quantity.SCALE_KG, Double.NaN, Quality.NOT_FITTED);
        collector.set(UnitId.oven(1), Quantity.DOOR_CLOSED, false);
        JsonNode oven =
                second(collector.build(), List.of(idle(UnitId.oven(1), 80.0, 0.75)), 0.333)
                        .get("units")
                        .get("oven-1");
        assertEquals(
                "{\"airC\":80.13,\"setAirC\":80,\"heater\":0.33,\"damper\":0.75,\"fan\":0,\"doorClosed\":0}",
                oven.toString());
    }
}
