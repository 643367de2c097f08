package steamleaf.app.main;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import steamleaf.app.config.ConfigFile;

final class ControllerMainTest {
    @TempDir Path folder;
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();

    private int run(String... args) {
        return ControllerMain.run(
                args,
                new PrintStream(out, true, StandardCharsets.UTF_8),
                new PrintStream(err, true, StandardCharsets.UTF_8));
    }

    private String said() {
        return out.toString(StandardCharsets.UTF_8) + err.toString(StandardCharsets.UTF_8);
    }

    private String file(String yaml) throws IOException {
        return Files.writeString(folder.resolve("line.yaml"), yaml).toString();
    }

    @Test
    void theStockConfigurationIsPrintedAndIsAllRight() throws IOException {
        assertEquals(ControllerMain.GOOD, run("--stock"));
        String stock = said();
        assertEquals(ConfigFile.stock(), stock);
        assertEquals(ControllerMain.GOOD, run("--config", file(stock), "--check"));
        assertTrue(said().contains("Ridge House"), said());
    }

    @Test
    void aWrongConfigurationListsEveryMistakeAndNothingStarts() throws IOException {
        String wrong =
                ConfigFile.stock()
                        .replace("site: ridge-house", "site: a/b")
                        .replace("light: true", "bright: true");
        assertEquals(ControllerMain.MISCONFIGURED, run("--config", file(wrong)));
        assertTrue(said().contains("line.yaml:4: site = a/b"), said());
        assertTrue(said().contains("recipes.bright is not known here, allowed: light"), said());
        assertFalse(Files.exists(folder.resolve("journal")));
    }

    @Test
    void wrongArgumentsSayWhatIsAllowed() {
        assertEquals(ControllerMain.MISCONFIGURED, run("--help"));
        assertTrue(said().contains("--config FILE"), said());
    }

    @Test
    void aMissingFileIsSaid() {
        assertEquals(ControllerMain.FAILED, run("--config", folder.resolve("none").toString()));
        assertTrue(said().contains("does not start"), said());
    }

    @Test
    void theWallClockIsDoubtedUntilASignOfItAppearsAndBelievedFromThenOn() throws IOException {
        Path sign = folder.resolve("synchronized");
        WallClock clock = new WallClock(List.of(sign));
        assertTrue(clock.isDoubtful());
        Files.createFile(sign);
        boolean doubtful = true;
        for (int i = 0; i < 20; i++) {
            doubtful = clock.isDoubtful();
        }
        assertFalse(doubtful);
        Files.delete(sign);
        assertFalse(clock.isDoubtful());
    }

    @Test
    void anAuthorityFileWithoutACertificateIsRefused() throws IOException {
        Path empty = Files.createFile(folder.resolve("authorities.pem"));
        IOException e = assertThrows(IOException.class, () -> Tls.factory(empty));
        assertTrue(String.valueOf(e.getMessage()).startsWith("mqtt.tls"), e.getMessage());
    }
}
