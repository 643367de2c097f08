package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * Lots, batches and people, one cycle at a time: presses first, then commands in the order they
 * came, then what happens by itself.
 */
public final class Procedures {
    private Procedures() {}

    public static FloorStep step(
            BatchSettings settings, Floor floor, Sight sight, List<Command> commands) {
        Change change = new Change(settings, floor, sight);
        Progress.doors(change);
        Presses.take(change);
        for (int i = 0; i < commands.size(); i++) {
            Desk.take(change, commands.get(i));
        }
        if (sight.second()) {
            Progress.second(change);
        }
        return change.done();
    }

    /**
     * The floor after the program was away: batches that ran are held, nothing is armed, no button
     * counts as released.
     *
     * @param sight of the moment of the restart; its {@code nowS} includes the gap
     */
    public static FloorStep restored(
            BatchSettings settings, Floor kept, Sight sight, double gapS, boolean gapKnown) {
        Floor asleep =
                new Floor(
                        kept.stock(),
                        kept.slots(),
                        kept.numbers(),
                        null,
                        Buttons.UNKNOWN,
                        kept.answered());
        Change change = new Change(settings, asleep, sight);
        List<String> ids = new ArrayList<>();
        int number = 1;
        for (OvenSlot slot : kept.slots()) {
            Tunings.end(change, UnitId.oven(number++), "interrupted");
            @Nullable Batch batch = slot.batch();
            if (batch != null) {
                ids.add(batch.id());
                if (batch.isIn(ProcedureState.RUNNING)) {
                    change.keep(Ways.hold(change, batch, HeldCause.RESTARTED));
                }
            }
        }
        change.event(new Event.Restored(gapS, gapKnown, ids));
        return change.done();
    }
}
