package steamleaf.core.estimate;

import static java.lang.Math.exp;
import static java.lang.Math.max;
import static java.lang.Math.sqrt;

import steamleaf.core.science.Arrhenius;
import steamleaf.core.science.Psychrometrics;

/**
 * Evaporation from blade and stems in an oven's air, with its derivatives. One object per filter:
 * results stand in fields, so that a step allocates nothing.
 *
 * <pre>
 *   B_i = k80·e^λ·r_i·g(X_i)·(W_i − m_i·Xe)         i: blade, stem; m_i its dry mass, W_i its water
 *   L   = K·e^κ·M·f^n·(Wsat(Twb) − a)               M: dry leaf as loaded; the air's limit: transfer to the trays from oven air of humidity a
 *   y   = A(T)·ΣB/L,   u = y·(1 + y⁴)^(−1/4)        the minimum of demand and limit, smoothed at the switch
 *   T   = Twb + (1 − u)·(Tair − Twb)                solved together with u
 *   E_i = B_i·A(T)·(1 + y⁴)^(−1/4)
 * </pre>
 *
 * A is the Arrhenius factor. Design section 4 with two additions that are engineering choice: the
 * leaf is split into blade and stems, and g makes wet leaf give its water more easily (published
 * diffusivities of fresh leaf are thirty times those of nearly dry leaf). The smoothing takes 16 %
 * off at the switch, as leaf that does not dry all alike would. The bound G(Wsat(Twb) − Win)
 * follows from the balance of the oven's air.
 */
final class DryingModel {
    // places in the state
    static final int BLADE = 0;
    static final int STEM = 1;
    static final int DRY = 2;
    static final int RATE = 3;
    static final int AIRFLOW = 4;
    static final int TRANSFER = 5;
    static final int BIAS = 6;
    static final int AIR = 7;
    static final int ZERO = 8;
    static final int TAKEN = 9;
    static final int STATES = 10;

    private static final double STILL = 0.1;
    private static final double X_SCALE = 0.15;
    private static final double X_REFERENCE = 0.1;

    private final LeafParameters leaf;
    private final double activationK;
    private final double moistureScale;

    // inputs of the step
    private double airC;
    private double pressureKPa;
    private double transferKgPerS;

    // results
    double bladeKgPerS;
    double stemKgPerS;
    double leafC;
    double wetBulbC;
    double shareOfLimit;
    double equilibriumKgPerKg;
    final double[] bladeSlope = new double[STATES];
    final double[] stemSlope = new double[STATES];

    private double equilibriumSlope;
    private double capacity;
    private double capacitySlope;
    private double wetBulbSlope;

    DryingModel(LeafParameters leaf) {
        this.leaf = leaf;
        this.activationK = leaf.activationKJPerMol() / Arrhenius.GAS_CONSTANT;
        this.moistureScale = Math.pow(1.0 / (1.0 + X_REFERENCE / X_SCALE), leaf.moistureExponent());
    }

    double evaporationKgPerS() {
        return bladeKgPerS + stemKgPerS;
    }

    /**
     * @param newFanShare 0 to 1; standing air still carries some vapour away
     * @param layerKg dry leaf that the trays were loaded with
     */
    void air(double newAirC, double newPressureKPa, double newFanShare, double layerKg) {
        airC = newAirC;
        pressureKPa = newPressureKPa;
        transferKgPerS =
                leaf.transferPerS()
                        * layerKg
                        * Math.pow(max(newFanShare, STILL), leaf.transferExponent());
    }

