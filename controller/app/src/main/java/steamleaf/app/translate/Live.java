package steamleaf.app.translate;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.UnitLive;
import steamleaf.core.alarm.AlarmEvent;
import steamleaf.core.alarm.AlarmKey;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.alarm.AlarmStage;
import steamleaf.core.alarm.AlarmStates;
import steamleaf.core.alarm.AlarmStatus;
import steamleaf.core.batch.EndPoint;
import steamleaf.core.batch.FinishBy;
import steamleaf.core.batch.FinishPlan;
import steamleaf.core.batch.FinishPlan.Outlook;
import steamleaf.core.batch.LoopTuning;
import steamleaf.core.batch.Prompt;
import steamleaf.core.batch.PromptKind;
import steamleaf.core.batch.SampleHelp;
import steamleaf.core.batch.Tuning;
import steamleaf.core.cycle.HotZero;
import steamleaf.core.cycle.MoistureView;
import steamleaf.core.cycle.UnitView;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Cause;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.interlock.Permissive;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Reading;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/** From the core's views to the live state of a unit on the wire. */
public final class Live {
    /** What one cycle gives to every unit. */
    public record Cycle(
            String start,
            long cycle,
            Instant at,
            double nowS,
            Readings readings,
            AllowedOutputs outputs) {}

    private Live() {}

    /**
     * @param lineReady used for the line only
     */
    public static UnitLive unit(UnitView view, long stateNumber, Cycle in, boolean lineReady) {
        boolean runs = view.operation() != null;
        boolean line = view.unit().equals(UnitId.LINE);
        return new UnitLive(
                view.unit().label(),
                in.start(),
                in.cycle(),
                in.at(),
                line ? (lineReady ? "ready" : "not-ready") : Words.state(view.state()),
                stateNumber,
                view.operation() == null ? null : Words.operation(view.operation()),
                view.phase().isEmpty() ? null : Words.phase(view.phase()),
                runs ? view.operationIndex() + 1 : null,
                runs ? view.operations() : null,
                runs ? Words.rounded(view.inOperationS(), 10) : null,
                view.batchId(),
                view.recipeName(),
                view.lotLabels().isEmpty() ? null : String.join(", ", view.lotLabels()),
                readings(view.unit(), in.readings(), view),
                outputs(view, in.outputs()),
                Words.rounded(view.airSetpointC(), 10),
                moisture(view.moisture()),
                prompt(view.prompts(), in.nowS()),
                causes(view.causes()),
                permissives(view.permissives()),
                armed(view),
                note(view),
                finish(view.finish(), in),
                bench(view.moisture(), in.at()),
                hotZero(view.hotZero()),
                done(view, in.at()));
    }

    private static UnitLive.@Nullable Finish finish(@Nullable FinishBy finish, Cycle in) {
        if (finish == null) {
            return null;
        }
        Instant wanted = later(in.at(), finish.wantedS() - in.nowS());
        Outlook outlook = finish.outlook();
        Because text = finish.plan() == null ? null : finishText(finish);
        boolean possible = finish.plan() instanceof FinishPlan.Reached;
        if (outlook == null) {
            return new UnitLive.Finish(
                    wanted,
                    finish.accepted(),
                    possible,
                    null,
                    null,
                    null,
                    null,
                    null,
                    List.of(),
                    text);
        }
        List<UnitLive.Stage> stages = new ArrayList<>();
        for (FinishPlan.Stage stage : outlook.stages()) {
            stages.add(new UnitLive.Stage(stage.operation() + 1, stage.airC(), stage.damper()));
        }
        return new UnitLive.Finish(
                wanted,
                finish.accepted(),
                possible,
                later(in.at(), finish.plannedS() + outlook.inS() - in.nowS()),
                Words.rounded(outlook.sdS(), 1),
                Words.rounded(outlook.moisture(), 1e5),
                Words.rounded(outlook.moistureSd(), 1e5),
                Words.rounded(outlook.greenKept(), 1e3),
                stages,
                text);
    }

    private static UnitLive.@Nullable Done done(UnitView view, Instant at) {
        return Double.isNaN(view.doneInS())
                ? null
                : new UnitLive.Done(later(at, view.doneInS()), view.donePromised());
    }

