package steamleaf.sim.board;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

class BoardFileDocumentTest {
    @Test
    void theDocumentNamesEveryTerminal() throws IOException {
        String text = Files.readString(Path.of("..", "..", "docs", "board-file.md"));
        Terminals terminals = new Terminals(1);
        Set<String> names = new TreeSet<>(terminals.contacts.keySet());
        names.addAll(terminals.temperatures.keySet());
        names.addAll(terminals.climates.keySet());
        names.addAll(terminals.loads.keySet());
        names.addAll(terminals.switches.keySet());
        names.addAll(terminals.levers.keySet());
        names.removeIf(name -> text.contains("`" + name.replace("oven-1", "oven-N") + "`"));
        assertTrue(names.isEmpty(), names::toString);
    }
}
