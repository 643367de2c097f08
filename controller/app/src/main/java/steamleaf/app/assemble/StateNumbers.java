package steamleaf.app.assemble;

import java.util.Objects;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.reading.UnitId;

/**
 * Numbers the states of each unit, so that a command can name the one its page showed: up by one
 * whenever a unit's batch or that batch's state is another one.
 */
final class StateNumbers {
    private final long[] numbers;
    private final ProcedureState[] states;
    private final @Nullable String[] batches;

    StateNumbers(int ovens) {
        numbers = new long[ovens + 2];
        states = new ProcedureState[ovens + 2];
        batches = new String[ovens + 2];
        java.util.Arrays.fill(states, ProcedureState.IDLE);
        java.util.Arrays.fill(numbers, 1);
    }

    private static int index(UnitId unit) {
        return switch (unit.kind()) {
            case LINE -> 0;
            case STEAMER -> 1;
            case OVEN -> unit.number() + 1;
        };
    }

    void follow(Floor floor) {
        follow(1, floor.inSteamer());
        for (int i = 0; i < floor.slots().size(); i++) {
            follow(i + 2, floor.slots().get(i).batch());
        }
    }

    private void follow(int at, @Nullable Batch batch) {
        ProcedureState state = batch == null ? ProcedureState.IDLE : batch.state();
        String id = batch == null ? null : batch.id();
        if (states[at] != state || !Objects.equals(batches[at], id)) {
            states[at] = state;
            batches[at] = id;
            numbers[at]++;
        }
    }

    long number(UnitId unit) {
        int at = index(unit);
        return at < numbers.length ? numbers[at] : 0;
    }

    /** The state that was numbered so if it is the present one; null when it is an older one. */
    @Nullable ProcedureState seen(UnitId unit, long number) {
        int at = index(unit);
        return at < numbers.length && numbers[at] == number ? states[at] : null;
    }
}
