package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * All leaf, batches and open questions of the line between two cycles.
 *
 * @param slots oven 1 first
 * @param answered the latest answers, newest last: a repeated command gets its first answer
 */
public record Floor(
        Stock stock,
        List<OvenSlot> slots,
        Numbers numbers,
        @Nullable Armed armed,
        Buttons buttons,
        List<Answer> answered) {
    /** How many answers are kept. Engineering choice: far more than can arrive while fresh. */
    public static final int ANSWERS_KEPT = 256;

    public Floor {
        slots = List.copyOf(slots);
        answered = List.copyOf(answered);
    }

    /** Nothing is here. */
    public static Floor empty(int ovens) {
        return new Floor(
                Stock.EMPTY,
                Collections.nCopies(ovens, OvenSlot.EMPTY),
                Numbers.NONE,
                null,
                Buttons.UNKNOWN,
                List.of());
    }

    public @Nullable Batch batch(UnitId oven) {
        return slots.get(oven.number() - 1).batch();
    }

    /** The batch that has the steamer. */
    public @Nullable Batch inSteamer() {
        for (int i = 0; i < slots.size(); i++) {
            Batch batch = slots.get(i).batch();
            if (batch != null && batch.hasSteamer()) {
                return batch;
            }
        }
        return null;
    }

    /** Fresh grams that are in batches. */
    public long inProcessG() {
        long grams = 0;
        for (OvenSlot slot : slots) {
            Batch batch = slot.batch();
            grams += batch == null ? 0 : batch.charge().freshG();
        }
        return grams;
    }

    /** These answers and one more; the oldest goes when there are too many. */
    static List<Answer> remembering(List<Answer> answers, Answer answer) {
        List<Answer> all = new ArrayList<>(answers);
        if (all.size() >= ANSWERS_KEPT) {
            all.removeFirst();
        }
        all.add(answer);
        return all;
    }

    /** The same floor, on which this command was answered elsewhere. */
    public Floor having(Answer answer) {
        return new Floor(stock, slots, numbers, armed, buttons, remembering(answered, answer));
    }
}
