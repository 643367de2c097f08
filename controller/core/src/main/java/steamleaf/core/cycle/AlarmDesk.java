package steamleaf.core.cycle;

import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmRequest;
import steamleaf.core.batch.Answer;
import steamleaf.core.batch.Command;
import steamleaf.core.batch.Refusal;
import steamleaf.core.reading.UnitId;

/** Commands to alarms: to a request, and from what became of it to an answer. */
final class AlarmDesk {
    private AlarmDesk() {}

    /** Null if there is no such alarm. */
    static @Nullable AlarmRequest request(Command command) {
        return switch (command) {
            case Command.Acknowledge(var stamp, String alarmId) -> {
                AlarmKey key = key(alarmId);
                yield key == null ? null : new AlarmRequest.Acknowledge(key, stamp.by());
            }
            case Command.Shelve(var stamp, String alarmId, double minutes, String reason) -> {
                AlarmKey key = key(alarmId);
                yield key == null
                        ? null
                        : new AlarmRequest.Shelve(key, minutes * 60.0, stamp.by(), reason);
            }
            case Command.Unshelve(var stamp, String alarmId) -> {
                AlarmKey key = key(alarmId);
                yield key == null ? null : new AlarmRequest.Unshelve(key, stamp.by());
            }
            case Command.TakeOutOfService(var stamp, String alarmId, String reason) -> {
                AlarmKey key = key(alarmId);
                yield key == null
                        ? null
                        : new AlarmRequest.TakeOutOfService(key, stamp.by(), reason);
            }
            case Command.PutInService(var stamp, String alarmId) -> {
                AlarmKey key = key(alarmId);
                yield key == null ? null : new AlarmRequest.PutInService(key, stamp.by());
            }
            case Command.TakeInLot _,
                    Command.WriteOff _,
                    Command.PlanBatch _,
                    Command.CancelPlan _,
                    Command.Arm _,
                    Command.AnswerPrompt _,
                    Command.SampleTaken _,
                    Command.SampleValue _,
                    Command.WeighIn _,
                    Command.JudgeSteaming _,
                    Command.AcceptTuning _,
                    Command.DiscardTuning _,
                    Command.ForgetLearned _,
                    Command.PlanFinish _,
                    Command.AcceptFinish _,
                    Command.DiscardFinish _,
                    Command.Hold _,
                    Command.Stop _,
                    Command.Abort _ ->
                    null;
        };
    }

    static Answer answer(Command command, List<AlarmEvent> events) {
        String alarmId =
                switch (command) {
                    case Command.Acknowledge acknowledge -> acknowledge.alarmId();
                    case Command.Shelve shelve -> shelve.alarmId();
                    case Command.Unshelve unshelve -> unshelve.alarmId();
                    case Command.TakeOutOfService takeOut -> takeOut.alarmId();
                    case Command.PutInService putIn -> putIn.alarmId();
                    case Command.TakeInLot _,
                            Command.WriteOff _,
                            Command.PlanBatch _,
                            Command.CancelPlan _,
                            Command.Arm _,
                            Command.AnswerPrompt _,
                            Command.SampleTaken _,
                            Command.SampleValue _,
                            Command.WeighIn _,
                            Command.JudgeSteaming _,
                            Command.AcceptTuning _,
                            Command.DiscardTuning _,
                            Command.ForgetLearned _,
                            Command.PlanFinish _,
                            Command.AcceptFinish _,
                            Command.DiscardFinish _,
                            Command.Hold _,
                            Command.Stop _,
                            Command.Abort _ ->
                            "";
                };
        AlarmRequest request = request(command);
        if (request == null) {
            return refused(command, Refusal.UNKNOWN_ALARM, alarmId);
        }
        for (AlarmEvent event : events) {
            if (event instanceof AlarmEvent.Refused(AlarmRequest of, AlarmEvent.Refusal why)
                    && of.equals(request)) {
                return refused(command, refusal(why), alarmId);
            }
        }
        return new Answer.Moved(command.stamp().id(), command.stamp().by(), alarmId);
    }

    private static Answer refused(Command command, Refusal why, String alarmId) {
        return new Answer.Refused(
                command.stamp().id(), command.stamp().by(), why, alarmId, Map.of());
    }

    private static Refusal refusal(AlarmEvent.Refusal why) {
        return switch (why) {
            case NO_SUCH_ALARM -> Refusal.UNKNOWN_ALARM;
            case TRIPS_ARE_NEVER_HIDDEN -> Refusal.MAY_NOT_BE_SHELVED;
            case REASON_MISSING -> Refusal.NEEDS_REASON;
            case SHELVING_TIME_OUT_OF_RANGE -> Refusal.OUT_OF_RANGE;
            case NOTHING_TO_ACKNOWLEDGE, NOT_SHELVED, NOT_OUT_OF_SERVICE -> Refusal.ALREADY_MOVED;
        };
    }

    /** From {@code oven-1.door-open}; null if it names no alarm. */
    private static @Nullable AlarmKey key(String alarmId) {
        int dot = alarmId.indexOf('.');
        AlarmKind kind = dot < 0 ? null : AlarmKind.of(alarmId.substring(dot + 1));
        UnitId unit = dot < 0 ? null : unit(alarmId.substring(0, dot));
        return kind == null || unit == null ? null : new AlarmKey(unit, kind);
    }

    private static @Nullable UnitId unit(String label) {
        if (label.equals(UnitId.LINE.label())) {
            return UnitId.LINE;
        }
        if (label.equals(UnitId.STEAMER.label())) {
            return UnitId.STEAMER;
        }
        for (int n = 1; n <= UnitId.MOST_OVENS; n++) {
            if (label.equals(UnitId.oven(n).label())) {
                return UnitId.oven(n);
            }
        }
        return null;
    }
}
