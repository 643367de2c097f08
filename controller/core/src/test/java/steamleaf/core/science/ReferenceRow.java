package steamleaf.core.science;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** One row of a copied reference table; column names as printed in the table. */
public record ReferenceRow(String table, Map<String, String> columns) {

    /** All rows of {@code reference/NAME.csv}. */
    public static List<ReferenceRow> table(String name) {
        List<ReferenceRow> rows = new ArrayList<>();
        List<List<String>> lines = cells("reference/" + name + ".csv");
        List<String> header = lines.getFirst();
        for (List<String> line : lines.subList(1, lines.size())) {
            Map<String, String> columns = new LinkedHashMap<>();
            for (int i = 0; i < header.size(); i++) {
                columns.put(header.get(i), i < line.size() ? line.get(i) : "");
            }
            rows.add(new ReferenceRow(name, columns));
        }
        return rows;
    }

    /** The rows that cannot serve, id to reason, from {@code reference/cannot-serve.csv}. */
    public static Map<String, String> cannotServe() {
        Map<String, String> reasons = new HashMap<>();
        List<List<String>> lines = cells("reference/cannot-serve.csv");
        for (List<String> line : lines.subList(1, lines.size())) {
            assertTrue(
                    line.size() == 2 && !line.get(1).isBlank(),
                    () -> "a reason is missing: " + line);
            assertTrue(
                    reasons.put(line.get(0), line.get(1)) == null,
                    () -> "listed twice: " + line.get(0));
        }
        return reasons;
    }

    public String id() {
        return text("id");
    }

    public String text(String column) {
        return Objects.requireNonNull(
                columns.get(column), () -> "no column " + column + " in " + table);
    }

    public double number(String column) {
        return Double.parseDouble(text(column));
    }

    /** A named number inside a cell such as {@code k=1;tau=10}; also {@code m_in=100 kg}. */
    public double named(String column, String name) {
        for (String part : text(column).split(";", -1)) {
            String[] pair = part.trim().split("=", 2);
            if (pair.length == 2 && pair[0].trim().equals(name)) {
                return Double.parseDouble(pair[1].trim().split("[ (]", 2)[0]);
            }
        }
        return fail(this + ": no " + name + " in " + text(column));
    }

    public double in(String name) {
        return named("inputs", name);
    }

    /** Compares at the row's own tolerance; the message carries id and source. */
    public void check(double actual) {
        check(number("expected"), actual);
    }

    /**
     * Compares one of several expected values, for example {@code Kc} in {@code Kc=2.5;tauI=10}.
     */
    public void check(String name, double actual) {
        check(named("expected", name), actual);
    }

    private void check(double expected, double actual) {
        double tolerance = number("tol");
        double allowed =
                switch (text("tol_type")) {
                    case "rel" -> Math.abs(expected) * tolerance;
                    case "abs" -> tolerance;
                    default -> throw new IllegalStateException(this + ": tolerance type");
                };
        // said positively, so NaN fails; the last term forgives only the rounding of the
        // subtraction
        boolean good = Math.abs(actual - expected) <= allowed + 4 * Math.ulp(expected);
        assertTrue(
                good, () -> this + ": expected " + expected + " ± " + allowed + ", was " + actual);
    }

    @Override
    public String toString() {
        return id() + " [" + text("source") + "; " + text("provenance") + "]";
    }

    private static List<List<String>> cells(String resource) {
        try (InputStream in = ReferenceRow.class.getClassLoader().getResourceAsStream(resource)) {
            String text =
                    new String(
                            Objects.requireNonNull(in, resource).readAllBytes(),
                            StandardCharsets.UTF_8);
            return text.lines().filter(line -> !line.isBlank()).map(ReferenceRow::split).toList();
        } catch (IOException e) {
            throw new IllegalStateException(resource, e);
        }
    }

    private static List<String> split(String line) {
        List<String> cells = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < line.length(); i++) {
            char c = line.charAt(i);
            if (c == '"' && quoted && i + 1 < line.length() && line.charAt(i + 1) == '"') {
                cell.append('"');
                i++;
            } else if (c == '"') {
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
