package steamleaf.sim.plant;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Rows of a copied reference table. */
public final class ReferenceTable {
    private static final Pattern NAMED = Pattern.compile("([A-Za-z_/]+)\\s*=\\s*([-+0-9.eE]+)");

    /** One row, its columns by name. */
    public record Row(Map<String, String> columns) {
        String text(String column) {
            return Objects.requireNonNull(columns.get(column), column);
        }

        double number(String column) {
            return Double.parseDouble(text(column));
        }

        /** A number given in the column {@code inputs} as {@code name=value}. */
        double input(String name) {
            Matcher matcher = NAMED.matcher(text("inputs"));
            while (matcher.find()) {
                if (matcher.group(1).equals(name)) {
                    return Double.parseDouble(matcher.group(2));
                }
            }
            throw new IllegalArgumentException(this + " has no input " + name);
        }

        /** Allowed deviation from the expected value, absolute. */
        double tolerance() {
            return text("tol_type").equals("rel")
                    ? number("tol") * Math.abs(number("expected"))
                    : number("tol");
        }

        @Override
        public String toString() {
            return text("id") + " (" + text("source") + ")";
        }
    }

    private ReferenceTable() {}

    public static List<Row> rows(String file) {
        try (BufferedReader in =
                new BufferedReader(
                        new InputStreamReader(
                                Objects.requireNonNull(
                                        ReferenceTable.class.getResourceAsStream(file), file),
                                StandardCharsets.UTF_8))) {
            List<String> names = split(Objects.requireNonNull(in.readLine()));
            List<Row> rows = new ArrayList<>();
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                List<String> cells = split(line);
                Map<String, String> columns = new HashMap<>();
                for (int i = 0; i < names.size(); i++) {
                    columns.put(names.get(i), i < cells.size() ? cells.get(i) : "");
                }
                rows.add(new Row(columns));
            }
            return rows;
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
}
