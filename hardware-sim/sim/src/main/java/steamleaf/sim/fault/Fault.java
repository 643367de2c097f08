package steamleaf.sim.fault;

import org.jspecify.annotations.Nullable;

/**
 * A fault that is to come, or has come.
 *
 * @param atS simulated second of its beginning
 * @param durationS how long it lasts; infinite: for the rest
 * @param size in the unit of the case; 0 where there is none
 * @param with the other component of an exchange
 */
public record Fault(
        double atS, FaultCase what, double durationS, double size, @Nullable String with) {
    public double endS() {
        return atS + durationS;
    }

    @Override
    public String toString() {
        FaultCase.Size unit = what.size();
        String amount = unit == null ? "" : " " + size + " " + unit.unit();
        return what + amount + (with == null ? "" : " with " + with);
    }
}
