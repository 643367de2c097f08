package steamleaf.core.cycle;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.batch.Armed;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Promises;
import steamleaf.core.batch.Prompt;
import steamleaf.core.estimate.SteamDose;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** Makes what people are shown from what a cycle decided. */
final class Views {
    private Views() {}

    static UnitView of(LineSettings settings, CycleResult result, UnitId unit, Readings readings) {
        return of(settings, result, unit, readings, true);
    }

    /** Without prompts, causes and permissives: what a record of the second wants. */
    static UnitView brief(
            LineSettings settings, CycleResult result, UnitId unit, Readings readings) {
        return of(settings, result, unit, readings, false);
    }

    private static UnitView of(
            LineSettings settings,
            CycleResult result,
            UnitId unit,
            Readings readings,
            boolean whole) {
        LineState state = result.state();
        Batch batch = batch(state, unit);
        boolean oven = unit.isOven();
        OvenLoop loop = oven ? state.loops().get(unit.number() - 1) : null;
        OvenOutputs outputs =
                oven ? result.outputs().ovens().get(unit.number() - 1) : OvenOutputs.OFF;
        Armed armed = armed(state, unit);
        return new UnitView(
                unit,
                unit.kind() == UnitKind.LINE ? line(settings, state) : stateOf(batch),
                batch == null ? null : batch.procedure().heldCause(),
                batch == null ? 0.0 : state.nowS() - batch.procedure().stateSinceS(),
                batch == null ? null : batch.id(),
                batch == null ? List.of() : batch.charge().lotLabels(),
                batch == null ? null : batch.recipe().name(),
                batch == null ? null : batch.operation().kind(),
                batch == null ? 0 : batch.procedure().operation(),
                batch == null ? 0 : batch.recipe().procedure().size(),
                batch == null ? 0.0 : state.nowS() - batch.procedure().operationSinceS(),
                batch == null ? "" : batch.phase().getClass().getSimpleName(),
                batch == null ? 0.0 : state.nowS() - batch.phase().sinceS(),
                loop == null ? Double.NaN : loop.targetC(),
                loop == null ? state.steamer().duty() : loop.duty(),
                heating(result.outputs(), unit, outputs),
                oven ? outputs.fan() : result.outputs().extractor(),
                outputs.damper(),
                moisture(state, unit, batch),
                unit.kind() == UnitKind.STEAMER ? steam(result, batch, readings) : null,
                whole ? prompts(state, unit) : List.of(),
                armed == null ? null : armed.action(),
                armed == null ? 0.0 : armed.untilS() - state.nowS(),
                whole ? state.guard().causes(unit) : List.of(),
                whole && unit.kind() != UnitKind.LINE ? state.guard().permissives(unit) : List.of(),
                oven ? state.floor().slots().get(unit.number() - 1).tuning() : null,
                oven && batch != null ? batch.finishBy() : null,
                oven && batch != null ? doneInS(state, batch) : Double.NaN,
                oven && batch != null && Promises.isKept(batch),
                oven && batch != null ? state.leaves().get(unit.number() - 1).hotZero() : null);
    }

    private static double doneInS(LineState state, Batch batch) {
        return Promises.told(batch, LineSight.doneS(state, batch)) - state.nowS();
    }

    private static @Nullable Batch batch(LineState state, UnitId unit) {
        return switch (unit.kind()) {
            case LINE -> null;
            case STEAMER -> state.floor().inSteamer();
            case OVEN -> state.floor().batch(unit);
        };
    }

    private static ProcedureState stateOf(@Nullable Batch batch) {
        return batch == null ? ProcedureState.IDLE : batch.state();
    }

    private static ProcedureState line(LineSettings settings, LineState state) {
        for (int n = 1; n <= settings.ovens(); n++) {
            if (stateOf(state.floor().batch(UnitId.oven(n))) == ProcedureState.RUNNING) {
                return ProcedureState.RUNNING;
            }
        }
        return ProcedureState.IDLE;
    }

    private static boolean heating(AllowedOutputs outputs, UnitId unit, OvenOutputs oven) {
        return switch (unit.kind()) {
            case LINE -> outputs.contactor();
            case STEAMER -> outputs.steamValve() && outputs.secondSteamValve();
            case OVEN -> oven.heater();
        };
    }

    private static @Nullable MoistureView moisture(
            LineState state, UnitId unit, @Nullable Batch batch) {
        boolean known =
                unit.isOven()
                        && batch != null
                        && (batch.charge().place() == Place.OVEN
                                || batch.charge().place() == Place.BENCH);
        return known ? state.leaves().get(unit.number() - 1).view() : null;
    }

    private static SteamView steam(CycleResult result, @Nullable Batch batch, Readings readings) {
        LineState state = result.state();
        double dwellS = batch == null ? Double.NaN : batch.dwellS();
        boolean onBelt = batch != null && state.chest().coldestC() < Double.POSITIVE_INFINITY;
        double logReduction =
                onBelt
                        ? LineSight.dose(
                                        dwellS,
                                        state.chest().coldestC(),
                                        readings.good(UnitId.LINE, Quantity.ROOM_C),
                                        readings.good(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA))
                                .decimalReductions(SteamDose.Parameters.STOCK)
                        : Double.NaN;
        return new SteamView(
                LineSight.chestC(readings),
                state.boilingC(),
                dwellS,
                result.outputs().beltSpeed(),
                logReduction);
    }

    /** Prompts belong to the unit they name; the line shows all of them. */
    private static List<Prompt> prompts(LineState state, UnitId unit) {
        List<Prompt> prompts = List.of();
        for (int i = 0; i < state.floor().slots().size(); i++) {
            Batch batch = state.floor().slots().get(i).batch();
            if (batch == null) {
                continue;
            }
            for (Prompt prompt : batch.prompts()) {
                if (unit.kind() == UnitKind.LINE || prompt.unit().equals(unit)) {
                    prompts = prompts.isEmpty() ? new ArrayList<>(2) : prompts;
                    prompts.add(prompt);
                }
            }
        }
        return prompts;
    }

    private static @Nullable Armed armed(LineState state, UnitId unit) {
        Armed armed = state.floor().armed();
        return armed != null && armed.unit().equals(unit) ? armed : null;
    }
}
