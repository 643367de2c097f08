package steamleaf.core.science;

/**
 * Where a relation holds, both ends included. Not-a-number and infinity are outside every range.
 *
 * @param quantity what is limited, in words of the source
 * @param unit its unit, as printed
 */
public record Range(String quantity, String unit, double lowest, double highest) {

    public boolean holds(double value) {
        return value >= lowest && value <= highest; // said positively, so NaN is outside
    }

    /** Where, what was found, what is allowed: for messages and logs, not for the cycle. */
    public String refusal(double value) {
        return quantity
                + " = "
                + value
                + " "
                + unit
                + ", allowed: "
                + lowest
                + " to "
                + highest
                + " "
                + unit;
    }
}
