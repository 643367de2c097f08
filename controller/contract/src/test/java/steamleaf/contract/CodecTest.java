package steamleaf.contract;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;

final class CodecTest {
    private static byte[] bytes(String json) {
        return json.getBytes(StandardCharsets.UTF_8);
    }

    @Test
    void whatIsWrittenIsReadBack() throws Codec.Malformed {
        CommandMessage command =
                new CommandMessage(
                        "c-1",
                        "panel",
                        "Mo",
                        "s-1",
                        12,
                        3,
                        "oven-1",
                        "arm",
                        CommandMessage.Args.action("start"));
        assertEquals(command, Codec.read(Codec.write(command), CommandMessage.class));
    }

    @Test
    void anUnknownFieldIsIgnoredAndAnAbsentOneIsNull() throws Codec.Malformed {
        Have have = Codec.read(bytes("{\"n\": 7, \"colour\": \"green\"}"), Have.class);
        assertEquals(new Have(null, 7), have);
        assertNull(have.journal());
    }

    @Test
    void aMissingFieldIsNamedWithItsPath() {
        Codec.Malformed e =
                assertThrows(
                        Codec.Malformed.class,
                        () ->
                                Codec.read(
                                        bytes(
                                                "{\"id\":\"c\",\"client\":\"p\",\"by\":\"Mo\",\"start\":\"s\",\"seenCycle\":1,\"seenState\":3,"
                                                        + "\"unit\":\"line\",\"kind\":\"take-in-lot\",\"args\":{\"lot\":{\"field\":\"x\",\"cultivar\":\"y\","
                                                        + "\"shadingDays\":0,\"ripeness\":\"tender\",\"wetByRain\":false,\"pluckedAgoH\":1,\"massKg\":3}}}"),
                                        CommandMessage.class));
        assertEquals("args.lot.label is missing", e.getMessage());
    }

    @Test
    void aMissingNumberRubbishAndTrailingTextAreRefused() {
        assertThrows(
                Codec.Malformed.class,
                () -> Codec.read(bytes("{\"journal\":\"j\",\"n\":null}"), Have.class));
        assertThrows(Codec.Malformed.class, () -> Codec.read(bytes("ff00"), Have.class));
        assertThrows(
                Codec.Malformed.class, () -> Codec.read(bytes("{\"n\":1} {\"n\":2}"), Have.class));
        assertThrows(
                Codec.Malformed.class, () -> Codec.read(bytes("{\"n\":1,\"n\":2}"), Have.class));
        assertThrows(Codec.Malformed.class, () -> Codec.read(bytes("null"), Have.class));
        assertThrows(Codec.Malformed.class, () -> Codec.read(new byte[0], Have.class));
    }

    @Test
    void aSentenceIsMadeInBothLanguagesAndAnUnknownKeyIsShownRatherThanLost() {
        assertEquals("Oven 2", Sentences.say(Language.ENGLISH, "unit.oven", "2"));
        assertEquals("乾燥炉2", Sentences.say(Language.JAPANESE, "unit.oven", "2"));
        assertEquals("from-tomorrow (7)", Sentences.say(Language.ENGLISH, "from-tomorrow", "7"));
        assertTrue(Sentences.has("operation.steam"));
    }
}
