package steamleaf.core.loop;

/** Simple models that tuning rules start from. Gain: measurement per unit of output. */
public sealed interface ProcessModel {

    /** k·e^(−θs)/(τ1·s + 1). */
    record FirstOrder(double gain, double timeConstantS, double delayS) implements ProcessModel {}

    /** k·e^(−θs)/((τ1·s + 1)(τ2·s + 1)), τ1 ≥ τ2. */
    record SecondOrder(double gain, double largerS, double smallerS, double delayS)
            implements ProcessModel {}

    /** k′·e^(−θs)/s, k′ in measurement per output and second. */
    record Integrating(double slopePerS, double delayS) implements ProcessModel {}
}
