package steamleaf.core.interlock;

/**
 * What one oven is driven with.
 *
 * @param damper exhaust damper, 0 closed (as its spring leaves it) to 1 open
 */
public record OvenOutputs(boolean heater, boolean fan, double damper) {
    public static final OvenOutputs OFF = new OvenOutputs(false, false, 0.0);
}
