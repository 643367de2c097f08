package steamleaf.sim.plant;

/**
 * Dew point by Newton's method from a near guess; one or two turns when it is asked for every step.
 */
final class Dew {
    private Dew() {}

    static double near(double guessC, double vapourPa) {
        double celsius = guessC;
        for (int i = 0; i < 30; i++) {
            double saturation = Steam.saturationPa(celsius);
            double error = Math.log(vapourPa / saturation);
            if (Math.abs(error) < 1e-10) {
                return celsius;
            }
            double kelvin = celsius + Steam.ZERO_C_K;
            // d ln p / dT near 5,200 K / T² (Clausius–Clapeyron with the latent heat of 60 °C);
            // only the way, not the answer, depends on it
            double step = error * kelvin * kelvin / 5_200;
            celsius += Math.clamp(step, -40, 40);
        }
        return celsius;
    }
}
