package steamleaf.app.link;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.contract.Because;
import steamleaf.contract.Codec;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.Sentences;

final class GateTest {
    private static final CommandMessage ARM =
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

    private final Gate gate = new Gate("s-1", Set.of("line", "steamer", "oven-1"));

    private static byte[] bytes(String json) {
        return json.getBytes(StandardCharsets.UTF_8);
    }

    private static String json(CommandMessage command) {
        return Codec.text(Codec.write(command));
    }

    private Because refused(String json, boolean retained) {
        Gate.Verdict verdict = gate.check(bytes(json), retained);
        Because because = assertInstanceOf(Gate.Verdict.Refuse.class, verdict).because();
        assertTrue(Sentences.has(because.key()), because.key());
        return because;
    }

    @Test
    void aWholeCommandOfThisStartPasses() {
        assertEquals(new Gate.Verdict.Take(ARM), gate.check(Codec.write(ARM), false));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            quoteCharacter = '\0',
            value = {
                "\"start\":\"s-1\" | \"start\":\"s-0\" | command-other-start",
                "\"kind\":\"arm\" | \"kind\":\"press\" | command-unknown-kind",
                "\"id\":\"c-1\" | \"id\":\"\" | command-malformed",
                "\"id\":\"c-1\", | | command-malformed",
                "\"seenCycle\":12 | \"seenCycle\":\"x\" | command-malformed",
                "\"seenCycle\":12 | \"seenCycle\":null | command-malformed",
                "\"args\":{\"action\":\"start\"} | \"args\":[] | command-malformed",
            })
    void whatIsWrongIsRefusedWithItsReason(String from, String to, String reason) {
        String changed = json(ARM).replace(from.strip(), to == null ? "" : to.strip());
        assertEquals(reason.strip(), refused(changed, false).key());
    }

    @Test
    void aRetainedCommandIsRefused() {
        assertEquals("command-retained", refused(json(ARM), true).key());
    }

    @Test
    void anOversizeCommandIsRefusedWithItsSize() {
        String large = json(ARM).replace("\"Mo\"", "\"" + "M".repeat(20_000) + "\"");
        Because because = refused(large, false);
        assertEquals("command-too-large", because.key());
        assertEquals(Integer.toString(large.length()), because.values().getFirst());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "rubbish",
                "null",
                "[]",
                "{\"kind\":\"arm\"}",
                "{\"client\":\"a/b\",\"kind\":\"arm\"}",
                "{\"client\":7,\"kind\":\"arm\"}",
                "\"stop\"",
                "{\"kind\":\"stop\""
            })
    void whereNobodyCanBeAnsweredItIsLeftOut(String json) {
        assertInstanceOf(Gate.Verdict.Ignore.class, gate.check(bytes(json), false));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "{\"kind\":\"stop\",\"unit\":\"oven-1\"}",
                "{\"kind\":\"stop\",\"unit\":\"oven-1\",\"start\":\"s-0\",\"id\":7,\"client\":\"a/b\",\"by\":null}",
                "{\"unit\":\"oven-1\",\"kind\":\"stop\",\"seenCycle\":\"x\",\"args\":\"rubbish\"}",
            })
    void aStopPassesHoweverIncompleteOldOrRetained(String json) {
        for (boolean retained : new boolean[] {false, true}) {
            Gate.Verdict verdict = gate.check(bytes(json), retained);
            CommandMessage stop = assertInstanceOf(Gate.Verdict.Take.class, verdict).command();
            assertEquals("stop", stop.kind());
            assertEquals("oven-1", stop.unit());
        }
    }

    @Test
    void aStopForAUnitNobodyKnowsStopsTheLine() {
        Gate.Verdict verdict = gate.check(bytes("{\"kind\":\"stop\",\"unit\":\"oven-99\"}"), false);
        assertEquals("line", assertInstanceOf(Gate.Verdict.Take.class, verdict).command().unit());
    }

    @Test
    void aLargeStopStillPasses() {
        String large = "{\"kind\":\"stop\",\"by\":\"" + "M".repeat(20_000) + "\"}";
        assertInstanceOf(Gate.Verdict.Take.class, gate.check(bytes(large), false));
    }

    @Test
    void aHoldOfAnEarlierStartPassesBecauseItTurnsHeatOff() {
        String hold = json(ARM).replace("\"arm\"", "\"hold\"").replace("s-1", "s-0");
        assertInstanceOf(Gate.Verdict.Take.class, gate.check(bytes(hold), false));
    }

    @Test
    void aFullInboxStillTakesEveryStopAndGivesItFirst() {
        Inbox inbox = new Inbox();
        for (int i = 0; i < Inbox.MOST; i++) {
            assertTrue(inbox.offer(ARM));
        }
        assertEquals(false, inbox.offer(ARM));
        CommandMessage stop =
                assertInstanceOf(
                                Gate.Verdict.Take.class,
                                gate.check(
                                        bytes("{\"kind\":\"stop\",\"unit\":\"steamer\"}"), false))
                        .command();
        for (int i = 0; i < 1_000; i++) {
            assertTrue(inbox.offer(stop));
        }
        assertEquals(stop, inbox.take().getFirst());
        assertTrue(inbox.take().isEmpty());
    }
}
