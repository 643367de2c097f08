package steamleaf.core.loop;

/**
 * Settings of a PID controller in ISA form (gain acts on all three parts).
 *
 * @param gain K, output per unit of measurement; negative for a process that falls with rising
 *     output
 * @param integralS Ti in s; {@link Double#POSITIVE_INFINITY}: no integral part
 * @param derivativeS Td in s; 0: no derivative part
 * @param derivativeFilter N: the derivative is filtered with Td/N; 2 to 20 is usual
 * @param setpointWeight b of the proportional part, 0 to 1
 * @param derivativeWeight c of the derivative part; 0: derivative on the measurement only
 * @param trackingS Tt in s, how fast the integral follows a limited output
 */
public record PidTuning(
        double gain,
        double integralS,
        double derivativeS,
        double derivativeFilter,
        double setpointWeight,
        double derivativeWeight,
        double trackingS) {

    public PidTuning {
        boolean good =
                Double.isFinite(gain)
                        && integralS > 0.0
                        && derivativeS >= 0.0
                        && Double.isFinite(derivativeS)
                        && derivativeFilter >= 1.0
                        && setpointWeight >= 0.0
                        && setpointWeight <= 1.0
                        && derivativeWeight >= 0.0
                        && derivativeWeight <= 1.0
                        && trackingS > 0.0;
        if (!good) {
            throw new IllegalArgumentException(
                    "PID settings: Ti and Tt above 0, Td from 0, N from 1, b and c from 0 to 1; got K "
                            + gain
                            + ", Ti "
                            + integralS
                            + ", Td "
                            + derivativeS
                            + ", N "
                            + derivativeFilter
                            + ", b "
                            + setpointWeight
                            + ", c "
                            + derivativeWeight
                            + ", Tt "
                            + trackingS);
        }
    }

    /**
     * Derivative on the measurement, N = 10, Tt = √(Ti·Td), or Ti without derivative. Source (not
     * checked): rules of thumb of Åström and Hägglund, Advanced PID Control (2006), ch. 3.
     */
    public static PidTuning isa(
            double gain, double integralS, double derivativeS, double setpointWeight) {
        double tracking = derivativeS > 0.0 ? Math.sqrt(integralS * derivativeS) : integralS;
        return new PidTuning(gain, integralS, derivativeS, 10.0, setpointWeight, 0.0, tracking);
    }
}
