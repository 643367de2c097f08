package steamleaf.core.estimate;

import java.util.List;

/**
 * All that a {@link MoistureFilter} carries, as numbers: for the journal and for going on after a
 * restart. Exact, so a replay is too.
 */
public record MoistureState(List<Double> numbers) {
    public MoistureState {
        numbers = List.copyOf(numbers);
    }
}
