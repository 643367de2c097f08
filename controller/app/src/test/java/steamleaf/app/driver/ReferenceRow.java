package steamleaf.app.driver;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/**
 * One row of the published values in the test resources; its text names the row and its source in a
 * failure.
 */
public record ReferenceRow(
        String id,
        String device,
        String item,
        Map<String, String> inputs,
        String expected,
        String tol,
        String source) {

    /** All rows of this device and item; a file without any is a mistake of the test. */
    public static List<ReferenceRow> of(String file, String device, String item) {
        List<ReferenceRow> rows =
                all(file).stream()
                        .filter(row -> row.device.equals(device) && row.item.equals(item))
                        .toList();
        if (rows.isEmpty()) {
            throw new AssertionError(file + " has no row " + device + " " + item);
        }
        return rows;
    }

    public static ReferenceRow one(String file, String device, String item) {
        return of(file, device, item).getFirst();
    }

    public double number(String input) {
        return Double.parseDouble(Objects.requireNonNull(inputs.get(input), toString()));
    }

    public double expectedNumber() {
        return Double.parseDouble(expected);
    }

    public double tolerance() {
        return Double.parseDouble(tol);
    }

    /** An input written as 0xhex. */
    public int hex(String input) {
        return Integer.decode(Objects.requireNonNull(inputs.get(input), toString()));
    }

    @Override
    public String toString() {
        return id + " " + device + " " + item + " " + inputs + " = " + expected + " ±" + tol + " ("
                + source + ")";
    }

    private static List<ReferenceRow> all(String file) {
        // rtd_pt100.csv has no device column; its quantity stands where the item would
        boolean withDevice = file.equals("sensors.csv");
        List<ReferenceRow> rows = new ArrayList<>();
        for (String line : text(file).lines().skip(1).toList()) {
            List<String> cells = cells(line);
            int at = withDevice ? 2 : 1;
            rows.add(
                    new ReferenceRow(
                            cells.get(0),
                            withDevice ? cells.get(1) : "Pt100",
                            cells.get(at),
                            inputs(cells.get(at + 1)),
                            cells.get(at + 2),
                            cells.get(at + 4),
                            cells.get(at + 7)));
        }
        return rows;
    }

    private static String text(String file) {
        try (var in = Objects.requireNonNull(ReferenceRow.class.getResourceAsStream(file), file)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Map<String, String> inputs(String cell) {
        Map<String, String> inputs = new HashMap<>();
        for (String part : cell.split(";", -1)) {
            int equals = part.indexOf('=');
            if (equals > 0) {
                inputs.put(part.substring(0, equals).strip(), part.substring(equals + 1).strip());
            }
        }
        return inputs;
    }

    private static List<String> cells(String line) {
        List<String> cells = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < line.length(); i++) {
            char c = line.charAt(i);
            if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                cells.add(cell.toString());
                cell.setLength(0);
            } else {
                cell.append(c);
            }
        }
        cells.add(cell.toString());
        return cells;
    }
}
