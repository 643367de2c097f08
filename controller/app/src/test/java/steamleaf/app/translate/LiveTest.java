package steamleaf.app.translate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.reading.UnitId;

final class LiveTest {
    private static Prompt prompt(PromptKind kind, double dueS) {
        return new Prompt(kind.name(), kind, UnitId.oven(1), "batch-1", false, 1, 0, dueS, false);
    }

    private static PromptKind first(Prompt... prompts) {
        Prompt first = Live.mostPressing(List.of(prompts));
        assertNotNull(first);
        return first.kind();
    }

    @Test
    void whatIsDueSoonestIsAskedFirstAndAHandSampleLast() {
        Prompt sample = prompt(PromptKind.HAND_SAMPLE, 10);
        Prompt turn = prompt(PromptKind.TURN, 300);
        assertEquals(PromptKind.TURN, first(sample, turn));
        assertEquals(PromptKind.PRESS_CONFIRM, first(turn, prompt(PromptKind.PRESS_CONFIRM, 60)));
    }

    @Test
    void aHeldBatchAsksToBeResumedBeforeItAsksForTurningAndForTheLeafBeforeThat() {
        Prompt turn = prompt(PromptKind.TURN, 4);
        Prompt resume = prompt(PromptKind.RESUME_OR_ABORT, Double.POSITIVE_INFINITY);
        Prompt takeOut = prompt(PromptKind.TAKE_OUT_AND_SPREAD, 900);
        assertEquals(PromptKind.RESUME_OR_ABORT, first(turn, resume));
        assertEquals(PromptKind.TAKE_OUT_AND_SPREAD, first(turn, resume, takeOut));
    }
}
