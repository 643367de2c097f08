package steamleaf.core.alarm;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.alarm.AlarmEvent.Refusal;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.Readings;

/**
 * Steps all alarms of the line through the states of IEC 62682 (states as recalled; the standard's
 * text was not opened).
 *
 * <p>The horn sounds when an alarm of high or medium priority becomes unacknowledged, until the
 * button at the machine silences it; the next one sounds again. To evacuate, it sounds in beats.
 */
public final class Alarms {
    /** A shelved alarm comes back after this at the latest: one shift. Engineering choice. */
    public static final double LONGEST_SHELVING_S = 8 * 3600.0;

    /** Half a beat of the evacuation signal, in cycles. */
    static final long BEAT_CYCLES = 5;

    /** Rounding of summed cycle times. */
    static final double TINY_S = 1e-6;

    public AlarmStep step(AlarmStates states, AlarmInput in) {
        return new Step(states, in).run();
    }

    private static final class Step {
        private final AlarmStates before;
        private final AlarmInput in;
        private final AlarmSlots slots;
        private final double nowS;
        private @Nullable AlarmStatus[] statuses;
        private boolean[] active;
        private double[] turningSinceS;
        private boolean sounding;
        private @Nullable List<AlarmEvent> events;

        Step(AlarmStates before, AlarmInput in) {
            this.before = before;
            this.in = in;
            this.slots = before.slots;
            this.nowS = before.nowS + passed(in.elapsedS());
            this.statuses = before.statuses;
            this.active = before.active;
            this.turningSinceS = before.turningSinceS;
            this.sounding = before.sounding;
        }

        /** Time never runs backwards; what is no number has not passed. */
        private static double passed(double elapsedS) {
            return Double.isNaN(elapsedS) ? 0.0 : Math.max(0.0, elapsedS);
        }

        AlarmStep run() {
            // people first: what they saw was the last cycle's, and a new alarm must sound again
            for (AlarmRequest request : in.requests()) {
                Refusal refusal = ask(request);
                if (refusal != null) {
                    tell(new AlarmEvent.Refused(request, refusal));
                }
            }
            boolean[] raw = conditions();
            for (int i = 0; i < raw.length; i++) {
                delay(i, raw[i]);
            }
            for (int i = 0; i < raw.length; i++) {
                AlarmStatus status = statuses[i];
                if (active[i] || status != null) {
                    settle(i, status == null ? AlarmStage.NORMAL : status.stage());
                }
            }
            AlarmStates next =
                    new AlarmStates(slots, nowS, statuses, active, turningSinceS, sounding);
            return new AlarmStep(next, events == null ? List.of() : List.copyOf(events), signals());
        }

        private boolean[] conditions() {
            boolean[] raw = new boolean[slots.count()];
            for (AlarmCondition condition : in.conditions()) {
                int slot = slots.find(condition.unit(), condition.kind());
                if (slot < 0) {
                    throw new IllegalArgumentException(
                            condition.unit().label()
                                    + " has no alarm "
                                    + condition.kind()
                                    + ", allowed: "
                                    + condition.kind().scope());
                }
                raw[slot] = true;
            }
            for (int slot : slots.fromReadings()) {
                raw[slot] |= stands(slots.key(slot), active[slot]);
            }
            return raw;
        }

        private boolean stands(AlarmKey key, boolean standing) {
            Readings readings = in.readings();
            List<Quantity> quantities = key.kind().quantities();
            for (int i = 0; i < quantities.size(); i++) {
                Reading reading = readings.get(key.unit(), quantities.get(i));
                if (!reading.isGood() && reading.quality() != Quality.NOT_FITTED) {
                    return true;
                }
            }
            List<Quantity> contacts = key.kind().contacts();
            for (int i = 0; i < contacts.size(); i++) {
                if (readings.isOn(key.unit(), contacts.get(i))) {
                    return true;
                }
            }
            Quantity value = key.kind().value();
            if (value == null) {
                return false;
            }
            double limit = key.kind().limit() - (standing ? key.kind().deadBand() : 0.0);
            return readings.good(key.unit(), value) > limit;
        }

        /** On- and off-delay. */
        private void delay(int slot, boolean raw) {
            if (raw == active[slot]) {
                if (!Double.isNaN(turningSinceS[slot])) {
                    setTurning(slot, Double.NaN);
                }
                return;
            }
            AlarmKind kind = slots.key(slot).kind();
            double delayS = raw ? kind.onDelayS() : kind.offDelayS();
            double since = turningSinceS[slot];
            since = Double.isNaN(since) ? nowS : since;
            if (nowS - since >= delayS - TINY_S) {
                active = active == before.active ? active.clone() : active;
                active[slot] = raw;
                since = Double.NaN;
            }
            if (Double.compare(since, turningSinceS[slot]) != 0) {
                setTurning(slot, since);
            }
        }

