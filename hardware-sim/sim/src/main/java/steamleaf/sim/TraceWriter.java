package steamleaf.sim;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.UnitTruth;

/**
 * The simulator's own record of what really was: one row per unit and simulated second. The same
 * truth gives the same bytes, on any machine: figures are rounded to fixed places by integer
 * arithmetic, whatever the locale.
 */
public final class TraceWriter implements AutoCloseable {
    /** The columns; what does not apply stays empty, switches are 0 or 1. */
    public static final String HEADER =
            "time_s,unit,air_c,leaf_c,moisture_wb,water_kg,door_open,fan_on,damper,heater_on,valve_on,contactor_on,"
                    + "heater_w,airflow_m3h,steam_kg_s";

    private static final int ROOM = 512; // more than the longest row
    private static final long[] POWERS = {1, 10, 100, 1_000, 10_000, 100_000, 1_000_000};

    private final OutputStream out;
    private final byte[][] units;
    private final byte[] buffer = new byte[1 << 16];
    private int used;

    /** Begins {@code out} with the header. Closing the writer closes it. */
    public TraceWriter(OutputStream out, List<String> units) {
        this.out = out;
        this.units =
                units.stream()
                        .map(unit -> unit.getBytes(StandardCharsets.US_ASCII))
                        .toArray(byte[][]::new);
        text(HEADER.getBytes(StandardCharsets.US_ASCII));
        buffer[used++] = '\n';
    }

    public static TraceWriter create(Path file, Plant plant) throws IOException {
        return new TraceWriter(Files.newOutputStream(file), plant.units());
    }

    /** One row for each unit. */
    public void write(long second, Plant plant) {
        for (int unit = 0; unit < units.length; unit++) {
            row(second, unit, plant.truth(unit));
        }
    }

    void row(long second, int unit, UnitTruth truth) {
        if (used > buffer.length - ROOM) {
            flush();
        }
        boolean steamer = unit == 0;
        boolean leaf = truth.leaf.present;
        whole(second);
        separator();
        text(units[unit]);
        separator();
        figure(truth.airC, 3);
        separator();
        figure(leaf ? truth.leaf.temperatureC : Double.NaN, 3);
        separator();
        figure(leaf ? truth.leaf.moistureWb : Double.NaN, 6);
        separator();
        figure(leaf ? truth.leaf.waterKg : Double.NaN, 6);
        separator();
        flag(truth.doorOpen);
        separator();
        flag(truth.fanOn);
        separator();
        figure(steamer ? Double.NaN : truth.damper, 3);
        separator();
        if (!steamer) {
            flag(truth.heaterOn);
        }
        separator();
        if (steamer) {
            flag(truth.valveOn);
        }
        separator();
        flag(truth.contactorOn);
        separator();
        figure(steamer ? Double.NaN : truth.heaterW, 1);
        separator();
        figure(steamer ? Double.NaN : truth.airflowM3PerH, 2);
        separator();
        figure(steamer ? truth.steamKgPerS : Double.NaN, 6);
        buffer[used++] = '\n';
    }

    private void separator() {
        buffer[used++] = ',';
    }

    private void flag(boolean on) {
        buffer[used++] = (byte) (on ? '1' : '0');
    }

    private void text(byte[] bytes) {
        System.arraycopy(bytes, 0, buffer, used, bytes.length);
        used += bytes.length;
    }

    /**
     * Rounded half up to so many places; not-a-number is empty, what is beyond nine digits is cut
     * there.
     */
    private void figure(double value, int places) {
        if (Double.isNaN(value)) {
            return;
        }
        double bounded = Math.clamp(value, -999_999_999, 999_999_999);
        long scaled = Math.round(bounded * POWERS[places]);
        if (scaled < 0) {
            buffer[used++] = '-';
            scaled = -scaled;
        }
        whole(scaled / POWERS[places]);
        buffer[used++] = '.';
        long fraction = scaled % POWERS[places];
        for (int i = places - 1; i >= 0; i--) {
            buffer[used + i] = (byte) ('0' + fraction % 10);
            fraction /= 10;
        }
        used += places;
    }

    private void whole(long value) {
        int digits = 1;
        for (long rest = value / 10; rest > 0; rest /= 10) {
            digits++;
        }
        long rest = value;
        for (int i = digits - 1; i >= 0; i--) {
            buffer[used + i] = (byte) ('0' + rest % 10);
            rest /= 10;
        }
        used += digits;
    }

    /** Hands on what has been gathered. */
    public void flush() {
        try {
            out.write(buffer, 0, used);
            out.flush();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        used = 0;
    }

    @Override
    public void close() {
        flush();
        try {
            out.close();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
