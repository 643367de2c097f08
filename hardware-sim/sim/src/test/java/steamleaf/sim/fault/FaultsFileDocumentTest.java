package steamleaf.sim.fault;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import steamleaf.sim.board.Board;
import steamleaf.sim.board.Circuit;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.text.Entry;

/** The table and the example in {@code docs/faults-file.md} are those of the catalogue. */
class FaultsFileDocumentTest {
    private static final Path DOCUMENT = Path.of("..", "..", "docs", "faults-file.md");
    private static final String BEGIN = "<!-- table: begin -->\n";
    private static final String END = "<!-- table: end -->";

    private final FaultCatalogue catalogue =
            new FaultCatalogue(new Circuit(Board.stock(), 1), new Plant(PlantSettings.stock(), 1));

    /** Rewrites the table when run with {@code -Dsteamleaf.write=true}. */
    @Test
    void theTableInTheDocumentIsTheCatalogue() throws IOException {
        String text = Files.readString(DOCUMENT);
        int from = text.indexOf(BEGIN) + BEGIN.length();
        int to = text.indexOf(END);
        String table = table();
        if (Boolean.getBoolean("steamleaf.write")) {
            Files.writeString(DOCUMENT, text.substring(0, from) + table + text.substring(to));
            return;
        }
        assertEquals(table, text.substring(from, to), "run this test with -Dsteamleaf.write=true");
    }

    /** Components that break in the same ways share their rows. */
    private String table() {
        Map<String, Set<String>> waysOf = new LinkedHashMap<>();
        for (FaultCase c : catalogue.cases()) {
            String component =
                    c.component().replaceAll("oven-\\d", "oven-N").replaceAll("0x2\\d", "0x2…");
            String way = "`" + c.kind().word() + "` | " + c.meaning() + " | " + more(c) + " |\n";
            waysOf.computeIfAbsent(component, _ -> new LinkedHashSet<>()).add(way);
        }
        Map<Set<String>, List<String>> alike = new LinkedHashMap<>();
        waysOf.forEach(
                (component, ways) ->
                        alike.computeIfAbsent(ways, _ -> new ArrayList<>())
                                .add("`" + component + "`"));
        StringBuilder rows = new StringBuilder("| component | kind | what happens | besides |\n");
        rows.append("| --- | --- | --- | --- |\n");
        alike.forEach(
                (ways, components) -> {
                    rows.append("| ").append(String.join(", ", components)).append(" | ");
                    rows.append(String.join("| | ", ways));
                });
        return rows.toString();
    }

    private static String more(FaultCase c) {
        FaultCase.Size size = c.size();
        if (size != null) {
            String unit = Set.of("1", "per hour").contains(size.unit()) ? "" : " " + size.unit();
            String per = size.unit().equals("per hour") ? " per hour" : "";
            return "`size`: "
                    + Entry.plain(size.from())
                    + " to "
                    + Entry.plain(size.to())
                    + unit
                    + per;
        }
        return c.partners().isEmpty() ? "" : "`with`: another of its kind";
    }

    @Test
    void theExampleInTheDocumentCanBeRead() throws IOException {
        String text = Files.readString(DOCUMENT);
        int from = text.indexOf("```yaml\n") + "```yaml\n".length();
        String example = text.substring(from, text.indexOf("```", from));
        assertFalse(FaultTimeline.parse("faults.yaml", example, catalogue).faults().isEmpty());
    }
}
