package steamleaf.core.alarm;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/** The state of every alarm: a value. Only {@link Alarms} makes the next one. */
public final class AlarmStates {
    final AlarmSlots slots;

    /** Alarm time: handed-in seconds, goes on over a restart. */
    final double nowS;

    /** By slot: null while normal. */
    final @Nullable AlarmStatus[] statuses;

    /** By slot: the condition stands, delays counted. */
    final boolean[] active;

    /** By slot: alarm time since when the condition differs from {@link #active}, else NaN. */
    final double[] turningSinceS;

    /** The horn sounds until the button at the machine silences it. */
    final boolean sounding;

    AlarmStates(
            AlarmSlots slots,
            double nowS,
            @Nullable AlarmStatus[] statuses,
            boolean[] active,
            double[] turningSinceS,
            boolean sounding) {
        this.slots = slots;
        this.nowS = nowS;
        this.statuses = statuses;
        this.active = active;
        this.turningSinceS = turningSinceS;
        this.sounding = sounding;
    }

    public static AlarmStates none(int ovens) {
        return recalled(ovens, List.of(), 0.0);
    }

    /**
     * What a restart gets back: everything that was not normal, the horn with it if something
     * unacknowledged sounds. Whether the conditions still stand, the first cycles show.
     *
     * @param nowS alarm time at which the kept list was written
     */
    public static AlarmStates recalled(int ovens, List<AlarmStatus> kept, double nowS) {
        AlarmSlots slots = new AlarmSlots(ovens);
        AlarmStatus[] statuses = new AlarmStatus[slots.count()];
        boolean[] active = new boolean[slots.count()];
        double[] turningSinceS = new double[slots.count()];
        java.util.Arrays.fill(turningSinceS, Double.NaN);
        boolean sounding = false;
        for (AlarmStatus status : kept) {
            int slot = slots.find(status.alarm());
            if (slot >= 0) {
                statuses[slot] = status;
                active[slot] =
                        switch (status.stage()) {
                            case UNACKNOWLEDGED, ACKNOWLEDGED, SUPPRESSED_BY_DESIGN -> true;
                            case NORMAL, RETURNED_UNACKNOWLEDGED, SHELVED, OUT_OF_SERVICE -> false;
                        };
                boolean loud = status.stage() == AlarmStage.UNACKNOWLEDGED;
                sounding |= loud && status.alarm().kind().priority() != Priority.LOW;
            }
        }
        return new AlarmStates(slots, nowS, statuses, active, turningSinceS, sounding);
    }

    /** All alarms that are not normal, first cause first. */
    public List<AlarmStatus> standing() {
        List<AlarmStatus> list = new ArrayList<>();
        for (AlarmStatus status : statuses) {
            if (status != null) {
                list.add(status);
            }
        }
        list.sort(Comparator.comparingLong(AlarmStatus::raisedCycle)); // stable: table order
        return List.copyOf(list);
    }

    /** The stage of one alarm. */
    public AlarmStage stage(UnitId unit, AlarmKind kind) {
        int slot = slots.find(new AlarmKey(unit, kind));
        AlarmStatus status = slot < 0 ? null : statuses[slot];
        return status == null ? AlarmStage.NORMAL : status.stage();
    }

    /** Alarm time, to be kept with {@link #standing()}. */
    public double nowS() {
        return nowS;
    }

    public boolean isSounding() {
        return sounding;
    }
}
