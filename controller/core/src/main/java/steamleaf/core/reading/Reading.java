package steamleaf.core.reading;

/**
 * One value and whether it may be believed.
 *
 * @param value in the unit of its quantity; NaN unless something was read
 */
public record Reading(double value, Quality quality) {
    /** Good and a number: the only way to be believed. */
    public boolean isGood() {
        return quality == Quality.GOOD && !Double.isNaN(value);
    }

    /** A contact that is provably closed. Bad is not closed. */
    public boolean isOn() {
        return isGood() && value >= 0.5;
    }

    /** A contact that is provably open. Bad is not open either. */
    public boolean isOff() {
        return isGood() && value < 0.5;
    }
}
