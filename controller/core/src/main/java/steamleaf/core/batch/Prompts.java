package steamleaf.core.batch;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** Opening, closing and answering of prompts. Each function returns the batch as it then is. */
final class Prompts {
    private Prompts() {}

    /** Asks, unless it is being asked already. */
    static Batch open(Change change, Batch batch, PromptKind kind, double patienceS) {
        return open(change, batch, kind, patienceS, null);
    }

    static Batch open(
            Change change,
            Batch batch,
            PromptKind kind,
            double patienceS,
            @Nullable SampleHelp help) {
        if (batch.prompt(kind) != null) {
            return batch;
        }
        UnitId unit = kind == PromptKind.FEED ? UnitId.STEAMER : batch.oven();
        double nowS = change.nowS();
        Prompt prompt =
                new Prompt(
                        change.newPromptId(),
                        kind,
                        unit,
                        batch.id(),
                        batch.charge().place() != Place.OVEN,
                        change.sight.cycle(),
                        nowS,
                        nowS + patienceS,
                        false,
                        help);
        change.event(new Event.PromptOpened(prompt));
        List<Prompt> prompts = new ArrayList<>(batch.prompts());
        prompts.add(prompt);
        return batch.withPrompts(prompts);
    }

    static Batch answered(
            Change change, Batch batch, Prompt prompt, String by, @Nullable Double massKg) {
        change.event(new Event.PromptAnswered(prompt, by, massKg));
        return without(batch, prompt);
    }

    static Batch withdrawn(Change change, Batch batch, PromptKind kind) {
        Prompt prompt = batch.prompt(kind);
        if (prompt == null) {
            return batch;
        }
        change.event(new Event.PromptWithdrawn(prompt));
        return without(batch, prompt);
    }

    static Batch allWithdrawn(Change change, Batch batch) {
        Batch rest = batch;
        for (Prompt prompt : batch.prompts()) {
            rest = withdrawn(change, rest, prompt.kind());
        }
        return rest;
    }

    /** Marks what nobody answered in time, once. */
    static Batch overdue(Change change, Batch batch) {
        Batch after = batch;
        for (int i = 0; i < batch.prompts().size(); i++) {
            Prompt prompt = batch.prompts().get(i);
            if (!prompt.overdue() && change.nowS() >= prompt.dueS()) {
                Prompt late = prompt.nowOverdue();
                List<Prompt> prompts = new ArrayList<>(after.prompts());
                prompts.set(i, late);
                after = after.withPrompts(prompts);
                change.event(new Event.PromptOverdue(late));
            }
        }
        return after;
    }

    /** After a pause people get their time again. */
    static Batch renewed(Change change, Batch batch) {
        return batch.withPrompts(
                batch.prompts().stream().map(prompt -> prompt.renewed(change.nowS())).toList());
    }

    static boolean isOverdue(Batch batch, PromptKind kind) {
        Prompt prompt = batch.prompt(kind);
        return prompt != null && prompt.overdue();
    }

    private static Batch without(Batch batch, Prompt prompt) {
        List<Prompt> prompts = new ArrayList<>(batch.prompts());
        prompts.remove(prompt);
        return batch.withPrompts(prompts);
    }
}