        private void setTurning(int slot, double sinceS) {
            turningSinceS =
                    turningSinceS == before.turningSinceS ? turningSinceS.clone() : turningSinceS;
            turningSinceS[slot] = sinceS;
        }

        /** Moves one alarm by its condition. */
        private void settle(int slot, AlarmStage stage) {
            boolean stands = active[slot];
            boolean suppressed = stands && suppressed(slots.key(slot));
            AlarmStage next =
                    switch (stage) {
                        case NORMAL, SUPPRESSED_BY_DESIGN -> open(stands, suppressed);
                        case UNACKNOWLEDGED ->
                                suppressed
                                        ? AlarmStage.SUPPRESSED_BY_DESIGN
                                        : stands ? stage : AlarmStage.RETURNED_UNACKNOWLEDGED;
                        case ACKNOWLEDGED ->
                                suppressed
                                        ? AlarmStage.SUPPRESSED_BY_DESIGN
                                        : stands ? stage : AlarmStage.NORMAL;
                        case RETURNED_UNACKNOWLEDGED ->
                                stands
                                        ? open(true, suppressed)
                                        : AlarmStage.RETURNED_UNACKNOWLEDGED;
                        case SHELVED -> shelvingOver(slot) ? open(stands, suppressed) : stage;
                        case OUT_OF_SERVICE -> stage;
                    };
            if (next != stage) {
                move(slot, stage, next, "", "", Double.NaN);
            }
        }

        private static AlarmStage open(boolean stands, boolean suppressed) {
            if (!stands) {
                return AlarmStage.NORMAL;
            }
            return suppressed ? AlarmStage.SUPPRESSED_BY_DESIGN : AlarmStage.UNACKNOWLEDGED;
        }

        private boolean shelvingOver(int slot) {
            AlarmStatus status = statuses[slot];
            return status == null || nowS >= status.untilS();
        }

        private boolean suppressed(AlarmKey key) {
            AlarmKind kind = key.kind();
            if (kind.isTrip()) {
                return false;
            }
            AlarmKind other = kind.hiddenBy();
            boolean said = other != null && active[slots.find(key.unit(), other)];
            return said || (kind.isOnlyInUse() && !in.inUse().contains(key.unit()));
        }

        private void move(
                int slot, AlarmStage from, AlarmStage to, String by, String reason, double untilS) {
            AlarmKey key = slots.key(slot);
            statuses = statuses == before.statuses ? statuses.clone() : statuses;
            AlarmStatus old = statuses[slot];
            boolean raised = to == AlarmStage.UNACKNOWLEDGED;
            long raisedCycle = raised || old == null ? in.cycle() : old.raisedCycle();
            statuses[slot] =
                    to == AlarmStage.NORMAL
                            ? null
                            : new AlarmStatus(
                                    key, to, raisedCycle, in.cycle(), nowS, by, reason, untilS);
            sounding |= raised && key.kind().priority() != Priority.LOW;
            tell(new AlarmEvent.Changed(key, from, to, by, reason));
        }

        private @Nullable Refusal ask(AlarmRequest request) {
            return switch (request) {
                case AlarmRequest.Acknowledge(AlarmKey alarm, String by) ->
                        acknowledge(slots.find(alarm), by);
                case AlarmRequest.Shelve(AlarmKey alarm, double forS, String by, String reason) ->
                        shelve(slots.find(alarm), forS, by, reason);
                case AlarmRequest.Unshelve(AlarmKey alarm, String by) ->
                        bringBack(slots.find(alarm), AlarmStage.SHELVED, by, Refusal.NOT_SHELVED);
                case AlarmRequest.TakeOutOfService(AlarmKey alarm, String by, String reason) ->
                        takeOut(slots.find(alarm), by, reason);
                case AlarmRequest.PutInService(AlarmKey alarm, String by) ->
                        bringBack(
                                slots.find(alarm),
                                AlarmStage.OUT_OF_SERVICE,
                                by,
                                Refusal.NOT_OUT_OF_SERVICE);
                case AlarmRequest.Silence() -> silence();
            };
        }

        private AlarmStage stage(int slot) {
            AlarmStatus status = statuses[slot];
            return status == null ? AlarmStage.NORMAL : status.stage();
        }

