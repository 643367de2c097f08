package steamleaf.sim.chip;

import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import steamleaf.sim.plant.ReferenceTable;

/** One row of a copied reference table; prints with its id and source. */
public record ReferenceRow(Map<String, String> cells) {
    public static Stream<ReferenceRow> of(String table) {
        return ReferenceTable.rows("/steamleaf/sim/chip/" + table).stream()
                .map(row -> new ReferenceRow(row.columns()));
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
