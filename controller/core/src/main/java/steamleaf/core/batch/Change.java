package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * One cycle's work on a {@link Floor}: lives for that cycle only, and becomes the next floor. What
 * is not touched is handed on as it was.
 */
final class Change {
    final BatchSettings settings;
    final Sight sight;
    private final Floor before;

    private @Nullable List<OvenSlot> slots;
    private @Nullable List<Answer> answered;
    private Stock stock;
    private Numbers numbers;
    private @Nullable Armed armed;
    private Buttons buttons;

    private List<Event> events = List.of();
    private List<Answer> answers = List.of();
    private List<LeafAction> leafActions = List.of();
    private List<Command> alarmCommands = List.of();
    private Set<UnitId> starts = Set.of();
    private Set<UnitId> resets = Set.of();
    private Set<UnitId> stops = Set.of();
    boolean silence;

    Change(BatchSettings settings, Floor before, Sight sight) {
        this.settings = settings;
        this.before = before;
        this.sight = sight;
        this.stock = before.stock();
        this.numbers = before.numbers();
        this.armed = before.armed();
        this.buttons = before.buttons();
    }

    double nowS() {
        return sight.nowS();
    }

    int ovens() {
        return before.slots().size();
    }

    OvenSlot slot(UnitId oven) {
        return (slots == null ? before.slots() : slots).get(oven.number() - 1);
    }

    void slot(UnitId oven, OvenSlot slot) {
        if (slots == null) {
            slots = new ArrayList<>(before.slots());
        }
        slots.set(oven.number() - 1, slot);
    }

    @Nullable Batch batch(UnitId oven) {
        return slot(oven).batch();
    }

    /** Puts the batch, as it is now, into its oven's slot. */
    void keep(Batch batch) {
        slot(batch.oven(), slot(batch.oven()).holding(batch));
    }

    void free(UnitId oven) {
        slot(oven, slot(oven).holding(null));
    }

    @Nullable Batch inSteamer() {
        for (int n = 1; n <= ovens(); n++) {
            Batch batch = batch(UnitId.oven(n));
            if (batch != null && batch.hasSteamer()) {
                return batch;
            }
        }
        return null;
    }

    Stock stock() {
        return stock;
    }

    void stock(Stock newStock) {
        stock = newStock;
    }

    @Nullable Armed armed() {
        return armed;
    }

    void armed(@Nullable Armed newArmed) {
        armed = newArmed;
    }

    Buttons buttons() {
        return buttons;
    }

    void buttons(Buttons newButtons) {
        buttons = newButtons;
    }

    String newLotId() {
        numbers = numbers.nextLot();
        return "lot-" + numbers.lot();
    }

    long newBatchNumber() {
        numbers = numbers.nextBatch();
        return numbers.batch();
    }

    String newPromptId() {
        numbers = numbers.nextPrompt();
        return "prompt-" + numbers.prompt();
    }

    /** Whether a prompt of this id was ever opened. */
    boolean wasPrompt(String id) {
        if (!id.startsWith("prompt-")) {
            return false;
        }
        try {
            long number = Long.parseLong(id.substring("prompt-".length()));
            return number >= 1 && number <= numbers.prompt();
        } catch (NumberFormatException _) {
            return false;
        }
    }

    String newSampleId() {
        numbers = numbers.nextSample();
        return "sample-" + numbers.sample();
    }

    String newPackedId() {
        numbers = numbers.nextPacked();
        return "packed-" + numbers.packed();
    }

    void event(Event event) {
        events = added(events, event);
    }

    void leaf(LeafAction action) {
        leafActions = added(leafActions, action);
    }

    void alarmCommand(Command command) {
        alarmCommands = added(alarmCommands, command);
    }

    void start(UnitId unit) {
        starts = added(starts, unit);
    }

    void reset(UnitId unit) {
        resets = added(resets, unit);
    }

    void stop(UnitId unit) {
        stops = added(stops, unit);
    }

    void moved(Command command, String subject) {
        answer(new Answer.Moved(command.stamp().id(), command.stamp().by(), subject));
    }

    void refused(Command command, Refusal why, String subject) {
        refused(command, why, subject, Map.of());
    }

    void refused(Command command, Refusal why, String subject, Map<String, Double> values) {
        answer(
                new Answer.Refused(
                        command.stamp().id(), command.stamp().by(), why, subject, values));
    }

    /** Says again what was answered first. */
    void again(Answer answer) {
        answers = added(answers, answer);
    }

    private void answer(Answer answer) {
        answers = added(answers, answer);
        answered = Floor.remembering(answered == null ? before.answered() : answered, answer);
    }

    /** The first answer to this command, if it was given before. */
    @Nullable Answer answerTo(String commandId) {
        List<Answer> all = answered == null ? before.answered() : answered;
        for (int i = all.size() - 1; i >= 0; i--) {
            if (all.get(i).commandId().equals(commandId)) {
                return all.get(i);
            }
        }
        return null;
    }

    FloorStep done() {
        boolean same =
                slots == null
                        && answered == null
                        && stock == before.stock()
                        && numbers == before.numbers()
                        && armed == before.armed()
                        && buttons == before.buttons();
        Floor after =
                same
                        ? before
                        : new Floor(
                                stock,
                                slots == null ? before.slots() : slots,
                                numbers,
                                armed,
                                buttons,
                                answered == null ? before.answered() : answered);
        return new FloorStep(
                after, events, answers, leafActions, starts, resets, stops, alarmCommands, silence);
    }

    private static <T> List<T> added(List<T> list, T item) {
        List<T> to = list.isEmpty() ? new ArrayList<>(4) : list;
        to.add(item);
        return to;
    }

    private static Set<UnitId> added(Set<UnitId> set, UnitId unit) {
        Set<UnitId> to = set.isEmpty() ? new LinkedHashSet<>(4) : set;
        to.add(unit);
        return to;
    }
}