        private @Nullable Refusal acknowledge(int slot, String by) {
            if (slot < 0) {
                return Refusal.NO_SUCH_ALARM;
            }
            return switch (stage(slot)) {
                case UNACKNOWLEDGED -> moved(slot, AlarmStage.ACKNOWLEDGED, by, "", Double.NaN);
                case RETURNED_UNACKNOWLEDGED -> moved(slot, AlarmStage.NORMAL, by, "", Double.NaN);
                case NORMAL, ACKNOWLEDGED, SHELVED, SUPPRESSED_BY_DESIGN, OUT_OF_SERVICE ->
                        Refusal.NOTHING_TO_ACKNOWLEDGE;
            };
        }

        private @Nullable Refusal moved(
                int slot, AlarmStage to, String by, String reason, double untilS) {
            move(slot, stage(slot), to, by, reason, untilS);
            return null;
        }

        private @Nullable Refusal shelve(int slot, double forS, String by, String reason) {
            Refusal refusal = mayHide(slot, reason);
            if (refusal != null) {
                return refusal;
            }
            boolean inRange = forS > 0.0 && forS <= LONGEST_SHELVING_S; // not a number is neither
            if (!inRange) {
                return Refusal.SHELVING_TIME_OUT_OF_RANGE;
            }
            move(slot, stage(slot), AlarmStage.SHELVED, by, reason, nowS + forS);
            return null;
        }

        private @Nullable Refusal takeOut(int slot, String by, String reason) {
            Refusal refusal = mayHide(slot, reason);
            return refusal != null
                    ? refusal
                    : moved(slot, AlarmStage.OUT_OF_SERVICE, by, reason, Double.NaN);
        }

        private @Nullable Refusal mayHide(int slot, String reason) {
            if (slot < 0) {
                return Refusal.NO_SUCH_ALARM;
            }
            if (slots.key(slot).kind().isTrip()) {
                return Refusal.TRIPS_ARE_NEVER_HIDDEN;
            }
            return reason.isBlank() ? Refusal.REASON_MISSING : null;
        }

        private @Nullable Refusal bringBack(
                int slot, AlarmStage from, String by, Refusal otherwise) {
            if (slot < 0) {
                return Refusal.NO_SUCH_ALARM;
            }
            if (stage(slot) != from) {
                return otherwise;
            }
            boolean suppressed = active[slot] && suppressed(slots.key(slot));
            move(slot, from, open(active[slot], suppressed), by, "", Double.NaN);
            return null;
        }

        private @Nullable Refusal silence() {
            if (sounding) {
                sounding = false;
                tell(new AlarmEvent.Silenced());
            }
            return null;
        }

        private void tell(AlarmEvent event) {
            List<AlarmEvent> list = events;
            if (list == null) {
                list = new ArrayList<>(4);
                events = list;
            }
            list.add(event);
        }

        /** IEC 60073: red danger, yellow abnormal, green normal, blue somebody must act. */
        private Signals signals() {
            boolean danger = false;
            boolean abnormal = false;
            boolean mustAct = in.personWanted();
            boolean evacuate = false;
            for (int i = 0; i < statuses.length; i++) {
                AlarmStatus status = statuses[i];
                if (status != null) {
                    AlarmKind kind = status.alarm().kind();
                    boolean high = kind.priority() == Priority.HIGH;
                    boolean stands = stands(status.stage());
                    danger |= stands && high;
                    abnormal |= stands && !high;
                    mustAct |= unacknowledged(status.stage());
                    evacuate |= stands && kind.isEvacuation();
                }
            }
            boolean beat = in.cycle() / BEAT_CYCLES % 2 == 0;
            return new Signals(
                    sounding && (!evacuate || beat),
                    danger,
                    abnormal,
                    in.running() && !danger,
                    mustAct);
        }

        private static boolean stands(AlarmStage stage) {
            return switch (stage) {
                case UNACKNOWLEDGED, ACKNOWLEDGED -> true;
                case NORMAL,
                        RETURNED_UNACKNOWLEDGED,
                        SHELVED,
                        SUPPRESSED_BY_DESIGN,
                        OUT_OF_SERVICE ->
                        false;
            };
        }

        private static boolean unacknowledged(AlarmStage stage) {
            return switch (stage) {
                case UNACKNOWLEDGED, RETURNED_UNACKNOWLEDGED -> true;
                case NORMAL, ACKNOWLEDGED, SHELVED, SUPPRESSED_BY_DESIGN, OUT_OF_SERVICE -> false;
            };
        }
    }
}