    private static Instant later(Instant at, double inS) {
        return at.plusSeconds(Math.round(inS));
    }

    /** What is proposed, kept to, or stands in the way. */
    static Because finishText(FinishBy finish) {
        return switch (finish.plan()) {
            case null -> Because.of("finish.nothing-left");
            case FinishPlan.Never _ -> Because.of("finish.never");
            case FinishPlan.NothingLeft _ -> Because.of("finish.nothing-left");
            case FinishPlan.Reached(Outlook outlook) ->
                    outlook(finish.accepted() ? "kept" : "reached", outlook);
            case FinishPlan.OnlyNear(Outlook outlook, FinishPlan.Bound bound) ->
                    outlook(finish.accepted() ? "lost" : Words.word(bound), outlook);
        };
    }

    /** What holds from now on. */
    static Because acceptedText(FinishBy finish) {
        Outlook outlook = finish.outlook();
        return outlook == null ? finishText(finish) : outlook("accepted", outlook);
    }

    private static Because outlook(String key, Outlook outlook) {
        return Because.of(
                "finish." + key,
                Words.number(outlook.inS() / 60.0, 0),
                Words.number(outlook.sdS() / 60.0, 0),
                Words.number(100.0 * outlook.moisture(), 1),
                Words.number(100.0 * outlook.moistureSd(), 1),
                Words.number(100.0 * outlook.greenKept(), 0),
                outlook.stages().stream()
                        .map(stage -> Words.number(stage.airC(), 0))
                        .collect(java.util.stream.Collectors.joining(", ")));
    }

    private static UnitLive.@Nullable Bench bench(@Nullable MoistureView view, Instant at) {
        MoistureView.Bench bench = view == null ? null : view.bench();
        return bench == null
                ? null
                : new UnitLive.Bench(
                        Math.rint(bench.outS()),
                        Math.rint(bench.regain() * 1e5) / 1e5,
                        Double.isFinite(bench.packInS()) ? later(at, bench.packInS()) : null);
    }

    static UnitLive.@Nullable HotZero hotZero(@Nullable HotZero zero) {
        return switch (zero) {
            case null -> null;
            case HotZero.UnderWay _ ->
                    new UnitLive.HotZero("under-way", null, null, Because.of("zero.under-way"));
            case HotZero.Zeroed(double offset, double sd) -> hotZero("zeroed", offset, sd);
            case HotZero.Refused(double offset, double sd) -> hotZero("refused", offset, sd);
        };
    }

    private static UnitLive.HotZero hotZero(String state, double offset, double sd) {
        return new UnitLive.HotZero(
                state,
                Math.rint(offset * 1e4) / 1e4,
                Math.rint(sd * 1e4) / 1e4,
                Because.of("zero." + state, Records.points(offset), Words.number(100.0 * sd, 1)));
    }

    /** Why it is held, or what its tuning does or proposes. */
    private static @Nullable Because note(UnitView view) {
        if (view.heldCause() != null) {
            return Because.of(Words.heldKey(view.heldCause()), view.unit().label());
        }
        return switch (view.tuning()) {
            case null -> null;
            case Tuning.Running _ -> Because.of("tuning.runs", view.unit().label());
            case Tuning.Proposed proposed -> proposal(view.unit(), proposed);
        };
    }

    static Because proposal(UnitId oven, Tuning.Proposed proposed) {
        LoopTuning settings = proposed.settings();
        return Because.of(
                "tuning.proposed",
                oven.label(),
                Words.number(settings.gainDutyPerK(), 4),
                Words.number(settings.integralS(), 0),
                Words.number(settings.derivativeS(), 0),
                Words.number(proposed.amplitudeK(), 1),
                Words.number(proposed.periodS(), 0));
    }

    private static Map<String, UnitLive.Value> readings(
            UnitId unit, Readings readings, UnitView view) {
        Map<String, UnitLive.Value> values = new LinkedHashMap<>();
        for (Quantity quantity : Quantity.values()) {
            if (quantity.of() == unit.kind()) {
                Reading reading = readings.get(unit, quantity);
                values.put(
                        Names.of(quantity),
                        new UnitLive.Value(
                                reading.isGood()
                                        ? Words.rounded(reading.value(), Names.perUnit(quantity))
                                        : null,
                                Words.quality(reading.quality())));
            }
        }
        if (view.steam() != null) {
            double boilingC = view.steam().boilingC();
            values.put(
                    "boilingC",
                    new UnitLive.Value(
                            Words.rounded(boilingC, 100),
                            Double.isFinite(boilingC) ? "good" : "not-yet-read"));
        }
        return values;
    }

