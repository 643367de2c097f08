package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmRequest;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Refusal;
import steamleaf.core.batch.Stamp;
import steamleaf.core.reading.UnitId;

final class AlarmDeskTest {
    private static final Stamp STAMP = new Stamp("c-1", "Mo", false, 10, null);
    private static final String ID = "oven-2.scale-bad";
    private static final AlarmKey KEY = new AlarmKey(UnitId.oven(2), AlarmKind.SCALE_BAD);

    static Stream<Arguments> commands() {
        return Stream.of(
                Arguments.of(
                        new Command.Acknowledge(STAMP, ID),
                        new AlarmRequest.Acknowledge(KEY, "Mo")),
                Arguments.of(
                        new Command.Shelve(STAMP, ID, 30, "cleaned"),
                        new AlarmRequest.Shelve(KEY, 1_800, "Mo", "cleaned")),
                Arguments.of(new Command.Unshelve(STAMP, ID), new AlarmRequest.Unshelve(KEY, "Mo")),
                Arguments.of(
                        new Command.TakeOutOfService(STAMP, ID, "away"),
                        new AlarmRequest.TakeOutOfService(KEY, "Mo", "away")),
                Arguments.of(
                        new Command.PutInService(STAMP, ID),
                        new AlarmRequest.PutInService(KEY, "Mo")));
    }

    @ParameterizedTest
    @MethodSource("commands")
    void aCommandBecomesItsRequestWithWhoAskedAndWhatTheyGaveAsReason(
            Command command, AlarmRequest request) {
        assertEquals(request, AlarmDesk.request(command));
        assertEquals(new Answer.Moved("c-1", "Mo", ID), AlarmDesk.answer(command, List.of()));
    }

    @ParameterizedTest
    @EnumSource(AlarmEvent.Refusal.class)
    void whatTheAlarmsRefuseIsAnsweredWithItsReasonAndOnlyToWhomItConcerns(AlarmEvent.Refusal why) {
        Command mine = new Command.Unshelve(STAMP, ID);
        List<AlarmEvent> events =
                List.of(new AlarmEvent.Refused(new AlarmRequest.Unshelve(KEY, "Mo"), why));
        Refusal expected =
                switch (why) {
                    case NO_SUCH_ALARM -> Refusal.UNKNOWN_ALARM;
                    case TRIPS_ARE_NEVER_HIDDEN -> Refusal.MAY_NOT_BE_SHELVED;
                    case REASON_MISSING -> Refusal.NEEDS_REASON;
                    case SHELVING_TIME_OUT_OF_RANGE -> Refusal.OUT_OF_RANGE;
                    case NOTHING_TO_ACKNOWLEDGE, NOT_SHELVED, NOT_OUT_OF_SERVICE ->
                            Refusal.ALREADY_MOVED;
                };
        assertEquals(
                new Answer.Refused("c-1", "Mo", expected, ID, Map.of()),
                AlarmDesk.answer(mine, events));
        assertEquals(
                new Answer.Moved("c-1", "Mo", ID),
                AlarmDesk.answer(new Command.PutInService(STAMP, ID), events));
    }

    @Test
    void anIdThatNamesNoAlarmIsRefusedByEachOfThem() {
        for (String id : List.of("oven-2.no-such", "oven-99.scale-bad", "scale-bad", "")) {
            for (Command command :
                    List.of(
                            new Command.Unshelve(STAMP, id),
                            new Command.TakeOutOfService(STAMP, id, "away"),
                            new Command.PutInService(STAMP, id))) {
                assertEquals(
                        new Answer.Refused("c-1", "Mo", Refusal.UNKNOWN_ALARM, id, Map.of()),
                        AlarmDesk.answer(command, List.of()));
            }
        }
    }
}
