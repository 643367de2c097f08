package steamleaf.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import steamleaf.sim.plant.Button;

final class WordTest {
    @Test
    void plainWordsAreUnderstood() {
        assertEquals(new Word.Press(Button.START), Word.of("press start"));
        assertEquals(new Word.EmergencyStop(true), Word.of("  Press  emergency stop "));
        assertEquals(new Word.Door(2, true), Word.of("open door 2"));
        assertEquals(
                new Word.Break("oven-1.air", "short", Double.NaN, Double.POSITIVE_INFINITY),
                Word.of("short oven 1"));
        assertEquals(
                new Word.Break("oven-1.damper", "stuck-at", 0.3, 60),
                Word.of("break oven-1.damper stuck-at 0.3 for 60"));
        assertEquals(new Word.Mend(null, null), Word.of("mend"));
        assertEquals(new Word.Network(false), Word.of("cut network"));
    }

    @Test
    void rubbishIsAnsweredWithWhatIsAllowed() {
        Word word = Word.of("make tea");
        assertTrue(
                assertInstanceOf(Word.Misunderstood.class, word)
                        .why()
                        .contains("press start | reset | confirm | silence"));
        assertInstanceOf(Word.Misunderstood.class, Word.of("pace 900"));
        assertInstanceOf(Word.Misunderstood.class, Word.of("open door 9"));
    }
}