    /** Rates and, if asked, their derivatives at this state. */
    void at(double[] x, boolean slopes) {
        double a = humidity(x[AIR]);
        double dry = x[DRY];
        double bladeDry = (1.0 - leaf.stemShare()) * dry;
        double stemDry = leaf.stemShare() * dry;
        double k = leaf.referenceRatePerS() * exp(x[RATE]);
        double bladeX = max(0.0, x[BLADE] / bladeDry);
        double stemX = max(0.0, x[STEM] / stemDry);
        double bladeK = k * g(bladeX);
        double stemK = k * leaf.stemRate() * g(stemX);
        double bladeFree = x[BLADE] - bladeDry * equilibriumKgPerKg;
        double stemFree = x[STEM] - stemDry * equilibriumKgPerKg;
        double bladeB = bladeK * bladeFree;
        double stemB = stemK * stemFree;
        double demand = bladeB + stemB;
        double transfer = transferKgPerS * exp(x[TRANSFER]);
        double limit = transfer * capacity;

        double y = balance(demand, limit);
        double arrhenius = arrhenius(leafC);
        double q = damping(y);
        bladeKgPerS = bladeB * arrhenius * q;
        stemKgPerS = stemB * arrhenius * q;
        if (!slopes) {
            return;
        }

        double q5 = q * q * q * q * q;
        double kelvin = leafC + 273.15;
        double alpha = activationK / (kelvin * kelvin);
        double bridge = y > 0.0 ? y * alpha * (airC - wetBulbC) * q5 : 0.0;
        double below = 1.0 / (1.0 + bridge);
        for (int i = 0; i < STATES; i++) {
            bladeSlope[i] = 0.0;
            stemSlope[i] = 0.0;
        }
        double bladeSelf = bladeK + bladeFree * bladeK * gSlope(bladeX) / bladeDry;
        double stemSelf = stemK + stemFree * stemK * gSlope(stemX) / stemDry;
        slope(
                BLADE, bladeSelf, 0.0, 0.0, 0.0, bladeB, stemB, arrhenius, limit, y, q, q5, alpha,
                below);
        slope(
                STEM, 0.0, stemSelf, 0.0, 0.0, bladeB, stemB, arrhenius, limit, y, q, q5, alpha,
                below);
        double bladeByDry =
                -bladeK * (1.0 - leaf.stemShare()) * equilibriumKgPerKg
                        - bladeB * gSlope(bladeX) * bladeX / dry;
        double stemByDry =
                -stemK * leaf.stemShare() * equilibriumKgPerKg
                        - stemB * gSlope(stemX) * stemX / dry;
        slope(
                DRY,
                bladeByDry,
                stemByDry,
                0.0,
                0.0,
                bladeB,
                stemB,
                arrhenius,
                limit,
                y,
                q,
                q5,
                alpha,
                below);
        slope(
                RATE, bladeB, stemB, 0.0, 0.0, bladeB, stemB, arrhenius, limit, y, q, q5, alpha,
                below);
        slope(
                TRANSFER, 0.0, 0.0, limit, 0.0, bladeB, stemB, arrhenius, limit, y, q, q5, alpha,
                below);
        slope(
                AIR,
                -bladeK * bladeDry * equilibriumSlope,
                -stemK * stemDry * equilibriumSlope,
                transfer * capacitySlope,
                wetBulbSlope,
                bladeB,
                stemB,
                arrhenius,
                limit,
                y,
                q,
                q5,
                alpha,
                below);
    }

    /**
     * One column of the Jacobian, from the derivatives of B_i, L and Twb to one state: implicit
     * differentiation of y.
     */
    private void slope(
            int state,
            double bladeByState,
            double stemByState,
            double limitByState,
            double wetBulbByState,
            double bladeB,
            double stemB,
            double arrhenius,
            double limit,
            double y,
            double q,
            double q5,
            double alpha,
            double below) {
        boolean drying = y > 0.0;
        double wetBulbPart = drying ? y * alpha * shareOfLimit * wetBulbByState : 0.0;
        double yBy =
                ((arrhenius * (bladeByState + stemByState) - y * limitByState) / limit
                                + wetBulbPart)
                        * below;
        double leafBy = drying ? shareOfLimit * wetBulbByState - (airC - wetBulbC) * q5 * yBy : 0.0;
        double qBy = -y * y * y * q5 * yBy;
        double common = alpha * leafBy * q + qBy;
        bladeSlope[state] = arrhenius * (bladeByState * q + bladeB * common);
        stemSlope[state] = arrhenius * (stemByState * q + stemB * common);
    }

