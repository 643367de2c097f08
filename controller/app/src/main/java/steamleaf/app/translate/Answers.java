package steamleaf.app.translate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.Because;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Refusal;
import steamleaf.core.interlock.Reason;

/** From the core to the wire: what became of a command. */
public final class Answers {
    private Answers() {}

    public static AnswerMessage message(Answer answer, long cycle, Instant at) {
        return switch (answer) {
            case Answer.Moved(var id, var by, var subject) ->
                    new AnswerMessage(id, AnswerMessage.MOVED, null, subject, cycle, at);
            case Answer.Refused(var id, var by, var reason, var subject, var values) ->
                    new AnswerMessage(
                            id,
                            AnswerMessage.REFUSED,
                            because(reason, subject, values),
                            null,
                            cycle,
                            at);
        };
    }

    /** Key of the text of a refusal. */
    public static String key(Refusal reason) {
        return "refused." + Words.word(reason);
    }

    /** Subject first, then the numbers in the order of their names. */
    public static Because because(Refusal reason, String subject, Map<String, Double> values) {
        int dot = subject.indexOf('.'); // the guard's reason at a unit: oven-1.door-open
        if (reason == Refusal.NOT_PERMITTED && dot >= 0 && isReason(subject.substring(dot + 1))) {
            return Because.of(subject.substring(dot + 1), subject.substring(0, dot));
        }
        List<String> texts = new ArrayList<>();
        texts.add(subject);
        for (double value : new TreeMap<>(values).values()) {
            texts.add(Words.number(value, 2));
        }
        return new Because(key(reason), texts);
    }

    private static boolean isReason(String key) {
        for (Reason reason : Reason.values()) {
            if (reason.key().equals(key)) {
                return true;
            }
        }
        return false;
    }
}
