package steamleaf.core.loop;

import java.util.Arrays;

/**
 * Reduces a model with several lags to one or two.
 *
 * <p>The largest neglected lag is shared out, half to the delay, half to the smallest kept lag; all
 * smaller ones go to the delay, so do inverse response times; small numerator times come off it.
 *
 * <p>Source: Skogestad 2003, J. Process Control 13:291–309, section 2.1, eqs 10 and 11 (numbers not
 * checked); worked examples of the paper as reference rows. Holds for numerator times smaller than
 * the delay that results; larger ones need the paper's rules T1 to T3, which are not here: the
 * delay is then not a number, and no rule starts from it. All times in s.
 */
public final class HalfRule {
    private HalfRule() {}

    /**
     * @param lagsS time constants of the denominator, any order
     */
    public static ProcessModel.FirstOrder firstOrder(
            double gain, double[] lagsS, double[] inverseS, double[] numeratorS, double delayS) {
        double[] lags = descending(lagsS);
        double time = lag(lags, 0) + lag(lags, 1) / 2.0;
        return new ProcessModel.FirstOrder(
                gain, time, delay(lags, 1, inverseS, numeratorS, delayS));
    }

    /**
     * @param lagsS time constants of the denominator, any order
     */
    public static ProcessModel.SecondOrder secondOrder(
            double gain, double[] lagsS, double[] inverseS, double[] numeratorS, double delayS) {
        double[] lags = descending(lagsS);
        double smaller = lag(lags, 1) + lag(lags, 2) / 2.0;
        double delay = delay(lags, 2, inverseS, numeratorS, delayS);
        return new ProcessModel.SecondOrder(gain, lag(lags, 0), smaller, delay);
    }

    private static double delay(
            double[] lags, int halved, double[] inverseS, double[] numeratorS, double delayS) {
        double delay = delayS + lag(lags, halved) / 2.0;
        for (int i = halved + 1; i < lags.length; i++) {
            delay += lags[i];
        }
        for (double inverse : inverseS) {
            delay += inverse;
        }
        double largest = 0.0;
        for (double numerator : numeratorS) {
            delay -= numerator;
            largest = Math.max(largest, numerator);
        }
        return largest == 0.0 || largest < delay ? delay : Double.NaN;
    }

    private static double lag(double[] lags, int index) {
        return index < lags.length ? lags[index] : 0.0;
    }

    private static double[] descending(double[] lagsS) {
        double[] sorted = lagsS.clone();
        Arrays.sort(sorted);
        for (int i = 0, j = sorted.length - 1; i < j; i++, j--) {
            double swapped = sorted[i];
            sorted[i] = sorted[j];
            sorted[j] = swapped;
        }
        return sorted;
    }
}
