package steamleaf.app.translate;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import steamleaf.contract.Codec;
import steamleaf.contract.Kinds;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * Makes the JSON objects that become lines of the journal. The second's readings are written
 * straight into bytes, because there is one for each second of the line's life; everything else
 * goes through the codec. Used by one thread.
 */
public final class Lines {
    private static final List<Quantity> LINE =
            List.of(Quantity.ROOM_C, Quantity.ROOM_RH, Quantity.ROOM_PRESSURE_KPA);
    private static final List<Quantity> STEAMER =
            List.of(Quantity.CHEST_A_C, Quantity.CHEST_B_C, Quantity.BELT_MM_PER_S);
    private static final List<Quantity> OVEN =
            List.of(Quantity.AIR_C, Quantity.EXHAUST_C, Quantity.EXHAUST_RH, Quantity.SCALE_KG);

    private byte[] buffer = new byte[1024];
    private int length;
    private boolean comma;
    private long atSecond = Long.MIN_VALUE;
    private byte[] atPrefix = new byte[0];

    /** One event's line. */
    public byte[] event(long cycle, Instant at, boolean doubtful, String kind, Object body) {
        byte[] json = Codec.write(body);
        begin(cycle, at, doubtful, kind);
        ascii("\"body\":");
        bytes(json);
        put('}');
        return taken();
    }

    /**
     * The second's line.
     *
     * @param views the line first, then the steamer, then the ovens in order
     * @param heaterShare by view, the share of the last second its heater or valve was on
     */
    public byte[] second(
            long cycle,
            Instant at,
            boolean doubtful,
            Readings readings,
            List<UnitView> views,
            double[] heaterShare,
            boolean contactor) {
        begin(cycle, at, doubtful, Kinds.SECOND);
        ascii("\"body\":{\"units\":{");
        for (int i = 0; i < views.size(); i++) {
            UnitView view = views.get(i);
            if (i > 0) {
                put(',');
            }
            put('"');
            ascii(view.unit().label());
            ascii("\":{");
            comma = false;
            switch (view.unit().kind()) {
                case LINE -> {
                    readings(readings, UnitId.LINE, LINE);
                    flag("contactor", contactor);
                }
                case STEAMER -> {
                    readings(readings, UnitId.STEAMER, STEAMER);
                    if (view.steam() != null) {
                        value("boilingC", view.steam().boilingC(), 2);
                    }
                    value("valve", heaterShare[i], 2);
                    contact("hoodClosed", readings, UnitId.STEAMER, Quantity.HOOD_CLOSED);
                }
                case OVEN -> oven(readings, view, heaterShare[i]);
            }
            put('}');
        }
        ascii("},\"batches\":{");
        comma = false;
        for (int i = 0; i < views.size(); i++) {
            String batch = views.get(i).batchId();
            if (batch != null) {
                name(views.get(i).unit().label());
                put('"');
                bytes(batch.getBytes(StandardCharsets.UTF_8));
                put('"');
            }
        }
        ascii("}}}");
        return taken();
    }

    private void oven(Readings readings, UnitView view, double heaterShare) {
        UnitId oven = view.unit();
        readings(readings, oven, OVEN);
        value("setAirC", view.airSetpointC(), 1);
        value("heater", heaterShare, 2);
        value("damper", view.damper(), 2);
        flag("fan", view.fan());
        MoistureView moisture = view.moisture();
        if (moisture != null) {
            value("moisture", moisture.mean(), 4);
            value("moistureSd", moisture.deviation(), 4);
            value("wettest", moisture.wettest(), 4);
            value("leafC", moisture.leafC(), 1);
        }
        contact("doorClosed", readings, oven, Quantity.DOOR_CLOSED);
        contact("airflow", readings, oven, Quantity.AIRFLOW_PROVEN);
    }