    private static Map<String, Double> outputs(UnitView view, AllowedOutputs outputs) {
        Map<String, Double> values = new LinkedHashMap<>();
        switch (view.unit().kind()) {
            case LINE -> values.put("contactor", number(outputs.contactor()));
            case STEAMER -> {
                values.put("valve", number(outputs.steamValve()));
                values.put("secondValve", number(outputs.secondSteamValve()));
                values.put("belt", outputs.beltRun() ? outputs.beltSpeed() : 0.0);
                values.put("extractor", number(outputs.extractor()));
                values.put("hoodUnlock", number(outputs.hoodUnlock()));
                values.put("duty", view.heaterDuty());
            }
            case OVEN -> {
                OvenOutputs oven = outputs.ovens().get(view.unit().number() - 1);
                values.put("heater", number(oven.heater()));
                values.put("fan", number(oven.fan()));
                values.put("damper", oven.damper());
                values.put("duty", view.heaterDuty());
            }
        }
        values.replaceAll(
                (name, value) -> Double.isFinite(value) ? Math.rint(value * 1000) / 1000 : 0.0);
        return values;
    }

    private static double number(boolean on) {
        return on ? 1.0 : 0.0;
    }

    static UnitLive.@Nullable Moisture moisture(@Nullable MoistureView view) {
        if (view == null
                || !Double.isFinite(view.mean())
                || !Double.isFinite(view.deviation())
                || !Double.isFinite(view.wettest())) {
            return null;
        }
        return new UnitLive.Moisture(
                Math.rint(view.mean() * 1e5) / 1e5,
                Math.rint(view.deviation() * 1e5) / 1e5,
                Math.rint(view.wettest() * 1e5) / 1e5,
                Words.rounded(view.leafC(), 10),
                Words.rounded(view.endMoisture(), 1e5),
                Words.rounded(view.landsInS(), 1),
                Words.rounded(view.landsInDeviationS(), 1),
                Words.rounded(view.inBandProbability(), 1e4),
                view.endPoint() == null ? null : aim(view.endPoint(), "aim."));
    }

    /** Why the last drying ends where it does; {@code before} is the key's beginning. */
    static Because aim(EndPoint end, String before) {
        return Because.of(
                before + Words.word(end.why()),
                Words.number(100 * end.aim(), 1),
                Words.number(100 * end.target(), 1),
                Words.number(100 * end.deviation(), 2),
                percent(end.probability()),
                Words.number(100 * end.wettest(), 1));
    }

    /** Whole percents, but never a certainty that is not there. */
    static String percent(double probability) {
        return Words.number(Math.clamp(100 * probability, 0, 99.9), probability > 0.99 ? 1 : 0);
    }

    /**
     * The most pressing one: overdue and due soonest first, a hand sample last. While a batch is
     * held, what belongs to its running (turning, a press for heat) waits until it runs again.
     */
    static @Nullable Prompt mostPressing(List<Prompt> prompts) {
        boolean held = prompts.stream().anyMatch(p -> p.kind() == PromptKind.RESUME_OR_ABORT);
        Prompt first = null;
        for (Prompt prompt : prompts) {
            if (first == null || urgency(prompt, held) < urgency(first, held)) {
                first = prompt;
            }
        }
        return first;
    }

    private static UnitLive.@Nullable Prompt prompt(List<Prompt> prompts, double nowS) {
        Prompt first = mostPressing(prompts);
        return first == null
                ? null
                : new UnitLive.Prompt(
                        first.id(),
                        Words.word(first.kind()),
                        first.batchId(),
                        Math.rint(nowS - first.sinceS()),
                        first.wantsMass(),
                        Words.rounded(first.dueS() - nowS, 1),
                        promptText(first));
    }

