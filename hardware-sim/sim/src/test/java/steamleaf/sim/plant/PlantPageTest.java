package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * {@code docs/plant.md} is generated from the settings; with {@code -Dpage.write=true} this test
 * writes it instead of comparing.
 */
class PlantPageTest {
    private static final Path PAGE = Path.of("..", "..", "docs", "plant.md");

    @Test
    void thePageOfThePlantFileIsUpToDate() throws IOException {
        String page = page();
        if (Boolean.getBoolean("page.write")) {
            Files.createDirectories(PAGE.getParent());
            Files.writeString(PAGE, page);
        }
        assertEquals(
                page,
                Files.readString(PAGE),
                "docs/plant.md is stale: run this test with -Dpage.write=true");
    }

    private static String page() {
        StringBuilder page = new StringBuilder(HEAD);
        String part = "";
        for (SettingsTree.Entry entry : SettingsTree.entries(PlantSettings.stock())) {
            int dot = entry.path().lastIndexOf('.');
            String in = dot < 0 ? "" : entry.path().substring(0, dot);
            if (!in.equals(part) || page.length() == HEAD.length()) {
                part = in;
                page.append("\n## ")
                        .append(in.isEmpty() ? "The line" : "`" + in + "`")
                        .append("\n\n");
                page.append(
                        "| key | unit | stock | allowed | varies | what |\n| --- | --- | --- | --- | --- | --- |\n");
            }
            Key key = entry.key();
            page.append("| `")
                    .append(entry.path())
                    .append("` | ")
                    .append(key.unit())
                    .append(" | ")
                    .append(shown(entry.value()));
            page.append(" | ")
                    .append(SettingsTree.number(key.min()))
                    .append(" to ")
                    .append(SettingsTree.number(key.max()));
            page.append(" | ").append(varies(key)).append(" | ").append(key.what()).append(" |\n");
        }
        return page.append(TAIL).toString();
    }

    private static String shown(Object value) {
        return switch (value) {
            case List<?> list ->
                    String.join(", ", list.stream().map(PlantPageTest::shown).toList());
            case Number number -> SettingsTree.number(number.doubleValue());
            default -> throw new IllegalArgumentException(value.toString());
        };
    }

    private static String varies(Key key) {
        return switch (key.varies()) {
            case NOT -> "";
            case PLUS -> "± " + SettingsTree.number(key.sd());
            case TIMES -> "×÷ " + SettingsTree.number(key.sd());
        };
    }

    private static final String HEAD =
            """
            # The plant file

            `--plant FILE` overrides numbers of the simulated line. The file is YAML 1.2 (core schema), nested as the keys below are
            dotted; what it does not name keeps its value. Unknown keys are refused by name with the nearest allowed ones, and all
            mistakes are listed at once with file and line.

            ```yaml
            room: {altitudeM: 1500, relativeHumidity: 0.8}
            leaf:
              stemShare: 0.25
            oven:
              heaterW: 4500
              trays: 3
              airDistribution: [1.1, 1.0, 0.9]
            sensors:
              exhaustHumidity: {bias: 0.03}
            ```

            Order: the stock line, then what the seed draws, then the file. So a number in the file holds exactly, whatever the seed. The seed
            draws each number that *varies*: "± s" adds a normal deviate of standard deviation s in the key's unit, "×÷ s" multiplies by
            the exponential of one, both cut at 2.5 deviations and at the allowed range. Offsets of single sensors (`biasSd`) and all noise are
            drawn by the seed too.

            What is modelled: each oven as heating element, plenum, trays in series with their own air, walls, damper, leak, door, fan and
            high limit; leaf as blade and stem in which water diffuses, with a surface film and a sorption isotherm, one temperature per tray;
            the steamer as a chest of steam and air with its metal, leaf on the belt, hood, bolt and extractor; contactor, watchdog relay,
            emergency stop and over-pressure switch; bench, cooling table, covered heap, rolling and shaping; sensing elements with offset, lag and
            noise. What is not: condensation on cold oven walls (the humidity reading stops at saturation), the heat of sorption beyond the latent
            heat, shrinkage of the film's area, air that the ovens give to the room, drying of leaf that lies on a stopped belt.

            Numbers without a source are engineering choices, set so that the lumped figures of a stock batch come out (about 90, 45, 40
            and 35 min for the four stages, 12 to 14 kWh). Moisture is wet basis (w.b.) unless it says dry basis (d.b.); ratios are 0 to 1.
            """;

    private static final String TAIL =
            """

            ## What must agree

            `oven.airDistribution` has one number for each of `oven.trays`; `oven.freshClosedM3PerH` is at most `oven.freshOpenM3PerH`, and that
            at most nine tenths of `oven.fanFlowM3PerH`; `steamer.reliefKPa` is above `steamer.overPressureKPa`.

            This page is generated from `PlantSettings`; a test fails when it is stale.
            """;
}
