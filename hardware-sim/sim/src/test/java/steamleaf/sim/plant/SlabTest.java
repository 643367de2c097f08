package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class SlabTest {
    private static final double HALF_M = 2.1e-4;
    private static final double DIFFUSIVITY = 1.14e-11;
    private static final double PRESSURE_PA = 101_325;
    private static final double CELSIUS = 60;
    private static final double VAPOUR_PA = 4_000;

    private final Gab gab = new Gab(PlantSettings.stock().sorption());

    private Slab drying(Grid grid, double toFourier, double elapsedS) {
        Slab slab = new Slab(grid);
        slab.halfThicknessM = HALF_M;
        slab.dryKg = 1;
        slab.fill(0.25);
        gab.temperature(CELSIUS);
        double saturation = Steam.saturationPa(CELSIUS);
        long steps = Math.round(toFourier * HALF_M * HALF_M / DIFFUSIVITY / elapsedS);
        double exact = toFourier * HALF_M * HALF_M / DIFFUSIVITY / steps;
        for (long i = 0; i < steps; i++) {
            slab.step(
                    exact, DIFFUSIVITY, DIFFUSIVITY, gab, saturation, PRESSURE_PA, 1e6, VAPOUR_PA);
        }
        return slab;
    }

    private double equilibrium() {
        gab.temperature(CELSIUS);
        return gab.moistureKgPerKg(VAPOUR_PA / Steam.saturationPa(CELSIUS));
    }

    static Stream<ReferenceTable.Row> slabRows() {
        return ReferenceTable.rows("tea_drying.csv").stream()
                .filter(row -> row.text("topic").equals("slab_diffusion"))
                .filter(row -> fourier(row) >= 0.01);
    }

    private static double fourier(ReferenceTable.Row row) {
        String inputs = row.text("inputs");
        return Double.parseDouble(inputs.replaceAll(".*=([0-9.]+) \\(.*", "$1"));
    }

    /** The plant's own grid and step: six nodes, one second, diffusivity of leaf at 80 °C. */
    @ParameterizedTest
    @MethodSource("slabRows")
    void theStockGridFollowsTheCrankSeriesToAThousandth(ReferenceTable.Row row) {
        Slab slab = drying(Grid.six(), fourier(row), 1);
        double ratio = (slab.mean() - equilibrium()) / (0.25 - equilibrium());
        assertEquals(row.number("expected"), ratio, 1e-3, row::toString);
    }

    @ParameterizedTest
    @MethodSource("slabRows")
    void aFineGridFollowsItToTwoTenThousandths(ReferenceTable.Row row) {
        Slab slab = drying(Grid.graded(60, 0.2), fourier(row), 0.05);
        double ratio = (slab.mean() - equilibrium()) / (0.25 - equilibrium());
        assertEquals(row.number("expected"), ratio, 2e-4, row::toString);
    }

    /** Crank's profile rows, read between cell centres of a fine grid. */
    @Test
    void theProfileInsideIsCranks() {
        List<ReferenceTable.Row> rows =
                ReferenceTable.rows("tea_drying.csv").stream()
                        .filter(row -> row.text("topic").equals("slab_profile"))
                        .toList();
        assertTrue(rows.size() >= 4);
        for (ReferenceTable.Row row : rows) {
            double place =
                    Double.parseDouble(row.text("inputs").replaceAll("x/L=([0-9.]+);.*", "$1"));
            Slab slab = drying(Grid.graded(60, 0.05), row.input("Fo"), 0.1);
            double ratio = (slab.at(place) - equilibrium()) / (0.25 - equilibrium());
            assertEquals(row.number("expected"), ratio, 1e-3, row::toString);
        }
    }

    /**
     * The ladder's surface response is the continued fraction of √s·tanh√s cut after twelve terms,
     * and it holds all dry matter.
     */
    @Test
    void theSixNodesAnswerLikeTheContinuousSlab() {
        Grid grid = Grid.six();
        double all = 0;
        for (double share : grid.volume) {
            all += share;
        }
        assertEquals(1, all, 1e-14);
        for (double s : new double[] {1e-3, 0.1, 1, 10, 50, 200}) {
            double fraction = 23;
            for (int k = 11; k >= 1; k--) {
                fraction = 2 * k - 1 + s / fraction;
            }
            double ladder = 0;
            for (int i = 0; i < 6; i++) {
                double admittance = grid.volume[i] * s + ladder;
                double resistance = grid.outer[i] + (i < 5 ? grid.inner[i + 1] : 0);
                ladder = 1 / (resistance + 1 / admittance);
            }
            assertEquals(s / fraction, ladder, 1e-12 * ladder);
            double exact = Math.sqrt(s) * Math.tanh(Math.sqrt(s));
            assertEquals(exact, ladder, 3e-4 * exact, "at s = " + s);
        }
    }

    /**
     * Leaf as it is, diffusivity growing with moisture, drying from steamed to finished: six nodes
     * at 1 s against sixty at 0.1 s.
     */
    @Test
    void sixNodesDryAsFastAsAFineGridWithMoistureDependentDiffusivity() {
        PlantSettings.Leaf leaf = PlantSettings.stock().leaf();
        double[] coarse = dryingTimesS(Grid.six(), 1, leaf);
        double[] fine = dryingTimesS(Grid.graded(60, 0.05), 0.1, leaf);
        for (int i = 0; i < coarse.length; i++) {
            assertEquals(
                    1,
                    coarse[i] / fine[i],
                    0.03,
                    "milestone " + i + ": " + coarse[i] + " s against " + fine[i] + " s");
        }
    }

    private double[] dryingTimesS(Grid grid, double elapsedS, PlantSettings.Leaf leaf) {
        double[] milestones = {1, 0.33, 0.15, 0.053};
        double[] times = new double[milestones.length];
        Slab slab = new Slab(grid);
        slab.halfThicknessM = leaf.bladeHalfThicknessM();
        slab.dryKg = 1;
        slab.fill(4);
        gab.temperature(CELSIUS);
        double saturation = Steam.saturationPa(CELSIUS);
        int next = 0;
        for (double time = 0; next < milestones.length; time += elapsedS) {
            slab.step(
                    elapsedS,
                    leaf.dryDiffusivityM2PerS(),
                    leaf.wetDiffusivityM2PerS(),
                    gab,
                    saturation,
                    PRESSURE_PA,
                    0.01,
                    2_000);
            if (slab.mean() < milestones[next]) {
                times[next++] = time;
            }
        }
        return times;
    }

    /** Whatever the film and however long the step, water neither appears nor turns negative. */
    @Test
    void anyFilmIsStable() {
        Noise random = new Noise(7, "films");
        double saturation = Steam.saturationPa(CELSIUS);
        for (int run = 0; run < 300; run++) {
            Slab slab = new Slab(Grid.six());
            slab.halfThicknessM = HALF_M;
            slab.dryKg = 1;
            slab.fill(4 * random.uniform());
            gab.temperature(CELSIUS);
            double film = Math.pow(10, 8 * random.uniform() - 5);
            double elapsed = Math.pow(10, 3 * random.uniform() - 1);
            double air = saturation * 0.9 * random.uniform();
            double low = Math.min(slab.mean(), gab.moistureKgPerKg(air / saturation));
            for (int i = 0; i < 200; i++) {
                double before = slab.mean();
                slab.step(
                        elapsed,
                        DIFFUSIVITY,
                        5 * DIFFUSIVITY,
                        gab,
                        saturation,
                        PRESSURE_PA,
                        film,
                        air);
                assertEquals(before - slab.mean(), slab.fluxPerS * elapsed, 1e-12 * (1 + before));
                for (double moisture : slab.moisture) {
                    assertTrue(
                            moisture >= low - 1e-9 && Double.isFinite(moisture),
                            "run " + run + ": " + moisture + " below " + low);
                }
            }
        }
    }

    /** The isotherm's inverse, and its two published or inferred anchors; see {@link Gab}. */
    @Test
    void sorptionIsConsistentAndInTheRightCountry() {
        for (double celsius : new double[] {10, 25, 60, 90}) {
            gab.temperature(celsius);
            for (double activity = 0.02; activity < 0.99; activity += 0.01) {
                double moisture = gab.moistureKgPerKg(activity);
                gab.at(moisture);
                assertEquals(activity, gab.activity, 1e-12);
                double up = gab.activity;
                gab.at(moisture * (1 + 1e-6));
                assertEquals(gab.slope, (gab.activity - up) / (moisture * 1e-6), 1e-3 * gab.slope);
            }
        }
        gab.temperature(25);
        double wetBasis = LeafTruth.wetBasis(gab.moistureKgPerKg(0.26));
        assertEquals(0.04, wetBasis, 0.01, "weak published point: 4 % w.b. at water activity 0.26");
    }
}
