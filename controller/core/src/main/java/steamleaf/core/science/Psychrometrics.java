package steamleaf.core.science;

/**
 * Moist air as a mixture of ideal gases.
 *
 * <p>Source: ASHRAE Handbook, Fundamentals (SI), 2017, ch. 1 "Psychrometrics"; equation numbers as
 * printed there. Local names follow the source: {@code t} dry bulb, {@code p} pressure, {@code pw}
 * and {@code pws} partial and saturation pressure of water vapour, {@code W} humidity ratio. Holds
 * for 0 to 120 °C and 50 to 120 kPa. Against the real-gas table the ideal-gas equations are low in
 * W at saturation by 0.5 % (25 °C) to 1.3 % (90 °C). The constants of the wet-bulb equation lose
 * accuracy above about 50 °C wet bulb.
 *
 * <p>The Handbook itself was not opened: equations and their numbers were read in the source of an
 * open psychrometric library that cites them one by one, and reference rows reproduce each.
 */
public final class Psychrometrics {
    public static final Range TEMPERATURE_C = new Range("air temperature", "°C", 0.0, 120.0);
    public static final Range PRESSURE_KPA = new Range("air pressure", "kPa", 50.0, 120.0);
    public static final Range SATURATION_TEMPERATURE_C =
            new Range("saturation temperature", "°C", -100.0, 200.0);
    public static final Range HUMIDITY_RATIO =
            new Range("humidity ratio", "kg/kg dry air", 0.0, 10.0);

    /**
     * Dry air of 0 °C at 50 kPa has a wet bulb of −8 °C: no air of these ranges has a lower one.
     */
    public static final Range WET_BULB_C = new Range("wet bulb", "°C", -40.0, 120.0);

    public static final Range ALTITUDE_M = new Range("altitude", "m", -500.0, 11_000.0);

    /** Molar mass of water over that of dry air, 18.015268/28.966. Source: eq. 20. */
    public static final double MASS_RATIO = 0.621945;

    /** Specific gas constant of dry air, kJ/(kg·K). Source: eq. 1. */
    public static final double DRY_AIR_GAS_KJ_PER_KG_K = 0.287042;

    /** Specific heat of dry air, kJ/(kg·K). Source: eq. 28. */
    public static final double DRY_AIR_HEAT_KJ_PER_KG_K = 1.006;

    /** Specific heat of water vapour, kJ/(kg·K). Source: eq. 30. */
    public static final double VAPOUR_HEAT_KJ_PER_KG_K = 1.86;

    /** Enthalpy of saturated vapour at 0 °C, kJ/kg. Source: eq. 30. */
    public static final double VAPOUR_ENTHALPY_AT_0C_KJ_PER_KG = 2501.0;

    private static final double KELVIN = 273.15;

    /** Saturated air may come out wetter than saturated by the last digits. */
    private static final double ROUNDING = 1e-12;

    private Psychrometrics() {}

