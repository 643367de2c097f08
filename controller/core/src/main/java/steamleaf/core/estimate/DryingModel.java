package steamleaf.core.estimate;

import static java.lang.Math.exp;
import static java.lang.Math.max;
import static java.lang.Math.sqrt;

import java.util.Arrays;
import steamleaf.core.science.Arrhenius;
import steamleaf.core.science.Psychrometrics;

/**
 * Evaporation from blade and stems in an oven's air, with its derivatives. One object per filter:
 * results stand in fields, so that a step allocates nothing.
 *
 * <pre>
 *   B_i = k80·e^λ·r_i·g(X_i)·(W_i − m_i·Xe·e^ε)     i: blade, stem; m_i its dry mass, W_i its water
 *   L   = K·e^κ·M·f^n·(Wsat(Twb) − a)               the air's limit: transfer to the layer from oven air of humidity a
 *   y_i = A(T)·B_i/(s_i·L)                          demand over limit; s_i its share of the dry leaf
 *   u   = Σ s_i·S(y_i),   S(y) = y·(1 + y⁴)^(−1/4)  the minimum of demand and limit, smoothed at the switch
 *   T   = Twb + (1 − u)·(Tair − Twb)                solved together with u
 *   E_i = s_i·L·S(y_i)
 * </pre>
 *
 * A is the Arrhenius factor, M the dry leaf the trays were loaded with. Design section 4 with two
 * additions that are engineering choice: the leaf is split into blade and stems, and g makes wet
 * leaf give its water more easily (published diffusivities of fresh leaf are thirty times those of
 * nearly dry leaf). The smoothing takes 16 % off at the switch, as leaf that does not dry all alike
 * would. The bound G(Wsat(Twb) − Win) follows from the balance of the oven's air.
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
    static final int REST = 9;
    static final int TAKEN = 10;
    static final int STATES = 11;

    /**
     * ln of the factor by which leaf dries faster just after it was kneaded, and after a rest that
     * evened it wholly; fallen by a factor e when the water has fallen by {@link #EVENED_EFOLDS}. A
     * slab that is dry at the surface gives its water more slowly than one that is even (Crank, The
     * Mathematics of Diffusion, 1975, ch. 4). That it is so: source (not checked); the sizes:
     * engineering choice, set on diffusing test plants.
     */
    static final double KNEADED_LN = 0.4;

    static final double RESTED_LN = 0.2;
    private static final double EVENED_EFOLDS = 0.25;

    private static final double STILL = 0.08;
    private static final double X_SCALE = 0.15;
    private static final double X_REFERENCE = 0.1;

    private final LeafParameters leaf;
    private final double activationK;
    private final double moistureScale;

    // inputs of the step

    /**
     * ln of the factor by which leaf that was just evened inside dries faster; {@link #ageEvened}.
     */
    double evenedLn;

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
    private double bladeY;
    private double stemY;

    // shared by the columns of the Jacobian
    private double alpha;
    private double bladeWeight;
    private double stemWeight;
    private double below;
    private double perLimit;
    private boolean heated;

    DryingModel(LeafParameters leaf) {
        this.leaf = leaf;
        this.activationK = leaf.activationKJPerMol() / Arrhenius.GAS_CONSTANT;
        this.moistureScale = Math.pow(1.0 / (1.0 + X_REFERENCE / X_SCALE), leaf.moistureExponent());
    }

    /**
     * Rolled, shaped or rested: moisture inside the leaf is even again, as far as {@code share}.
     */
    void evened(double mostLn, double share) {
        evenedLn = max(evenedLn, mostLn * share);
    }

    /** The surface has dried again: {@code efolds} of the water are gone. */
    void ageEvened(double efolds) {
        evenedLn *= exp(-efolds / EVENED_EFOLDS);
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
        humidity(x[AIR]);
        double restFactor = exp(x[REST]);
        equilibriumKgPerKg *= restFactor;
        equilibriumSlope *= restFactor;
        double dry = x[DRY];
        double bladeDry = (1.0 - leaf.stemShare()) * dry;
        double stemDry = leaf.stemShare() * dry;
        double k = leaf.referenceRatePerS() * exp(x[RATE] + evenedLn);
        double bladeX = max(0.0, x[BLADE] / bladeDry);
        double stemX = max(0.0, x[STEM] / stemDry);
        double bladeK = k * g(bladeX);
        double stemK = k * leaf.stemRate() * g(stemX);
        double bladeFree = x[BLADE] - bladeDry * equilibriumKgPerKg;
        double stemFree = x[STEM] - stemDry * equilibriumKgPerKg;
        double bladeB = bladeK * bladeFree;
        double stemB = stemK * stemFree;
        double transfer = transferKgPerS * exp(x[TRANSFER]);
        double limit = transfer * capacity;
        double bladeShare = 1.0 - leaf.stemShare();
        double stemShare = leaf.stemShare();

        balance(bladeB / limit, stemB / limit);
        bladeKgPerS = limit * bladeShare * smoothed(bladeY);
        stemKgPerS = limit * stemShare * smoothed(stemY);
        if (!slopes) {
            return;
        }

        double arrhenius = arrhenius(leafC);
        double kelvin = leafC + 273.15;
        alpha = activationK / (kelvin * kelvin);
        bladeWeight = bladeShare * smoothedSlope(bladeY);
        stemWeight = stemShare * smoothedSlope(stemY);
        heated = shareOfLimit > 0.0 && shareOfLimit < 1.0;
        double feedback = alpha * (airC - wetBulbC) * (bladeWeight * bladeY + stemWeight * stemY);
        below = heated ? 1.0 / (1.0 + feedback) : 1.0;
        perLimit = arrhenius / limit;
        Arrays.fill(bladeSlope, 0.0);
        Arrays.fill(stemSlope, 0.0);

        double bladeSelf = bladeK * (1.0 + bladeFree * gSlope(bladeX) / bladeDry);
        double stemSelf = stemK * (1.0 + stemFree * gSlope(stemX) / stemDry);
        slope(BLADE, bladeSelf, 0.0, 0.0, 0.0, limit);
        slope(STEM, 0.0, stemSelf, 0.0, 0.0, limit);
        double bladeByDry =
                -bladeK * bladeShare * equilibriumKgPerKg - bladeB * gSlope(bladeX) * bladeX / dry;
        double stemByDry =
                -stemK * stemShare * equilibriumKgPerKg - stemB * gSlope(stemX) * stemX / dry;
        slope(DRY, bladeByDry, stemByDry, 0.0, 0.0, limit);
        slope(RATE, bladeB, stemB, 0.0, 0.0, limit);
        slope(TRANSFER, 0.0, 0.0, limit, 0.0, limit);
        double restKg = equilibriumKgPerKg * dry;
        slope(REST, -bladeK * bladeShare * restKg, -stemK * stemShare * restKg, 0.0, 0.0, limit);
        double bladeByAir = -bladeK * bladeDry * equilibriumSlope;
        double stemByAir = -stemK * stemDry * equilibriumSlope;
        slope(AIR, bladeByAir, stemByAir, transfer * capacitySlope, wetBulbSlope, limit);
    }

    /**
     * One column of the Jacobian, from the derivatives of B_i, L and Twb to one state: implicit
     * differentiation of u.
     */
    private void slope(
            int state,
            double bladeByState,
            double stemByState,
            double limitByState,
            double wetBulbByState,
            double limit) {
        double bladeShare = 1.0 - leaf.stemShare();
        double stemShare = leaf.stemShare();
        double relative = limitByState / limit;
        double wetBulbPart = heated ? alpha * shareOfLimit * wetBulbByState : 0.0;
        double bladeDirect =
                perLimit * bladeByState / bladeShare - bladeY * relative + bladeY * wetBulbPart;
        double stemDirect =
                perLimit * stemByState / stemShare - stemY * relative + stemY * wetBulbPart;
        double shareBy = (bladeWeight * bladeDirect + stemWeight * stemDirect) * below;
        double cooling = heated ? alpha * (airC - wetBulbC) * shareBy : 0.0;
        double bladeYBy = bladeDirect - bladeY * cooling;
        double stemYBy = stemDirect - stemY * cooling;
        bladeSlope[state] =
                limitByState * bladeShare * smoothed(bladeY) + limit * bladeWeight * bladeYBy;
        stemSlope[state] =
                limitByState * stemShare * smoothed(stemY) + limit * stemWeight * stemYBy;
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
     * Solves u = Σ s_i·S(A(T(u))·d_i/s_i) by Newton's method between 0 and 1; sets leaf
     * temperature, share and both y.
     */
    private void balance(double bladeDemand, double stemDemand) {
        double bladeRatio = bladeDemand / (1.0 - leaf.stemShare());
        double stemRatio = stemDemand / leaf.stemShare();
        double span = airC - wetBulbC;
        if (shareAt(airC, bladeRatio, stemRatio) <= 0.0) {
            shareOfLimit = 0.0; // takes up water: no colder than the air
            leafC = airC;
            return;
        }
        double low = 0.0;
        double high = 1.0;
        double u = 0.5;
        for (int i = 0; i < 50; i++) {
            double t = wetBulbC + (1.0 - u) * span;
            double miss = u - shareAt(t, bladeRatio, stemRatio);
            double kelvin = t + 273.15;
            double weighted =
                    (1.0 - leaf.stemShare()) * smoothedSlope(bladeY) * bladeY
                            + leaf.stemShare() * smoothedSlope(stemY) * stemY;
            double step =
                    miss / (1.0 + max(0.0, activationK / (kelvin * kelvin) * span * weighted));
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
        shareOfLimit = u;
        leafC = wetBulbC + (1.0 - u) * span;
        shareAt(leafC, bladeRatio, stemRatio);
    }

    /** Both y at this leaf temperature, and the share of the limit they make. */
    private double shareAt(double temperatureC, double bladeRatio, double stemRatio) {
        double arrhenius = arrhenius(temperatureC);
        bladeY = arrhenius * bladeRatio;
        stemY = arrhenius * stemRatio;
        return (1.0 - leaf.stemShare()) * smoothed(bladeY) + leaf.stemShare() * smoothed(stemY);
    }

    /** S(y) = y·(1 + y⁴)^(−1/4). */
    private static double smoothed(double y) {
        double y2 = y * y;
        return y / sqrt(sqrt(1.0 + y2 * y2));
    }

    /** dS/dy = (1 + y⁴)^(−5/4). */
    private static double smoothedSlope(double y) {
        double y2 = y * y;
        double base = 1.0 + y2 * y2;
        return 1.0 / (base * sqrt(sqrt(base)));
    }

    private double arrhenius(double temperatureC) {
        return exp(-activationK * (1.0 / (temperatureC + 273.15) - 1.0 / 353.15));
    }

    private double g(double moisture) {
        double base = 1.0 + moisture / X_SCALE;
        return leaf.moistureExponent() == 1.0
                ? moistureScale * base
                : moistureScale * Math.pow(base, leaf.moistureExponent());
    }

    /** d ln g/dX. */
    private double gSlope(double moisture) {
        return leaf.moistureExponent() / (X_SCALE + moisture);
    }
}