    private static double urgency(Prompt prompt, boolean held) {
        return switch (prompt.kind()) {
            case TAKE_OUT_AND_SPREAD, TAKE_OUT -> prompt.dueS();
            case RESUME_OR_ABORT -> Double.MAX_VALUE;
            case HAND_SAMPLE -> held ? Double.POSITIVE_INFINITY : Double.MAX_VALUE;
            case STEAM_READY,
                    FEED,
                    COOL_AND_LOAD,
                    TURN,
                    PUT_BACK,
                    WEIGH,
                    PACK,
                    PRESS_CONFIRM,
                    PRESS_RESET ->
                    held ? Double.POSITIVE_INFINITY : prompt.dueS();
        };
    }

    static Because promptText(Prompt prompt) {
        SampleHelp help = prompt.help();
        if (help != null) {
            return Because.of(
                    prompt.leafOutside()
                            ? "prompt.hand-sample-outside"
                            : "prompt.hand-sample-helps",
                    number(prompt.unit()),
                    percent(help.without()),
                    percent(help.now()));
        }
        return Because.of(Words.promptKey(prompt.kind()), number(prompt.unit()));
    }

    /** The number people say: 2 for oven 2; nothing for steamer and line. */
    static String number(UnitId unit) {
        return unit.isOven() ? Integer.toString(unit.number()) : "";
    }

    private static List<UnitLive.Cause> causes(List<Cause> causes) {
        List<UnitLive.Cause> all = new ArrayList<>(causes.size());
        for (Cause cause : causes) {
            String latch =
                    switch (cause.rule().latch()) {
                        case TRIP -> "trip";
                        case INTERLOCK -> "interlock";
                        case FOLLOWS -> "follows";
                    };
            String resetBy =
                    switch (cause.rule().latch()) {
                        case TRIP -> "reset";
                        case INTERLOCK -> "start";
                        case FOLLOWS -> "none";
                    };
            all.add(
                    new UnitLive.Cause(
                            cause.rule().id(),
                            latch,
                            cause.present(),
                            cause.firstOut(),
                            Words.because(cause.reason(), cause.unit()),
                            resetBy));
        }
        return all;
    }

    private static List<UnitLive.Permissive> permissives(List<Permissive> permissives) {
        List<UnitLive.Permissive> all = new ArrayList<>(permissives.size());
        for (Permissive permissive : permissives) {
            all.add(
                    new UnitLive.Permissive(
                            permissive.reason().key(),
                            permissive.good(),
                            Words.because(permissive.reason(), permissive.unit())));
        }
        return all;
    }

    private static UnitLive.@Nullable Armed armed(UnitView view) {
        return view.armed() == null
                ? null
                : new UnitLive.Armed(
                        Words.word(view.armed()), Math.rint(view.armedForS() * 10) / 10);
    }

    /** An alarm that has just changed, with the states after it. */
    public static AlarmLive alarm(
            AlarmEvent.Changed changed, AlarmStates states, long cycle, Instant at) {
        AlarmStatus status =
                states.standing().stream()
                        .filter(s -> s.alarm().equals(changed.alarm()))
                        .findFirst()
                        .orElse(null);
        return alarm(changed.alarm(), changed.to(), changed.by(), cycle, at, status, states.nowS());
    }

    /** An alarm as it stands, for somebody who comes later. */
    public static AlarmLive alarm(AlarmStatus status, double nowS, Instant since) {
        return alarm(
                status.alarm(),
                status.stage(),
                status.by(),
                status.sinceCycle(),
                since,
                status,
                nowS);
    }

    private static AlarmLive alarm(
            AlarmKey alarm,
            AlarmStage stage,
            String by,
            long cycle,
            Instant at,
            @Nullable AlarmStatus status,
            double nowS) {
        AlarmKind kind = alarm.kind();
        return new AlarmLive(
                alarm.label(),
                alarm.unit().label(),
                kind.key(),
                Words.stage(stage),
                Words.word(kind.priority()),
                kind.respondS(),
                cycle,
                at,
                by.isEmpty() ? null : by,
                Because.of(kind.key(), alarm.unit().label()),
                status == null ? null : status.raisedCycle(),
                kind.ordinal(),
                kind.isTrip(),
                status == null || status.reason().isEmpty() ? null : status.reason(),
                status == null || Double.isNaN(status.untilS())
                        ? null
                        : at.plusMillis(Math.round((status.untilS() - nowS) * 1e3)));
    }
}
