package steamleaf.core.cycle;

import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Button;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.Promises;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.batch.Sight;
import steamleaf.core.batch.Trouble;
import steamleaf.core.batch.Tuning;
import steamleaf.core.estimate.SteamDose;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.ContactorPhase;
import steamleaf.core.interlock.GuardState;
import steamleaf.core.interlock.Permissive;
import steamleaf.core.learn.Lesson;
import steamleaf.core.loop.RelayTuning;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/** The line as the procedures see it: this cycle's readings, the last cycle's guard. */
final class LineSight implements Sight {
    private final LineState state;
    private final long cycle;
    private final double nowS;
    private final boolean second;
    private final Readings readings;

    LineSight(LineState state, long cycle, double nowS, boolean second, Readings readings) {
        this.state = state;
        this.cycle = cycle;
        this.nowS = nowS;
        this.second = second;
        this.readings = readings;
    }

    @Override
    public long cycle() {
        return cycle;
    }

    @Override
    public double nowS() {
        return nowS;
    }

    @Override
    public boolean second() {
        return second;
    }

    private static Quantity contact(Button button) {
        return switch (button) {
            case START -> Quantity.START_BUTTON;
            case RESET -> Quantity.RESET_BUTTON;
            case CONFIRM -> Quantity.CONFIRM_BUTTON;
            case SILENCE -> Quantity.SILENCE_BUTTON;
        };
    }

    @Override
    public boolean buttonOn(Button button) {
        return readings.isOn(UnitId.LINE, contact(button));
    }

    @Override
    public boolean buttonOff(Button button) {
        return readings.isOff(UnitId.LINE, contact(button));
    }

    @Override
    public double airC(UnitId oven) {
        return readings.good(oven, Quantity.AIR_C);
    }

    @Override
    public boolean doorOpen(UnitId oven) {
        return readings.isOff(oven, Quantity.DOOR_CLOSED);
    }

    @Override
    public boolean doorClosed(UnitId oven) {
        return readings.isOn(oven, Quantity.DOOR_CLOSED);
    }

    @Override
    public double chestC() {
        return chestC(readings);
    }

    /** The colder of the two; NaN unless both are good. */
    static double chestC(Readings readings) {
        return Math.min(
                readings.good(UnitId.STEAMER, Quantity.CHEST_A_C),
                readings.good(UnitId.STEAMER, Quantity.CHEST_B_C));
    }

    @Override
    public @Nullable Lesson lesson(UnitId oven, String batchId) {
        return state.leaves().get(oven.number() - 1).lesson(batchId);
    }

    @Override
    public double boilingC() {
        return state.boilingC();
    }

    @Override
    public double steamLogReduction() {
        return dose().decimalReductions(SteamDose.Parameters.STOCK);
    }

    @Override
    public boolean steamFloorReached() {
        return dose().floorReached(SteamDose.Parameters.STOCK);
    }

    @Override
    public double steamActivityLeft() {
        return dose().activityLeft(SteamDose.Parameters.STOCK);
    }

