package steamleaf.sim.fault;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One way in which one component can break.
 *
 * @param size what has to be said besides, or null
 * @param partners components it can be exchanged with, for {@link FaultKind#SWAPPED}
 */
public record FaultCase(
        String component,
        FaultKind kind,
        String meaning,
        @Nullable Size size,
        List<String> partners) {

    /** A figure with its unit and bounds. */
    public record Size(String unit, double from, double to) {}

    @Override
    public String toString() {
        return component + " " + kind.word();
    }
}
