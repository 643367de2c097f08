package steamleaf.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Set;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

final class SentencesTest {
    private static final Pattern SLOT = Pattern.compile("«\\d»");

    @Test
    void bothLanguagesOfASentenceSayTheSameValues() {
        for (String key : Sentences.keys()) {
            Because because =
                    Because.of(key, "«0»", "«1»", "«2»", "«3»", "«4»", "«5»", "«6»", "«7»", "«8»");
            assertEquals(
                    slots(Sentences.say(Language.ENGLISH, because)),
                    slots(Sentences.say(Language.JAPANESE, because)),
                    key);
        }
    }

    private static Set<String> slots(String sentence) {
        Set<String> slots = new TreeSet<>();
        SLOT.matcher(sentence).results().map(MatchResult::group).forEach(slots::add);
        return slots;
    }

    @Test
    void whatToDoStandsOnlyBesideSomethingThatHappened() {
        for (String key : Sentences.keys()) {
            if (key.endsWith(".do")) {
                assertTrue(
                        Sentences.has(key.substring(0, key.length() - ".do".length())),
                        key + " says what to do about nothing");
            }
        }
    }
}
