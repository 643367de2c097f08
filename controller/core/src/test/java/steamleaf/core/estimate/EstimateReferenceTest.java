package steamleaf.core.estimate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Map;
import java.util.stream.Stream;
import org.hipparchus.special.Erf;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import steamleaf.core.science.ReferenceRow;

/**
 * The Kalman rows of {@code reference/control.csv}, run through the moisture filter's own predict
 * and update.
 */
class EstimateReferenceTest {

    @TestFactory
    Stream<DynamicTest> everyKalmanRowHoldsAtItsTolerance() {
        Map<String, String> cannotServe = ReferenceRow.cannotServe();
        return ReferenceRow.table("control").stream()
                .filter(row -> row.text("topic").startsWith("kalman"))
                .filter(row -> !cannotServe.containsKey(row.id()))
                .map(row -> DynamicTest.dynamicTest(row.toString(), () -> check(row)));
    }

    private static void check(ReferenceRow row) {
        switch (row.text("topic")) {
            case "kalman_scalar" -> {
                Scalar scalar = new Scalar(row.in("Q"), row.in("R"), row.in("P0"));
                for (int i = 0; i < (int) row.in("steps"); i++) {
                    scalar.step();
                }
                row.check("K", scalar.posterior() / row.in("R"));
                row.check("P", scalar.posterior());
            }
            case "kalman_steady" -> {
                Scalar scalar = new Scalar(row.in("Q"), row.in("R"), 1.0);
                for (int i = 0; i < 20_000; i++) {
                    scalar.step();
                }
                row.check("Mprior", scalar.posterior() + row.in("Q"));
                row.check("K", scalar.posterior() / row.in("R"));
                row.check("Ppost", scalar.posterior());
            }
            case "kalman_building" -> building(row);
            default -> fail(row + ": nobody checks " + row.text("topic"));
        }
    }

    /** Zero of the tray scale as the only unknown: a random walk measured once a step. */
    private static final class Scalar {
        private final MoistureFilter filter;
        private final OvenAir air =
                new OvenAir(10, Double.NaN, Double.NaN, 10, 0.9, 101.325, 100, 0, false, 10.0, 0.0);

        Scalar(double q, double r, double p0) {
            LeafParameters.Drift drift =
                    new LeafParameters.Drift(
                            0, Double.POSITIVE_INFINITY, 0, 0, 0, 0, 0, Math.sqrt(q), 0, 0, 0);
            LeafParameters s = LeafParameters.STOCK;
            LeafParameters only =
                    new LeafParameters(
                            s.isotherm(),
                            1e-12,
                            25,
                            0.5,
                            0.2,
                            0.4,
                            0.1,
                            0.025,
                            0.6,
                            0.5,
                            15,
                            1,
                            0,
                            1,
                            0,
                            1,
                            0,
                            0,
                            0,
                            0.004,
                            Math.sqrt(p0),
                            Math.sqrt(r),
                            0,
                            drift);
            filter = new MoistureFilter(only, Band.GREEN_TEA);
            filter.load(10.0, 0.0, 0.5, 0.0);
        }

        void step() {
            filter.step(air, 3_600.0); // an hour, so that drift per root hour is Q
        }

        double posterior() {
            return filter.covariance(DryingModel.ZERO, DryingModel.ZERO);
        }
    }

    /** A charge of 60 ± 15 kg weighed again and again with ± 5 kg. */
    private static void building(ReferenceRow row) {
        MoistureFilter filter = new MoistureFilter(LeafParameters.STOCK, Band.GREEN_TEA);
        filter.load(60.0, 15.0, 0.5, 0.0);
        String[] parts = row.text("inputs").split(";", 2);
        String[] measurements = parts[0].replace("z=", "").split(" ", -1);
        int steps = (int) row.in("step");
        double prior = 225.0;
        double gain = 0.0;
        for (int i = 0; i < steps; i++) {
            prior = total(filter);
            assertEquals(
                    Verdict.TAKEN,
                    filter.weighIn(Double.parseDouble(measurements[i]), 5.0),
                    row::toString);
            gain = total(filter) / 25.0;
            assertEquals(prior / (prior + 25.0), gain, 1e-9, row::toString);
        }
        MoistureEstimate estimate = filter.estimate();
        row.check("K", gain);
        row.check("x", estimate.waterKg() + estimate.dryKg());
        row.check("p", total(filter));
    }

    /** Variance of the total mass. */
    private static double total(MoistureFilter filter) {
        double sum = 0.0;
        for (int i = 0; i <= DryingModel.DRY; i++) {
            for (int j = 0; j <= DryingModel.DRY; j++) {
                sum += filter.covariance(i, j);
            }
        }
        return sum;
    }

    @Test
    void theNormalDistributionAgreesWithHipparchus() {
        for (double x = -6; x <= 6; x += 0.01) {
            assertEquals(0.5 * (1 + Erf.erf(x / Math.sqrt(2))), Normal.below(x), 1.5e-7, "at " + x);
        }
    }
}