    /** Capacity, wet bulb and equilibrium of oven air of this humidity; the humidity used. */
    private double humidity(double wanted) {
        double saturated =
                0.97
                        * Math.min(1.0, Psychrometrics.highestRelativeHumidity(airC, pressureKPa))
                        * Psychrometrics.saturationPressureKPa(airC);
        double most =
                Psychrometrics.humidityRatioOfVapourPressure(
                        Math.min(saturated, 0.9 * pressureKPa), pressureKPa);
        double a = Math.clamp(wanted, 1e-4, most);
        boolean inside = a == wanted;
        double vapour = Psychrometrics.vapourPressureKPa(a, pressureKPa);
        double saturation = Psychrometrics.saturationPressureKPa(airC);

        wetBulbC = Psychrometrics.wetBulbC(airC, a, pressureKPa);
        wetBulbSlope = inside ? Psychrometrics.wetBulbSlope(airC, wetBulbC, a, pressureKPa) : 0.0;
        double atWetBulb = Psychrometrics.saturationPressureKPa(wetBulbC);
        double full = Psychrometrics.MASS_RATIO * atWetBulb / (pressureKPa - atWetBulb);
        double fullSlope =
                full
                        * Psychrometrics.saturationSlopePerK(wetBulbC)
                        * pressureKPa
                        / (pressureKPa - atWetBulb);
        double free = full - a;
        capacity = max(free, 1e-5);
        capacitySlope = inside && free > 1e-5 ? fullSlope * wetBulbSlope - 1.0 : 0.0;

        double phi = vapour / saturation;
        double activity = Math.clamp(phi, 1e-3, 0.95);
        equilibriumKgPerKg = leaf.isotherm().equilibriumMoistureKgPerKg(airC, activity);
        double vapourSlope =
                pressureKPa
                        * Psychrometrics.MASS_RATIO
                        / ((Psychrometrics.MASS_RATIO + a) * (Psychrometrics.MASS_RATIO + a));
        equilibriumSlope =
                inside && activity == phi
                        ? leaf.isotherm().equilibriumSlope(airC, activity)
                                * vapourSlope
                                / saturation
                        : 0.0;
        return a;
    }

    /**
     * Solves y = A(T(u(y)))·demand/limit by Newton's method on u between 0 and 1; sets leaf
     * temperature and share.
     */
    private double balance(double demand, double limit) {
        if (demand <= 0.0) {
            shareOfLimit = 0.0;
            leafC = airC;
            return arrhenius(airC) * demand / limit;
        }
        double span = airC - wetBulbC;
        double low = 0.0;
        double high = 1.0;
        double u = 0.5;
        double y = 0.0;
        for (int i = 0; i < 50; i++) {
            double t = wetBulbC + (1.0 - u) * span;
            y = arrhenius(t) * demand / limit;
            double q = damping(y);
            double miss = u - y * q;
            double kelvin = t + 273.15;
            double step =
                    miss / (1.0 + q * q * q * q * q * y * activationK / (kelvin * kelvin) * span);
            if (Math.abs(step) < 1e-10) {
                break;
            }
            if (miss > 0.0) {
                high = u;
            } else {
                low = u;
            }
            u -= step;
            if (!(u > low && u < high)) {
                u = 0.5 * (low + high);
            }
        }
        leafC = wetBulbC + (1.0 - u) * span;
        shareOfLimit = u;
        return arrhenius(leafC) * demand / limit;
    }

    /** (1 + y⁴)^(−1/4). */
    private static double damping(double y) {
        double y2 = y * y;
        return 1.0 / sqrt(sqrt(1.0 + y2 * y2));
    }

    private double arrhenius(double temperatureC) {
        return exp(-activationK * (1.0 / (temperatureC + 273.15) - 1.0 / 353.15));
    }

    private double g(double moisture) {
        double base = 1.0 + moisture / X_SCALE;
        return leaf.moistureExponent() == 0.5
                ? moistureScale * sqrt(base)
                : moistureScale * Math.pow(base, leaf.moistureExponent());
    }

    /** d ln g/dX. */
    private double gSlope(double moisture) {
        return leaf.moistureExponent() / (X_SCALE + moisture);
    }
}
