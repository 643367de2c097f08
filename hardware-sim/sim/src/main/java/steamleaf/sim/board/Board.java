package steamleaf.sim.board;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import steamleaf.sim.text.FileMistakes;

/**
 * What is really wired to what, as read from a board file. It describes, it does not judge: a chip
 * at an address where no program looks is a board like any other.
 *
 * @param gpio terminal by BCM number
 */
public record Board(
        String name,
        int ovens,
        Map<Integer, String> gpio,
        List<SpiBus> spiBuses,
        List<I2cBus> i2cBuses) {

    /**
     * Three select lines into a 3-to-8 decoder under each chip enable; {@code a0} to {@code a2} are
     * BCM numbers.
     */
    public record SpiBus(int bus, int a0, int a1, int a2, List<Thermometer> thermometers) {}

    /** A MAX31865 at output {@code select} of the decoder under {@code chipEnable}. */
    public record Thermometer(
            int chipEnable,
            int select,
            String element,
            double referenceOhm,
            int wires,
            double leadOhm) {}

    public record I2cBus(int bus, List<Fit> chips) {}

    /** A chip in its place on an I2C segment. */
    public sealed interface Fit {
        int address();
    }

    /** TCA9548A; chips by channel. */
    public record Mux(int address, Map<Integer, List<Fit>> channels) implements Fit {}

    /** SHT31. */
    public record Hygrometer(int address, String element) implements Fit {}

    /**
     * NAU7802 with a bridge.
     *
     * @param fullScale load at which the bridge gives {@code fullScaleMvPerV} above {@code
     *     zeroMvPerV}; kg or kPa
     */
    public record Bridge(
            int address,
            String element,
            double zeroMvPerV,
            double fullScale,
            double fullScaleMvPerV)
            implements Fit {}

    /** MCP23017; terminals by pin, 0 to 7 port A, 8 to 15 port B. */
    public record Expander(int address, Map<Integer, String> pins) implements Fit {}

    /** PCA9685; terminals by channel. */
    public record Levers(int address, Map<Integer, String> channels, boolean enabledByWatchdogRelay)
            implements Fit {}

    static final String LOOP_BACK_OUT = "loop-back-out";
    static final String LOOP_BACK_IN = "loop-back-in";

    /** The board of the stock line. */
    public static Board stock() {
        String resource = "/steamleaf/sim/board.yaml";
        try (InputStream in =
                Objects.requireNonNull(Board.class.getResourceAsStream(resource), resource)) {
            return parse("board.yaml", new String(in.readAllBytes(), StandardCharsets.UTF_8));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /**
     * The stock line's board with another number of ovens, wired on in the same manner.
     *
     * @param ovens 1 to 8
     */
    public static Board stock(int ovens) {
        return parse("stock board", StockBoard.text(ovens));
    }

    /**
     * Reads a board file.
     *
     * @throws FileMistakes naming everything wrong with the file at once
     */
    public static Board read(Path file) throws IOException {
        return parse(String.valueOf(file.getFileName()), Files.readString(file));
    }

    /**
     * Reads the text of a board file; {@code fileName} is how its mistakes name it.
     *
     * @throws FileMistakes naming everything wrong with the text at once
     */
    public static Board parse(String fileName, String text) {
        return new BoardFile(fileName).parse(text);
    }
}
