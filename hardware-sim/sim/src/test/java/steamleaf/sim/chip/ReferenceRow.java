package steamleaf.sim.chip;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.stream.Stream;

/** One row of a copied reference table; prints with its id and source. */
public record ReferenceRow(Map<String, String> cells) {
    public static Stream<ReferenceRow> of(String table) {
        String resource = "/steamleaf/sim/chip/" + table;
        try (BufferedReader in =
                new BufferedReader(
                        new InputStreamReader(
                                Objects.requireNonNull(
                                        ReferenceRow.class.getResourceAsStream(resource), resource),
                                StandardCharsets.UTF_8))) {
            List<String> header = split(in.readLine());
            List<ReferenceRow> rows = new ArrayList<>();
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                Map<String, String> cells = new TreeMap<>();
                List<String> values = split(line);
                for (int i = 0; i < header.size(); i++) {
                    cells.put(header.get(i), values.get(i));
                }
                rows.add(new ReferenceRow(cells));
            }
            return rows.stream();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static List<String> split(String line) {
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

    public String get(String column) {
        return Objects.requireNonNull(cells.get(column), column);
    }

    public String id() {
        return get("id");
    }

    public double expected() {
        return Double.parseDouble(get("expected"));
    }

    public double tolerance() {
        return Double.parseDouble(get("tol"));
    }

    /** {@code name=value} of the inputs column. */
    public String input(String name) {
        for (String part : get("inputs").split(";", -1)) {
            if (part.startsWith(name + "=")) {
                return part.substring(name.length() + 1);
            }
        }
        throw new IllegalArgumentException(name + " is not in " + this);
    }

    public double number(String name) {
        return Double.parseDouble(input(name));
    }

    @Override
    public String toString() {
        return id()
                + " "
                + cells.getOrDefault("device", "")
                + " "
                + cells.getOrDefault("item", "")
                + " "
                + get("inputs")
                + " -> "
                + get("expected")
                + " ("
                + get("source")
                + ")";
    }
}
