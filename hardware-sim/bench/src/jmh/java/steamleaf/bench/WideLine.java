package steamleaf.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import steamleaf.app.config.Config;
import steamleaf.app.config.ConfigFile;
import steamleaf.app.config.Misconfigured;
import steamleaf.contract.CommandMessage.LotDraft;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.reading.UnitId;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.PlantYaml;

/**
 * The stock line with up to eight ovens, brought to a moment at which as many ovens dry as two hands
 * and one steamer can keep at it. The same every time.
 */
final class WideLine implements AutoCloseable {
    private static final int CYCLES_PER_LOOK = 5;
    private static final int CYCLES_PER_SECOND = 10;
    private static final double LONGEST_S = 6 * 3600;
    private static final int FIRST_DRYING = 2;

    /** GPIO of the heaters, as the simulator's stock board has them. */
    private static final int[] HEATERS = {13, 16, 19, 20, 21, 26, 18, 15};

    private static final int STOCK_OVENS = 3;

    private final Path folder;
    private final Rig rig;
    private final Config config;
    private final Hands hands;
    private final int ovens;
    private int begun;

    private WideLine(int ovens, long seed) throws IOException {
        this.ovens = ovens;
        config = config(ovens);
        folder = Files.createTempDirectory("steamleaf-benchmark");
        SimulatedLine line = SimulatedLine.open(plant(ovens, seed), Board.stock(ovens), seed);
        rig = Rig.alone(line, config, folder.resolve("journal"), "j-benchmark", BenchRun.BEGUN);
        hands = new Hands(line.plant(), rig, Hands.Help.ALL, _ -> {});
    }

    /** A line with {@code drying} ovens at their drying, nobody waited for. */
    static WideLine withDrying(int ovens, int drying) {
        Quiet.logs();
        try {
            WideLine wide = new WideLine(ovens, 1);
            wide.live(drying);
            return wide;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    Rig rig() {
        return rig;
    }

    Config config() {
        return config;
    }

    int ovens() {
        return ovens;
    }

    private void live(int wanted) {
        rig.cycle();
        hands.beginDay();
        int most = 0;
        for (long cycle = 2; rig.nowS() < LONGEST_S; cycle++) {
            rig.cycle();
            if (cycle % CYCLES_PER_LOOK == 0) {
                hands.look();
            }
            if (cycle % CYCLES_PER_SECOND == 0) {
                if (begun < ovens && !hands.busy() && isSteamerFree()) {
                    begun++;
                    hands.runBatch(lot(begun), "deep", UnitId.oven(begun), 4.0);
                }
                most = Math.max(most, drying());
                if (drying() >= wanted && !hands.busy()) {
                    return;
                }
            }
        }
        throw new IllegalStateException(
                "of " + ovens + " ovens never more than " + most + " dried, wanted: " + wanted);
    }

    private int drying() {
        int drying = 0;
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && batch.phase() instanceof Phase.Drying) {
                drying++;
            }
        }
        return drying;
    }

    private boolean isSteamerFree() {
        for (OvenSlot slot : rig.floor().slots()) {
            Batch batch = slot.batch();
            if (batch != null && batch.procedure().operation() < FIRST_DRYING) {
                return false;
            }
        }
        return true;
    }

    private static LotDraft lot(int number) {
        return new LotDraft(
                String.valueOf(40 + number),
                "Upper terrace",
                "seedling",
                0,
                "medium",
                false,
                1.0,
                4.2,
                22.0);
    }

    @Override
    public void close() {
        rig.close();
        try {
            BenchCommand.remove(folder);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static PlantSettings plant(int ovens, long seed) {
        return switch (PlantYaml.read("ovens: " + ovens, "wide line", PlantSettings.drawn(seed))) {
            case PlantYaml.Read(PlantSettings settings) -> settings;
            case PlantYaml.Refused(List<String> mistakes) ->
                    throw new IllegalStateException(mistakes.toString());
        };
    }

    /** The stock configuration, wired on in its own manner. */
    private static Config config(int ovens) {
        StringBuilder text = new StringBuilder(ConfigFile.stock().stripTrailing()).append('\n');
        for (int n = STOCK_OVENS + 1; n <= ovens; n++) {
            insertAfter(text, "  oven-" + (n - 1) + ": *oven\n", "  oven-" + n + ": *oven\n");
            text.append(wiring(n));
        }
        String loops = "{ address: 0x23, loopOut: GPB7, loopIn: GPA6 }\n";
        for (int address = 0x22 + (ovens - 1) / 2; address > 0x23; address--) {
            insertAfter(
                    text,
                    loops,
                    "    - { address: 0x"
                            + Integer.toHexString(address)
                            + ", loopOut: GPB7, loopIn: GPA6 }\n");
        }
        String yaml = ovens < 8 ? text.toString() : text.toString().replace("[0x71]", "[0x71, 0x72]");
        try {
            return ConfigFile.parse("wide line", yaml, Path.of("."));
        } catch (Misconfigured e) {
            throw new IllegalStateException(e.problems().toString(), e);
        }
    }

    private static void insertAfter(StringBuilder text, String line, String added) {
        int at = text.indexOf(line);
        if (at < 0) {
            throw new IllegalStateException("the stock configuration has no line " + line);
        }
        text.insert(at + line.length(), added);
    }

    private static String wiring(int n) {
        String expander = "0x" + Integer.toHexString(0x22 + (n - 1) / 2);
        String port = expander + (n % 2 == 1 ? " GPA" : " GPB");
        String mux = "mux: 0x" + Integer.toHexString(0x71 + n / 8) + ", channel: " + n % 8;
        return """
                oven-%d:
                  air: CE%d Y%d
                  exhaust: { %s, address: 0x44 }
                  scale: { %s, zeroMvPerV: 0, fullScale: 20, fullScaleMvPerV: 2, lowest: -1, highest: 22 }
                  doorClosed: %s0
                  airflow: %s1
                  highLimit: %s2
                  heaterCurrent: %s3
                  fan: %s4
                  heater: %d
                  damper: %d
            """
                .formatted(
                        n,
                        (n + 1) / 8,
                        (n + 1) % 8,
                        mux,
                        mux,
                        port,
                        port,
                        port,
                        port,
                        port,
                        HEATERS[n - 1],
                        n);
    }
}
