package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.contract.Bodies;
import steamleaf.contract.Language;

class CommandFormTest {
    private static CommandForm.Said finish(String at, String now) {
        return CommandForm.read(Language.ENGLISH, "plan-finish", Map.of("at", at, "now", now));
    }

    @ParameterizedTest
    @CsvSource({
        "17:30, 15:30:00, 7200",
        "17:30, 15:29:15, 7245",
        "00:10, 23:50:00, 1200",
        "9:05, 09:00:00, 300",
        "15:30, 15:30:30, 86370"
    })
    void aTimeOfDayIsTheNextOneThatTheLinesClockShows(String at, String now, double inS) {
        CommandForm.Said.Right said =
                assertInstanceOf(CommandForm.Said.Right.class, finish(at, now));
        assertEquals(inS, said.args().inS());
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "24:00", "17.30", "soon", "17:60", "17:30:00:00"})
    void whatIsNoTimeOfDayIsSaid(String at) {
        CommandForm.Said.Wrong said =
                assertInstanceOf(CommandForm.Said.Wrong.class, finish(at, "15:30:00"));
        assertTrue(said.sentence().contains("is no time of day"), said.sentence());
    }

    @Test
    void aFormOfALineThatIsNotHeardAsksForNothing() {
        assertInstanceOf(CommandForm.Said.Wrong.class, finish("17:30", ""));
    }

    @Test
    void leafToWriteOffIsNamedByItsLot() {
        CommandForm.Said.Right said =
                assertInstanceOf(
                        CommandForm.Said.Right.class,
                        CommandForm.read(Language.ENGLISH, "write-off", Map.of("kg.lot-3", "0.3")));
        assertEquals(List.of(new Bodies.Portion("lot-3", 0.3)), said.args().lots());
        assertInstanceOf(
                CommandForm.Said.Wrong.class,
                CommandForm.read(Language.ENGLISH, "write-off", Map.of()));
    }
}