    /**
     * Saturation pressure of water vapour over ice (below 0 °C) or liquid water, in kPa
     * (Hyland–Wexler).
     *
     * <p>ln pws = C8/T + C9 + C10·T + C11·T² + C12·T³ + C13·ln T, pws in Pa, T in K; −100 to 200
     * °C. Source: eqs 5 and 6.
     */
    public static double saturationPressureKPa(double temperatureC) {
        if (!SATURATION_TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double T = temperatureC + KELVIN;
        double lnPws;
        if (temperatureC < 0.0) {
            double powers =
                    -9.677843e-3 + T * (6.2215701e-7 + T * (2.0747825e-9 - T * 9.484024e-13));
            lnPws = -5.6745359e3 / T + 6.3925247 + T * powers + 4.1635019 * Math.log(T);
        } else {
            double powers = -4.8640239e-2 + T * (4.1764768e-5 - T * 1.4452093e-8);
            lnPws = -5.8002206e3 / T + 1.3914993 + T * powers + 6.5459673 * Math.log(T);
        }
        return Math.exp(lnPws) / 1000.0;
    }

    /** d ln pws/dT in 1/K, the derivative of eqs 5 and 6. */
    public static double saturationSlopePerK(double temperatureC) {
        if (!SATURATION_TEMPERATURE_C.holds(temperatureC)) {
            return Double.NaN;
        }
        double T = temperatureC + KELVIN;
        if (temperatureC < 0.0) {
            double powers =
                    -9.677843e-3
                            + T
                                    * (2 * 6.2215701e-7
                                            + T * (3 * 2.0747825e-9 - T * 4 * 9.484024e-13));
            return 5.6745359e3 / (T * T) + powers + 4.1635019 / T;
        }
        double powers = -4.8640239e-2 + T * (2 * 4.1764768e-5 - T * 3 * 1.4452093e-8);
        return 5.8002206e3 / (T * T) + powers + 6.5459673 / T;
    }

    /**
     * Highest relative humidity that air of this temperature and pressure can have: min(1, p/pws).
     */
    public static double highestRelativeHumidity(double temperatureC, double pressureKPa) {
        if (!(TEMPERATURE_C.holds(temperatureC) && PRESSURE_KPA.holds(pressureKPa))) {
            return Double.NaN;
        }
        return Math.min(1.0, pressureKPa / saturationPressureKPa(temperatureC));
    }

    /**
     * W = 0.621945·pw/(p − pw) in kg water per kg dry air; pw from 0 to below p. Source: eq. 20.
     */
    public static double humidityRatioOfVapourPressure(
            double vapourPressureKPa, double pressureKPa) {
        boolean known =
                PRESSURE_KPA.holds(pressureKPa)
                        && vapourPressureKPa >= 0.0
                        && vapourPressureKPa < pressureKPa;
        return known
                ? MASS_RATIO * vapourPressureKPa / (pressureKPa - vapourPressureKPa)
                : Double.NaN;
    }

    /** pw = p·W/(0.621945 + W) in kPa. Source: eq. 20 solved for pw. */
    public static double vapourPressureKPa(double humidityRatio, double pressureKPa) {
        if (!(PRESSURE_KPA.holds(pressureKPa) && HUMIDITY_RATIO.holds(humidityRatio))) {
            return Double.NaN;
        }
        return pressureKPa * humidityRatio / (MASS_RATIO + humidityRatio);
    }

    /**
     * Humidity ratio from relative humidity (0 to 1), kg/kg dry air. A relative humidity above
     * p/pws, possible to state above the boiling point only, is no air and answered with NaN.
     * Source: eqs 20 and 22.
     */
    public static double humidityRatio(
            double temperatureC, double relativeHumidity, double pressureKPa) {
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && relativeHumidity >= 0.0
                        && relativeHumidity <= highestRelativeHumidity(temperatureC, pressureKPa);
        if (!known) {
            return Double.NaN;
        }
        return humidityRatioOfVapourPressure(
                relativeHumidity * saturationPressureKPa(temperatureC), pressureKPa);
    }

    /**
     * Humidity ratio at saturation, kg/kg dry air; below the boiling point only. Source: eq. 21.
     */
    public static double saturationHumidityRatio(double temperatureC, double pressureKPa) {
        return TEMPERATURE_C.holds(temperatureC)
                ? humidityRatioOfVapourPressure(saturationPressureKPa(temperatureC), pressureKPa)
                : Double.NaN;
    }

    /** φ = pw/pws, 0 to min(1, p/pws); fog is answered with NaN. Source: eq. 22. */
    public static double relativeHumidity(
            double temperatureC, double humidityRatio, double pressureKPa) {
        double phi =
                TEMPERATURE_C.holds(temperatureC)
                        ? vapourPressureKPa(humidityRatio, pressureKPa)
                                / saturationPressureKPa(temperatureC)
                        : Double.NaN;
        return phi <= 1.0 + ROUNDING ? Math.min(phi, 1.0) : Double.NaN;
    }

    /** h = 1.006·t + W·(2501 + 1.86·t) in kJ/kg dry air. Source: eq. 30. */
    public static double enthalpyKJPerKg(double temperatureC, double humidityRatio) {
        if (!(TEMPERATURE_C.holds(temperatureC) && HUMIDITY_RATIO.holds(humidityRatio))) {
            return Double.NaN;
        }
        return DRY_AIR_HEAT_KJ_PER_KG_K * temperatureC
                + humidityRatio
                        * (VAPOUR_ENTHALPY_AT_0C_KJ_PER_KG
                                + VAPOUR_HEAT_KJ_PER_KG_K * temperatureC);
    }

    /** v = 0.287042·(t + 273.15)·(1 + 1.607858·W)/p in m³/kg dry air. Source: eq. 26. */
    public static double volumeM3PerKg(
            double temperatureC, double humidityRatio, double pressureKPa) {
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && HUMIDITY_RATIO.holds(humidityRatio)
                        && PRESSURE_KPA.holds(pressureKPa);
        return known
                ? DRY_AIR_GAS_KJ_PER_KG_K
                        * (temperatureC + KELVIN)
                        * (1.0 + 1.607858 * humidityRatio)
                        / pressureKPa
                : Double.NaN;
    }

    /** ρ = (1 + W)/v in kg moist air per m³. Source: eq. 11. */
    public static double densityKgPerM3(
            double temperatureC, double humidityRatio, double pressureKPa) {
        return (1.0 + humidityRatio) / volumeM3PerKg(temperatureC, humidityRatio, pressureKPa);
    }

    /**
     * Temperature at which this air becomes saturated, °C; −100 °C to the boiling point. Solves
     * pws(td) = pw. Source: eqs 5 and 6 inverted; the Handbook's fits for it, eqs 37 and 38, are
     * coarser and not used.
     */
    public static double dewPointC(double humidityRatio, double pressureKPa) {
        return saturationTemperatureC(vapourPressureKPa(humidityRatio, pressureKPa));
    }

    /** Inverse of eqs 5 and 6 by Newton's method on ln pws, °C; closed to 1e-9 in ln p. */
    static double saturationTemperatureC(double vapourPressureKPa) {
        double lowest = saturationPressureKPa(SATURATION_TEMPERATURE_C.lowest());
        double highest = saturationPressureKPa(SATURATION_TEMPERATURE_C.highest());
        if (!(vapourPressureKPa >= lowest && vapourPressureKPa <= highest)) {
            return Double.NaN;
        }
        double lnP = Math.log(vapourPressureKPa);
        double a = lnP - Math.log(0.6112); // Magnus form, only to start from
        double t = Math.clamp(243.12 * a / (17.62 - a), -100.0, 200.0);
        for (int i = 0; i < 20; i++) {
            double miss = Math.log(saturationPressureKPa(t)) - lnP;
            t = Math.clamp(t - miss / saturationSlopePerK(t), -100.0, 200.0);
            if (Math.abs(miss) < 1e-9) {
                return t;
            }
        }
        return t;
    }

    /**
     * Humidity ratio of air from dry bulb and thermodynamic wet bulb.
     *
     * <pre>
     *   W = ((2501 − 2.326·t*)·Ws* − 1.006·(t − t*)) / (2501 + 1.86·t − 4.186·t*)     t* ≥ 0 °C
     *   W = ((2830 − 0.24·t*)·Ws* − 1.006·(t − t*)) / (2830 + 1.86·t − 2.1·t*)        t* &lt; 0 °C
     * </pre>
     *
     * Source: eqs 33 and 35.
     */
    public static double humidityRatioOfWetBulb(
            double temperatureC, double wetBulbC, double pressureKPa) {
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && WET_BULB_C.holds(wetBulbC)
                        && wetBulbC <= temperatureC;
        if (!known) {
            return Double.NaN;
        }
        double saturated =
                humidityRatioOfVapourPressure(saturationPressureKPa(wetBulbC), pressureKPa);
        double cooling = DRY_AIR_HEAT_KJ_PER_KG_K * (temperatureC - wetBulbC);
        double W =
                wetBulbC < 0.0
                        ? ((2830.0 - 0.24 * wetBulbC) * saturated - cooling)
                                / (2830.0 + 1.86 * temperatureC - 2.1 * wetBulbC)
                        : ((2501.0 - 2.326 * wetBulbC) * saturated - cooling)
                                / (2501.0 + 1.86 * temperatureC - 4.186 * wetBulbC);
        return W >= 0.0 ? W : Double.NaN;
    }

    /**
     * Thermodynamic wet bulb, °C: eqs 33 and 35 solved for t* by Newton's method inside a bracket,
     * closed to 1e-6 K. Holds above boiling too, where the wet bulb stays below the boiling point.
     * In dry air near freezing both equations have a root, a wet bulb up to 0.3 °C and an iced one
     * down to −0.9 °C: the wet one is answered, as water on leaf cools down to it first.
     */
    public static double wetBulbC(double temperatureC, double humidityRatio, double pressureKPa) {
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && PRESSURE_KPA.holds(pressureKPa)
                        && HUMIDITY_RATIO.holds(humidityRatio)
                        && relativeHumidity(temperatureC, humidityRatio, pressureKPa) >= 0.0;
        if (!known) {
            return Double.NaN;
        }
        double low = WET_BULB_C.lowest();
        double high = temperatureC;
        double t = Math.min(temperatureC, 25.0 + 0.15 * temperatureC);
        for (int i = 0; i < 60; i++) {
            double pws = saturationPressureKPa(t);
            double next;
            if (pws >= pressureKPa) {
                high = t;
                next = 0.5 * (low + high);
            } else {
                double miss = wetBulbBalance(temperatureC, t, pws, humidityRatio, pressureKPa);
                double step = miss / wetBulbBalanceSlope(t, pws, humidityRatio, pressureKPa);
                if (Math.abs(step) < 1e-6) {
                    return Math.min(t - step, temperatureC);
                }
                if (miss > 0.0) {
                    high = t;
                } else {
                    low = t;
                }
                next = t - step;
                if (!(next > low && next < high)) {
                    next = 0.5 * (low + high);
                }
            }
            t = next;
        }
        return t;
    }

    /** Eq. 33 (35 below 0 °C) with everything on one side, kJ/kg: grows with t*. */
    private static double wetBulbBalance(double t, double wet, double pws, double W, double p) {
        double saturated = MASS_RATIO * pws / (p - pws);
        return wet < 0.0
                ? (2830.0 - 0.24 * wet) * saturated
                        - DRY_AIR_HEAT_KJ_PER_KG_K * (t - wet)
                        - W * (2830.0 + 1.86 * t - 2.1 * wet)
                : (2501.0 - 2.326 * wet) * saturated
                        - DRY_AIR_HEAT_KJ_PER_KG_K * (t - wet)
                        - W * (2501.0 + 1.86 * t - 4.186 * wet);
    }

    private static double wetBulbBalanceSlope(double wet, double pws, double W, double p) {
        double saturated = MASS_RATIO * pws / (p - pws);
        double slope = saturated * saturationSlopePerK(wet) * p / (p - pws);
        return wet < 0.0
                ? (2830.0 - 0.24 * wet) * slope
                        - 0.24 * saturated
                        + DRY_AIR_HEAT_KJ_PER_KG_K
                        + 2.1 * W
                : (2501.0 - 2.326 * wet) * slope
                        - 2.326 * saturated
                        + DRY_AIR_HEAT_KJ_PER_KG_K
                        + 4.186 * W;
    }

    /**
     * dt&#42;/dW at constant dry bulb and pressure, K per kg/kg: how the wet bulb follows the
     * humidity ratio. The derivative of eqs 33 and 35 by the implicit function theorem.
     */
    public static double wetBulbSlope(
            double temperatureC, double wetBulbC, double humidityRatio, double pressureKPa) {
        double pws = saturationPressureKPa(wetBulbC);
        boolean known =
                TEMPERATURE_C.holds(temperatureC)
                        && WET_BULB_C.holds(wetBulbC)
                        && wetBulbC <= temperatureC
                        && HUMIDITY_RATIO.holds(humidityRatio)
                        && PRESSURE_KPA.holds(pressureKPa)
                        && pws < pressureKPa;
        if (!known) {
            return Double.NaN;
        }
        double factor =
                wetBulbC < 0.0
                        ? 2830.0 + 1.86 * temperatureC - 2.1 * wetBulbC
                        : 2501.0 + 1.86 * temperatureC - 4.186 * wetBulbC;
        return factor / wetBulbBalanceSlope(wetBulbC, pws, humidityRatio, pressureKPa);
    }

    /**
     * p = 101.325·(1 − 2.25577e−5·Z)^5.2559 in kPa, altitude Z in m, −500 to 11,000 m. Source: eq.
     * 3. A standard day's pressure: the controller steers by the measured one.
     */
    public static double standardPressureKPa(double altitudeM) {
        return ALTITUDE_M.holds(altitudeM)
                ? 101.325 * Math.pow(1.0 - 2.25577e-5 * altitudeM, 5.2559)
                : Double.NaN;
    }
}