    private void readings(Readings readings, UnitId unit, List<Quantity> quantities) {
        for (int i = 0; i < quantities.size(); i++) {
            Quantity quantity = quantities.get(i);
            value(Names.of(quantity), readings.good(unit, quantity), decimals(quantity));
        }
    }

    private static int decimals(Quantity quantity) {
        return switch (Names.perUnit(quantity)) {
            case 10 -> 1;
            case 100 -> 2;
            case 1_000 -> 3;
            case 10_000 -> 4;
            default -> 0;
        };
    }

    private void contact(String name, Readings readings, UnitId unit, Quantity quantity) {
        value(name, readings.good(unit, quantity), 0);
    }

    private void flag(String name, boolean on) {
        name(name);
        put(on ? '1' : '0');
    }

    /** A bad value is left out. */
    private void value(String name, double value, int decimals) {
        if (Double.isFinite(value)) {
            name(name);
            number(value, decimals);
        }
    }

    private void name(String name) {
        if (comma) {
            put(',');
        }
        comma = true;
        put('"');
        ascii(name);
        put('"');
        put(':');
    }

    /** The shortest decimal text of {@code value} rounded to so many decimals. */
    private void number(double value, int decimals) {
        long scale = SCALES[decimals];
        long scaled = Math.round(value * scale);
        if (scaled < 0) {
            put('-');
            scaled = -scaled;
        }
        whole(scaled / scale);
        long rest = scaled % scale;
        if (rest != 0) {
            put('.');
            for (long unit = scale / 10; rest != 0; unit /= 10) {
                put((char) ('0' + rest / unit));
                rest %= unit;
            }
        }
    }

    private static final long[] SCALES = {1, 10, 100, 1_000, 10_000, 100_000};

    private void whole(long n) {
        room(20);
        if (n < 10) {
            buffer[length++] = (byte) ('0' + n);
            return;
        }
        int digits = 0;
        for (long rest = n; rest > 0; rest /= 10) {
            digits++;
        }
        int end = length + digits;
        long rest = n;
        for (int i = end - 1; i >= length; i--) {
            buffer[i] = (byte) ('0' + rest % 10);
            rest /= 10;
        }
        length = end;
    }

    private void begin(long cycle, Instant at, boolean doubtful, String kind) {
        length = 0;
        ascii("{\"cycle\":");
        whole(cycle);
        ascii(",\"at\":\"");
        time(at);
        ascii("\",\"doubtful\":");
        ascii(doubtful ? "true" : "false");
        ascii(",\"kind\":\"");
        ascii(kind);
        ascii("\",");
    }

    /** To the millisecond, as ISO 8601. */
    private void time(Instant at) {
        if (at.getEpochSecond() != atSecond) {
            atSecond = at.getEpochSecond();
            String text = Instant.ofEpochSecond(atSecond).toString();
            atPrefix = text.substring(0, text.length() - 1).getBytes(StandardCharsets.US_ASCII);
        }
        bytes(atPrefix);
        int ms = at.getNano() / 1_000_000;
        if (ms != 0) {
            put('.');
            put((char) ('0' + ms / 100));
            put((char) ('0' + ms / 10 % 10));
            put((char) ('0' + ms % 10));
        }
        put('Z');
    }

    private void ascii(String text) {
        int count = text.length();
        room(count);
        for (int i = 0; i < count; i++) {
            buffer[length + i] = (byte) text.charAt(i);
        }
        length += count;
    }

    private void bytes(byte[] some) {
        room(some.length);
        System.arraycopy(some, 0, buffer, length, some.length);
        length += some.length;
    }

    private void put(char c) {
        room(1);
        buffer[length++] = (byte) c;
    }

    private void room(int more) {
        if (length + more > buffer.length) {
            buffer = java.util.Arrays.copyOf(buffer, Math.max(2 * buffer.length, length + more));
        }
    }

    private byte[] taken() {
        return java.util.Arrays.copyOf(buffer, length);
    }
}