    private SteamDose dose() {
        Batch batch = state.floor().inSteamer();
        return dose(
                batch == null ? 0.0 : batch.dwellS(),
                state.chest().coldestC(),
                readings.good(UnitId.LINE, Quantity.ROOM_C),
                readings.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA));
    }

    @Override
    public double dwellToFloorS(double steamC) {
        double roomC = readings.good(UnitId.LINE, Quantity.ROOM_C);
        return SteamDose.dwellToFloorS(
                SteamDose.Parameters.STOCK,
                freshC(roomC),
                steamC,
                readings.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA));
    }

    @Override
    public boolean keyOff() {
        return readings.isOff(UnitId.LINE, Quantity.PERMIT_KEY_ON);
    }

    @Override
    public Tuning.@Nullable Outcome tuned(UnitId oven) {
        RelayTuning tuning = state.loops().get(oven.number() - 1).tuning();
        return tuning == null ? null : outcome(tuning.stage());
    }

    private static Tuning.@Nullable Outcome outcome(RelayTuning.Stage stage) {
        return switch (stage) {
            case RelayTuning.Approach _, RelayTuning.Swing _ -> null;
            case RelayTuning.Failed(RelayTuning.Failure why) ->
                    new Tuning.Outcome.Failed(
                            why.name().toLowerCase(Locale.ROOT).replace('_', '-'));
            case RelayTuning.Found(var settings, double amplitudeK, double periodS) ->
                    new Tuning.Outcome.Found(
                            new Tuning.Proposed(
                                    new LoopTuning(
                                            settings.gain(),
                                            settings.integralS(),
                                            settings.derivativeS()),
                                    amplitudeK,
                                    periodS));
        };
    }

    private static double freshC(double roomC) {
        return !Double.isNaN(roomC) ? roomC : 10.0; // unknown: colder than any leaf that comes
    }

    /** What leaf gets that rides through while the chest is at its coldest. */
    static SteamDose dose(double dwellS, double coldestChestC, double roomC, double pressureKPa) {
        double freshC = freshC(roomC);
        return dwellS > 0.0
                ? SteamDose.ofDwell(
                        SteamDose.Parameters.STOCK, freshC, coldestChestC, pressureKPa, dwellS)
                : SteamDose.start(freshC);
    }

    private @Nullable MoistureView leaf(UnitId oven) {
        return state.leaves().get(oven.number() - 1).view();
    }

    @Override
    public double moisture(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? Double.NaN : view.mean();
    }

    @Override
    public double moistureDeviation(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? Double.NaN : view.deviation();
    }

    @Override
    public double moistureAfterCarryOver(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? Double.NaN : view.afterCarryOver();
    }

    @Override
    public double aim(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? Double.NaN : view.endMoisture();
    }

    @Override
    public @Nullable SampleHelp sampleHelp(UnitId oven) {
        MoistureView view = state.leaves().get(oven.number() - 1).view();
        return view == null ? null : view.sampleHelp();
    }

    @Override
    public @Nullable EndPoint endPoint(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? null : view.endPoint();
    }

    @Override
    public @Nullable FinishPlan finishPlan(UnitId oven, double wantedS) {
        return state.leaves().get(oven.number() - 1).finishPlan(wantedS);
    }

    @Override
    public double outS(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null || view.bench() == null ? Double.NaN : view.bench().outS();
    }

    @Override
    public double regain(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null || view.bench() == null ? Double.NaN : view.bench().regain();
    }

    @Override
    public double landsInS(UnitId oven) {
        MoistureView view = leaf(oven);
        return view == null ? Double.NaN : view.landsInS();
    }

    @Override
    public double doneS(UnitId oven) {
        return doneS(state, state.floor().batch(oven));
    }

    static double doneS(LineState state, @Nullable Batch batch) {
        return batch == null
                ? Double.NaN
                : state.leaves().get(batch.oven().number() - 1).doneS(Promises.workUntilS(batch));
    }

    @Override
    public boolean waitsForReset() {
        return state.guard().contactor() == ContactorPhase.AWAITING_RESET;
    }

    @Override
    public Trouble trouble(UnitId unit) {
        return trouble(state.guard(), unit);
    }

    static Trouble trouble(GuardState guard, UnitId unit) {
        if (guard.tripped(unit)) {
            return Trouble.TRIP;
        }
        Trouble worst = Trouble.NONE;
        List<Cause> causes = guard.causes(unit);
        for (int i = 0; i < causes.size(); i++) {
            Trouble trouble = trouble(causes.get(i));
            if (trouble.compareTo(worst) < 0) {
                worst = trouble;
            }
        }
        return worst == Trouble.NONE && !guard.isStarted(unit) ? Trouble.WAITS_FOR_PRESS : worst;
    }

    private static Trouble trouble(Cause cause) {
        return switch (cause.rule().effect()) {
            case ALARM_ONLY -> Trouble.NONE;
            case CONTACTOR_OFF, FIRE, STEAM_OFF, HEAT_OFF ->
                    switch (cause.rule().latch()) {
                        case TRIP -> Trouble.TRIP;
                        case INTERLOCK ->
                                cause.present() ? Trouble.INTERLOCK : Trouble.WAITS_FOR_PRESS;
                        case FOLLOWS ->
                                cause.unit().equals(UnitId.LINE) ? Trouble.PERMIT : Trouble.NONE;
                    };
        };
    }

    @Override
    public @Nullable String startBlockedBy(UnitId unit) {
        if (state.guard().readyToStart(unit)) {
            return null;
        }
        for (Permissive permissive : state.guard().permissives(unit)) {
            if (permissive.beforeStart() && !permissive.good()) {
                return permissive.unit().label() + "." + permissive.reason().key();
            }
        }
        return unit.label();
    }
}
