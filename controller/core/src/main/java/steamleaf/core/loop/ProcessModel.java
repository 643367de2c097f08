package steamleaf.core.loop;

/**
 * Simple models that tuning rules start from. Gain: measurement per unit of output. Notation of
 * Skogestad 2003, see {@link TuningRules}.
 */
public sealed interface ProcessModel {

    /** A rule can start from it: a gain that is not 0, lags and delays from 0, all finite. */
    boolean isKnown();

    private static boolean isGain(double value) {
        return Double.isFinite(value) && value != 0.0;
    }

    private static boolean isTime(double value) {
        return value >= 0.0 && value < Double.POSITIVE_INFINITY;
    }

    /** k·e^(−θs)/(τ1·s + 1). */
    record FirstOrder(double gain, double timeConstantS, double delayS) implements ProcessModel {
        @Override
        public boolean isKnown() {
            return isGain(gain) && isTime(timeConstantS) && timeConstantS > 0.0 && isTime(delayS);
        }
    }

    /** k·e^(−θs)/((τ1·s + 1)(τ2·s + 1)), τ1 ≥ τ2. */
    record SecondOrder(double gain, double largerS, double smallerS, double delayS)
            implements ProcessModel {
        @Override
        public boolean isKnown() {
            boolean lags =
                    isTime(largerS) && largerS > 0.0 && isTime(smallerS) && smallerS <= largerS;
            return isGain(gain) && lags && isTime(delayS);
        }
    }

    /** k′·e^(−θs)/s, k′ in measurement per output and second. */
    record Integrating(double slopePerS, double delayS) implements ProcessModel {
        @Override
        public boolean isKnown() {
            return isGain(slopePerS) && isTime(delayS);
        }
    }
}
