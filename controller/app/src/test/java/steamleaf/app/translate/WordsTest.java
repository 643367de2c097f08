package steamleaf.app.translate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import steamleaf.contract.Because;
import steamleaf.contract.Sentences;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.batch.ArmedAction;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.HeldCause;
import steamleaf.core.batch.OperationKind;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.Refusal;
import steamleaf.core.batch.Ripeness;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.Reason;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitId;

final class WordsTest {
    /**
     * Every key that the core's constants become. A new constant is tested the day it is written.
     */
    private static List<String> keys() {
        List<String> keys = new ArrayList<>();
        for (Refusal refusal : Refusal.values()) {
            keys.add(Answers.key(refusal));
        }
        for (PromptKind kind : PromptKind.values()) {
            keys.add(Words.promptKey(kind));
        }
        for (HeldCause cause : HeldCause.values()) {
            keys.add(Words.heldKey(cause));
        }
        for (Class<?> phase : Phase.class.getPermittedSubclasses()) {
            keys.add("phase." + Words.phase(phase.getSimpleName()));
        }
        for (ArmedAction action : ArmedAction.values()) {
            keys.add("armed." + Words.word(action));
        }
        for (ContactorPhase phase : ContactorPhase.values()) {
            keys.add("contactor." + Words.word(phase));
        }
        for (ProcedureState state : ProcedureState.values()) {
            keys.add("state." + Words.state(state));
        }
        for (OperationKind kind : OperationKind.values()) {
            keys.add("operation." + Words.operation(kind));
        }
        for (EndPoint.Why why : EndPoint.Why.values()) {
            keys.add("aim." + Words.word(why));
            keys.add("landed." + Words.word(why));
        }
        for (Reason reason : Reason.values()) {
            keys.add(reason.key());
        }
        for (AlarmKind kind : AlarmKind.values()) {
            keys.add(kind.key());
            keys.add(kind.key() + ".do");
        }
        return keys;
    }

    @Test
    void everyConstantOfTheCoreHasItsSentenceInBothLanguages() {
        List<String> missing = keys().stream().filter(key -> !Sentences.has(key)).toList();
        assertEquals(List.of(), missing);
    }

    @Test
    void everyQuantityHasANameOfItsOwnThatEndsInItsUnit() {
        List<String> names = new ArrayList<>();
        for (Quantity quantity : Quantity.values()) {
            names.add(Names.of(quantity));
        }
        assertEquals(names.size(), names.stream().distinct().count());
        assertTrue(names.containsAll(List.of("airC", "exhaustRh", "scaleKg", "beltMmPerS")));
    }

    @Test
    void unitsAndRipenessComeBackAsTheyWent() {
        for (int n = 1; n <= UnitId.MOST_OVENS; n++) {
            assertEquals(UnitId.oven(n), Words.unit(UnitId.oven(n).label()));
        }
        assertEquals(UnitId.LINE, Words.unit("line"));
        assertEquals(UnitId.STEAMER, Words.unit("steamer"));
        assertEquals(null, Words.unit("oven-9"));
        for (Ripeness ripeness : Ripeness.values()) {
            assertEquals(ripeness, Words.ripeness(Words.ripeness(ripeness)));
        }
    }

    @Test
    void aGuardsReasonIsToldAsTheReasonItself() {
        assertEquals(
                Because.of("door-open", "oven-1"),
                Answers.because(Refusal.NOT_PERMITTED, "oven-1.door-open", Map.of()));
        assertEquals(
                Because.of("refused.not-permitted", "oven-1"),
                Answers.because(Refusal.NOT_PERMITTED, "oven-1", Map.of()));
    }

    @Test
    void aRefusalSaysItsSubjectAndThenItsNumbersInTheOrderOfTheirNames() {
        assertEquals(
                Because.of("refused.not-enough-leaf", "lot-1", "5", "3.25"),
                Answers.because(
                        Refusal.NOT_ENOUGH_LEAF, "lot-1", Map.of("leftKg", 3.25, "askedKg", 5.0)));
    }

    @Test
    void aNumberHasNoMoreDigitsThanItNeedsAndNoNumberIsADash() {
        assertEquals("5", Words.number(5.0, 2));
        assertEquals("5.2", Words.number(5.2, 2));
        assertEquals("0", Words.number(-0.001, 2));
        assertEquals("–", Words.number(Double.NaN, 2));
        assertEquals("1200", Words.number(1200, 0));
    }
}
