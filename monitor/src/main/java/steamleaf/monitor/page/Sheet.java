package steamleaf.monitor.page;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.function.BiFunction;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.LongStream;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.contract.Bodies;
import steamleaf.contract.Codec;
import steamleaf.contract.Language;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;
import steamleaf.monitor.access.Visitor;
import steamleaf.monitor.alarm.AlarmFigures;
import steamleaf.monitor.alarm.AlarmOrder;
import steamleaf.monitor.live.Live;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.store.Questions;
import steamleaf.monitor.store.Rows;

/**
 * One page while it is written: who reads it, what is now, and what the templates ask of both. All
 * of a sheet comes from one {@link Live.Now}, so that sentence, picture and numbers agree.
 */
public final class Sheet {
    private static final int PANEL_POINTS = 240;
    private static final int BATCH_POINTS = 1_000;
    private static final int LIST = 200;
    private static final int LOG = 30;
    private static final int FEW = 60;
    private static final long HALF_HOUR_S = 1_800;
    private static final int FINISH_TIMES = 8;
    private static final int MANY = 300;
    private static final int NARROW = 340;
    private static final int HIGH = 430;
    private static final int TALL = 330;
    private static final int SHORT = 236;

    private final Visitor visitor;
    private final ZoneId zone;
    private final Live.Now now;
    private final long nowNs;
    private final Questions store;
    private final Function<String, String> regions;
    private final List<String> people;
    private final @Nullable Notices notices;

    /**
     * Where the page is and what it is about.
     *
     * @param live a part of an open page, sent by itself
     */
    public record Place(String path, String unit, String batch, String action, boolean live) {}

    private final Place place;

    private @Nullable Map<String, Integer> cameTimes;

    Sheet(
            Visitor visitor,
            ZoneId zone,
            Live.Now now,
            long nowNs,
            Questions store,
            List<String> people,
            @Nullable Notices notices,
            Place place,
            BiFunction<String, Sheet, String> render) {
        this.visitor = visitor;
        this.zone = zone;
        this.now = now;
        this.nowNs = nowNs;
        this.store = store;
        this.people = people;
        this.notices = notices;
        this.place = place;
        this.regions = name -> render.apply(name, this);
    }

    // ---- the reader

    public Language language() {
        return visitor.language();
    }

    public String lang() {
        return language() == Language.JAPANESE ? "ja" : "en";
    }

    public String by() {
        return visitor.by();
    }

    public String token() {
        return visitor.token();
    }

    public Place place() {
        return place;
    }

    public String unit() {
        return place.unit();
    }

    /** Names to choose from: those of the configuration, then those seen in the log. */
    public List<String> names() {
        List<String> names = new ArrayList<>(people);
        for (Rows.EventRow row : store.commands(LIST)) {
            String by = row.record().body().path("command").path("by").asText("");
            if (!by.isBlank() && !names.contains(by)) {
                names.add(by);
            }
        }
        names.removeIf(name -> name.equals(Words.say(language(), "who.unknown")));
        return names;
    }

    // ---- words

    public String t(String key, Object... values) {
        return Words.say(language(), key, values);
    }

    public String orName(String prefix, @Nullable String name) {
        return Story.word(language(), prefix, name);
    }

    public String say(Because because) {
        return Words.reason(language(), because);
    }

    public String whatToDo(Because because) {
        return Words.whatToDo(language(), because);
    }

    public String name(String unit) {
        return Words.unit(language(), unit);
    }

    public String name() {
        return name(unit());
    }

    /** The same for a button: it is not torn apart where the label breaks. */
    public String label() {
        return name().replace(' ', '\u00a0');
    }

    public String state(String state) {
        return Words.state(language(), state);
    }

    public String operation(@Nullable String operation) {
        return operation == null ? Figures.DASH : Words.operation(language(), operation);
    }

    public String clock(@Nullable Instant at) {
        return Figures.clock(at, zone);
    }

    public String clockS(@Nullable Instant at) {
        return Figures.clockS(at, zone);
    }

    public String when(@Nullable Instant at) {
        return Figures.when(language(), at, zone);
    }

    public String duration(double seconds) {
        return Figures.duration(language(), seconds);
    }

    /** What a unit does now. */
    public String doing(UnitLive live) {
        return Opening.doing(language(), live);
    }

    public String capital(String word) {
        return Story.capital(word);
    }

    /** A live part of the page by name. */
    public String region(String region) {
        return regions.apply(region);
    }

    // ---- the line

    public Live.Now now() {
        return now;
    }

    public String title() {
        LineDescription line = now.line();
        return line == null ? "Steamleaf" : line.title();
    }

    public @Nullable LineDescription description() {
        return now.line();
    }

    /** What the simulated helper did or read last; empty on a real line. */
    public String helper() {
        String words = now.helper();
        return standIn() && words != null ? words : "";
    }

    public boolean standIn() {
        return now.controllerUp() && Objects.requireNonNull(now.status()).standIn();
    }

    /** Says so where a simulator stands in for the machine, empty on a real line. */
    public String simulated() {
        return standIn() ? t("page.simulated") : "";
    }

    public boolean buttonsAtMachine() {
        LineDescription line = now.line();
        return line == null || line.buttonsAtMachine();
    }

    /** Units in the line's order: as described, or as heard. */
    public List<String> units() {
        LineDescription line = now.line();
        if (line != null) {
            return line.units().stream().map(LineDescription.UnitDescription::name).toList();
        }
        return now.units().keySet().stream()
                .filter(name -> !name.equals("line"))
                .sorted(
                        Comparator.comparing((String name) -> !name.equals("steamer"))
                                .thenComparing(Comparator.naturalOrder()))
                .toList();
    }

    /** The line itself first, then its units. */
    public List<String> allUnits() {
        List<String> all = new ArrayList<>(List.of("line"));
        all.addAll(units());
        return all;
    }

    public @Nullable UnitLive live(String unit) {
        return now.unit(unit);
    }

    public @Nullable UnitLive live() {
        return now.unit(unit());
    }

    public Freshness fresh(String unit) {
        return Freshness.of(now, unit, nowNs, language());
    }

    /** The line's time: the latest that any unit told. */
    public @Nullable Instant lineAt() {
        return now.units().values().stream()
                .map(heard -> heard.live().at())
                .max(Comparator.naturalOrder())
                .orElse(null);
    }

    /** The clock, or a dash when the line is not heard. */
    public String lineClock() {
        return now.controllerUp() ? clock(lineAt()) : Figures.DASH;
    }

    public String start() {
        return now.status() == null ? "" : now.status().start();
    }

    /**
     * What the page shows of a unit, to be named by commands. A live part leaves it to the page's
     * script, which knows it for every moment; otherwise the part would change with every cycle.
     */
    public long seenCycle(String unit) {
        UnitLive live = now.unit(unit);
        return live == null || place.live() ? 0 : live.cycle();
    }

    public long seenState(String unit) {
        UnitLive live = now.unit(unit);
        return live == null || place.live() ? 0 : live.stateNumber();
    }

    /** Start, cycle and state of each unit as this sheet shows them. */
    Map<String, Object> seen() {
        Map<String, Object> units = new LinkedHashMap<>();
        now.units()
                .forEach(
                        (name, heard) ->
                                units.put(
                                        name,
                                        Map.of(
                                                "cycle", heard.live().cycle(),
                                                "state", heard.live().stateNumber())));
        return Map.of("start", start(), "units", units);
    }

    // ---- openings

    public String opening() {
        return Opening.unit(language(), zone, unit(), live(), fresh(unit()));
    }

    public String second() {
        Freshness fresh = fresh(unit());
        if (!fresh.fresh()) {
            return fresh.last() == null ? "" : t("fresh.since", clockS(fresh.last()));
        }
        UnitLive live = live();
        boolean open =
                live != null
                        && live.batch() != null
                        && store.samples(live.batch()).stream().anyMatch(s -> s.value() == null);
        return Opening.join(language(), done(live), Opening.second(language(), live, true, open));
    }

    /** When the batch is done; what somebody wants goes before it and stands there already. */
    private String done(@Nullable UnitLive live) {
        UnitLive.Done done = live == null || finish() != null ? null : live.done();
        return done == null
                ? ""
                : t(done.promised() ? "sub.done-promised" : "sub.done", minute(done.at()));
    }

    public String openingOfLine() {
        return Opening.line(language(), zone, now, fresh("line"));
    }

    public String openingOfAlarms() {
        return Opening.alarms(language(), now);
    }

    public String openingOfLots() {
        return Opening.lots(language(), lots(), lineAt(), now.line());
    }

    public String openingOfPlan() {
        return Opening.plan(language(), unit(), live(), fresh(unit()), !lotsWaiting().isEmpty());
    }

    public String openingOfRecipes() {
        return Opening.recipes(language(), recipes());
    }

    public String openingOfBatches() {
        return Opening.batches(language(), zone, batches(), this::batchName);
    }

    public String openingOfStart() {
        if (alreadyRuns()) {
            return opening();
        }
        return switch (place.action()) {
            case "reset" -> armed() != null ? armedSentence() : t("start.reset-opening", name());
            case "resume" ->
                    armed() != null
                            ? armedSentence()
                            : Opening.join(
                                    language(), t("start.resume-opening", name()), startSentence());
            default -> startSentence();
        };
    }

    private String startSentence() {
        UnitLive live = live();
        List<UnitLive.Permissive> needed = live == null ? List.of() : live.permissives();
        return Opening.start(language(), unit(), live, fresh(unit()), needed);
    }

    public UnitLive.@Nullable Armed armed() {
        UnitLive live = live();
        return live == null || !fresh(unit()).fresh() ? null : live.armed();
    }

    public String armedSentence() {
        UnitLive.Armed armed = armed();
        return armed == null ? "" : Opening.armed(language(), name(), armed);
    }

    /** Whether everything is good for what this page arms. */
    public boolean ready() {
        return place.action().equals("reset") || openingOfStart().equals(t("start.ready"));
    }

    // ---- the panel

    /** One unit's tab. */
    public record Tab(String unit, String name, String brief, String mark, boolean here) {}

    public List<Tab> tabs() {
        return units().stream().map(this::tab).toList();
    }

    private Tab tab(String unit) {
        UnitLive live = live(unit);
        Freshness fresh = fresh(unit);
        boolean here = unit.equals(unit());
        if (live == null || !fresh.fresh()) {
            return new Tab(unit, name(unit), Figures.DASH + " " + fresh.why(), "stale", here);
        }
        if (live.prompt() != null) {
            return new Tab(unit, name(unit), brief(live), "must", here);
        }
        boolean abnormal =
                Opening.firstCause(live).isPresent()
                        || live.state().equals("held")
                        || live.state().equals("stopped");
        return new Tab(unit, name(unit), brief(live), abnormal ? "ab" : "", here);
    }

    private String brief(UnitLive live) {
        String separator = language() == Language.JAPANESE ? "・" : " · ";
        String lots = live.lots() == null ? "" : t("batch.lot", live.lots()) + separator;
        if (live.prompt() != null) {
            return lots + t("brief.wanted");
        }
        if (live.state().equals("running")) {
            String doing = Opening.doing(language(), live);
            UnitLive.Moisture m = live.moisture();
            return m != null && m.landsInS() != null
                    ? lots + doing + ", " + t("prompt.due", duration(m.landsInS()))
                    : lots + doing;
        }
        if (live.state().equals("idle")) {
            Double heat = Opening.value(live, live.unit().equals("steamer") ? "chestAC" : "airC");
            return state("idle") + ", " + Figures.celsiusRound(heat);
        }
        return lots + state(live.state());
    }

    /** A large number with its words. */
    public record Figure(String value, String words, String why) {}

    public List<Figure> numbers() {
        UnitLive live = live();
        Freshness fresh = fresh(unit());
        if (live == null) {
            return List.of();
        }
        List<Figure> numbers = new ArrayList<>();
        UnitLive.Moisture m = live.moisture();
        if (m != null) {
            numbers.add(number(fresh, Figures.percent(m.mean(), m.sd()), t("now.moisture")));
        }
        if (unit().equals("steamer")) {
            Double boiling = Opening.value(live, "boilingC");
            String words =
                    boiling == null || !fresh.fresh()
                            ? t("now.chest-plain")
                            : t("now.chest", Figures.celsius(boiling));
            numbers.add(reading(live, fresh, "chestAC", words));
        } else {
            Double set = live.setAirC();
            String words =
                    set == null || !fresh.fresh()
                            ? t("now.air-plain")
                            : t("now.air", Figures.plain(set, 0));
            numbers.add(reading(live, fresh, "airC", words));
        }
        if (m != null && m.leafC() != null) {
            numbers.add(number(fresh, Figures.celsiusRound(m.leafC()), t("now.leaf")));
        }
        return numbers;
    }

    private Figure number(Freshness fresh, String value, String words) {
        return fresh.fresh()
                ? new Figure(value, words, "")
                : new Figure(Figures.DASH, words, fresh.why());
    }

    private Figure reading(UnitLive live, Freshness fresh, String reading, String words) {
        UnitLive.Value value = live.readings().get(reading);
        if (!fresh.fresh()) {
            return new Figure(Figures.DASH, words, fresh.why());
        }
        if (value == null) {
            return new Figure(Figures.DASH, words, t("value.not-told"));
        }
        return value.quality().equals("good") && value.value() != null
                ? new Figure(Figures.celsius(value.value()), words, "")
                : new Figure(Figures.DASH, words, orName("quality.", value.quality()));
    }

    /** Whether this unit is on this line. */
    public boolean known(String unit) {
        return units().contains(unit);
    }

    /** The prompt in force, if the news is fresh. */
    public UnitLive.@Nullable Prompt prompt(String unit) {
        UnitLive live = live(unit);
        return live == null || !fresh(unit).fresh() ? null : live.prompt();
    }

    /** Another unit that waits for a person, or empty. */
    public List<String> otherPrompts() {
        return units().stream()
                .filter(unit -> !unit.equals(unit()) && prompt(unit) != null)
                .toList();
    }

    /** Answered by a press at the machine, because heat or steam follows. */
    public boolean atMachine(UnitLive.Prompt prompt) {
        return switch (prompt.kind()) {
            case "steam-ready", "press-confirm", "press-reset", "resume-or-abort" -> true;
            default -> false;
        };
    }

    /** Whether the confirm button must be told for which unit it counts. */
    public boolean severalConfirm() {
        return units().stream().map(this::prompt).filter(p -> p != null && atMachine(p)).count()
                > 1;
    }

    /** The button that answers a prompt at the machine, or empty. */
    public String button(UnitLive.Prompt prompt) {
        return switch (prompt.kind()) {
            case "steam-ready", "press-confirm" -> "confirm";
            case "press-reset" -> "reset";
            default -> "";
        };
    }

    /** The button at the machine that is to be pressed now, or none. */
    public List<String> pressWanted() {
        UnitLive.Armed armed = armed();
        UnitLive.Prompt prompt = prompt(unit());
        if (armed != null) {
            return List.of(
                    switch (armed.action()) {
                        case "reset", "confirm" -> armed.action();
                        default -> "start";
                    });
        }
        return prompt == null || button(prompt).isEmpty() ? List.of() : List.of(button(prompt));
    }

    /** What this page would arm is going on already. */
    public boolean alreadyRuns() {
        UnitLive live = live();
        return live != null
                && live.state().equals("running")
                && live.armed() == null
                && !place.action().equals("reset");
    }

    /** What holds heat off, as far as it is worth a word: nothing on an idle unit but trouble. */
    public List<UnitLive.Cause> causes() {
        UnitLive live = live();
        return live == null
                ? List.of()
                : live.causes().stream()
                        .filter(
                                c ->
                                        Opening.matters(c)
                                                || (!Opening.isFree(live) && live.prompt() == null))
                        .toList();
    }

    public boolean matters(UnitLive.Cause cause) {
        return Opening.matters(cause);
    }

    /** The reason, said as past when it is. */
    public String causeSentence(UnitLive.Cause cause) {
        return cause.present() ? say(cause.reason()) : t("cause.was", say(cause.reason()));
    }

    public String due(UnitLive.Prompt prompt) {
        Double dueS = prompt.dueS();
        if (dueS == null || !Double.isFinite(dueS)) {
            return "";
        }
        return t(dueS >= 0 ? "prompt.due" : "prompt.overdue", duration(dueS));
    }

    public boolean isState(String... states) {
        UnitLive live = live();
        return live != null && List.of(states).contains(live.state());
    }

    /** Something here was latched and waits for a reset. */
    public boolean needsReset() {
        UnitLive live = live();
        return live != null
                && (live.state().equals("stopped")
                        || live.causes().stream().anyMatch(c -> c.latch().equals("trip")));
    }

    public boolean isOven() {
        return unit().startsWith("oven");
    }

    /** The leaf was steamed and has not gone far: what it looks like can still be said. */
    public boolean judgesSteaming() {
        UnitLive live = live();
        return live != null
                && live.batch() != null
                && isState("running")
                && live.stepNumber() != null
                && (live.stepNumber() == 2 || live.stepNumber() == 3);
    }

    /** Leaf is being dried: an end at a certain time can be asked for. */
    public boolean mayPlanFinish() {
        UnitLive live = live();
        return live != null
                && isOven()
                && live.batch() != null
                && isState("running")
                && live.moisture() != null
                && live.operation() != null
                && List.of("dry", "roll", "shape", "rest").contains(live.operation());
    }

    private UnitLive.@Nullable Finish finish() {
        UnitLive live = live();
        return live == null || !fresh(unit()).fresh() ? null : live.finish();
    }

    /** The line's time with its seconds, as a form takes it back. */
    public String finishNow() {
        return live() == null ? "" : Figures.clockS(live().at(), zone);
    }

    /**
     * Half hours to choose from with a finger, by the line's clock. The first is more than half an
     * hour ahead: nearer, little can still be changed.
     */
    public List<String> finishTimes() {
        UnitLive live = live();
        if (live == null) {
            return List.of();
        }
        long halfHours = live.at().plus(Duration.ofHours(1)).getEpochSecond() / HALF_HOUR_S;
        return LongStream.range(halfHours, halfHours + FINISH_TIMES)
                .mapToObj(n -> clock(Instant.ofEpochSecond(n * HALF_HOUR_S)))
                .toList();
    }

    /** When somebody wants it done, and what comes of it; empty when nobody does. */
    public String finishing() {
        UnitLive.Finish finish = finish();
        if (finish == null) {
            return "";
        }
        String wanted = minute(finish.wanted());
        if (finish.text() == null) {
            return t("finish.looking", wanted);
        }
        if (finish.expected() == null) {
            return Story.ended(language(), say(finish.text()));
        }
        String air =
                finish.stages().stream()
                        .map(stage -> Figures.plain(stage.airC(), 0))
                        .collect(Collectors.joining(", "));
        String expected =
                t(
                        !finish.possible()
                                ? "finish.nearest"
                                : finish.accepted() ? "finish.accepted" : "finish.expected",
                        minute(finish.expected()),
                        Figures.plain(finish.sdS() == null ? 0.0 : finish.sdS() / 60.0, 0),
                        Figures.percent(finish.moisture(), finish.moistureSd()),
                        Figures.percent(finish.greenKept(), 0),
                        air);
        return finish.possible()
                ? Opening.join(language(), t("finish.wanted", wanted), expected)
                : Opening.join(
                        language(),
                        t("finish.not-then", wanted),
                        Story.ended(language(), say(finish.text())),
                        expected);
    }

    /** The time that can be accepted; empty where none can. */
    public String finishOffered() {
        UnitLive.Finish finish = finish();
        return finish == null || finish.accepted() || finish.expected() == null
                ? ""
                : minute(finish.expected());
    }

    /** The nearest minute: on its way to the line and back a wanted time loses part of a second. */
    private String minute(Instant at) {
        return clock(at.plusSeconds(30));
    }

    /** A page without script looks again by itself while a plan is looked for. */
    public boolean looksAgain() {
        UnitLive.Finish finish = finish();
        return finish != null && finish.text() == null && place.path().equals("/unit/" + unit());
    }

    /** What the warm, empty oven said of its humidity sensor; empty where it said nothing. */
    public String hotZero() {
        UnitLive.HotZero zero = heardHotZero();
        return zero == null ? "" : Story.ended(language(), say(zero.text()));
    }

    /** Its sensor is off by more than a working one. */
    public boolean hotZeroRefused() {
        UnitLive.HotZero zero = heardHotZero();
        return zero != null && zero.state().equals("refused");
    }

    private UnitLive.@Nullable HotZero heardHotZero() {
        UnitLive live = live();
        return live == null || !fresh(unit()).fresh() ? null : live.hotZero();
    }

    /** By when dried leaf is to be packed, and what it has taken up; empty where none lies. */
    public String packing() {
        UnitLive live = live();
        UnitLive.Bench bench = live == null || !fresh(unit()).fresh() ? null : live.bench();
        if (live == null || bench == null) {
            return "";
        }
        Instant before = bench.packBefore();
        String pack =
                before == null
                        ? t("pack.no-hurry")
                        : before.isAfter(live.at())
                                ? t("pack.before", clock(before))
                                : t("pack.now");
        return Opening.join(
                language(),
                pack,
                t(
                        "pack.regain",
                        Figures.plain(100.0 * bench.regain(), 2),
                        Figures.plain(bench.outS() / 60.0, 0)));
    }

    /** What the tuning of an idle oven does or proposes, as a sentence; null if it does nothing. */
    public @Nullable String tuning() {
        UnitLive live = live();
        return live == null || live.note() == null || !live.state().equals("idle")
                ? null
                : Words.reason(language(), live.note());
    }

    public boolean proposesTuning() {
        UnitLive live = live();
        return live != null && live.note() != null && live.note().key().equals("tuning.proposed");
    }

    public boolean isFree() {
        UnitLive live = live();
        return live != null && Opening.isFree(live);
    }

    /** One drawing of a picture, for screens of about this width. */
    public record Drawing(int width, String svg) {}

    private List<Drawing> draw(Picture.Scene scene, int height, int... widths) {
        List<Drawing> drawings = new ArrayList<>();
        for (int width : widths) {
            String svg = Picture.draw(language(), zone, scene, width, height);
            if (!svg.isEmpty()) {
                drawings.add(new Drawing(width, svg));
            }
        }
        return drawings;
    }

    /** The picture of the unit's batch so far, tall and short; empty when there is none. */
    public List<Drawing> figure() {
        UnitLive live = live();
        if (live == null || live.batch() == null) {
            return List.of();
        }
        String batch = live.batch();
        List<Rows.EventRow> changes = store.changes(batch);
        double end = (double) live.at().getEpochSecond();
        Picture.Landing landing = fresh(unit()).fresh() ? Picture.Landing.of(live) : null;
        Picture.Scene scene =
                new Picture.Scene(
                        store.curve(batch, PANEL_POINTS),
                        Story.stages(changes, end),
                        List.of(),
                        rings(batch),
                        landing);
        List<Drawing> drawings = new ArrayList<>(draw(scene, TALL, NARROW));
        drawings.addAll(draw(scene, SHORT, NARROW));
        return drawings;
    }

    public String figureTitle() {
        UnitLive live = live();
        String lots = live == null ? null : live.lots();
        return lots == null ? t("figure.none") : t("figure.title", lots);
    }

    private List<Picture.Ring> rings(String batch) {
        List<Picture.Ring> rings = new ArrayList<>();
        for (Rows.SampleRow sample : store.samples(batch)) {
            Double value = sample.value();
            if (value != null && !"dry".equals(sample.basis())) {
                rings.add(
                        new Picture.Ring(
                                (double) sample.takenAt().getEpochSecond(),
                                value,
                                clock(sample.takenAt()) + " " + Figures.percent(value, 1)));
            }
        }
        return rings;
    }

    // ---- permissives and readings

    /** Permissives of one unit. */
    public record Group(String unit, String name, List<Good> items) {}

    /**
     * One thing that must be good.
     *
     * @param tone {@code ok}, {@code bad} or {@code comes}
     */
    public record Good(String tone, String word, String sentence, String rule) {}

    /** What the start itself brings about: not good before, and nothing in its way. */
    private static final Set<String> WITH_THE_START =
            Set.of(
                    "press-start-at-machine",
                    "contactor-open",
                    "contactor-being-tested",
                    "fan-off",
                    "door-not-seen-open",
                    "heat-paused-air-warm",
                    "another-oven-warms-first");

    static boolean inTheWay(UnitLive.Permissive permissive) {
        return !permissive.good() && !WITH_THE_START.contains(permissive.reason().key());
    }

    public Good good(UnitLive.Permissive p) {
        if (p.good()) {
            return new Good("ok", t("start.good"), Words.fine(language(), p.reason()), p.rule());
        }
        return inTheWay(p)
                ? new Good("bad", t("start.bad"), say(p.reason()), p.rule())
                : new Good("comes", t("start.comes"), say(p.reason()), p.rule());
    }

    /** What must be good for this unit, by where it lives; what is in the way first. */
    public List<Group> permissives() {
        Map<String, Map<String, UnitLive.Permissive>> byUnit = new LinkedHashMap<>();
        for (String unit : new LinkedHashSet<>(List.of(unit(), "steamer"))) {
            UnitLive live = live(unit);
            if (live == null || !fresh(unit).fresh()) {
                continue;
            }
            for (UnitLive.Permissive p : live.permissives()) {
                List<String> values = p.reason().values();
                String where = values.isEmpty() ? unit : values.getFirst();
                byUnit.computeIfAbsent(where, _ -> new LinkedHashMap<>()).putIfAbsent(p.rule(), p);
            }
        }
        List<Group> groups = new ArrayList<>();
        byUnit.forEach(
                (unit, items) ->
                        groups.add(
                                new Group(
                                        unit,
                                        name(unit),
                                        items.values().stream()
                                                .sorted(Comparator.comparing(p -> !inTheWay(p)))
                                                .map(this::good)
                                                .toList())));
        groups.sort(
                Comparator.comparing(
                        g -> g.items().stream().noneMatch(i -> i.tone().equals("bad"))));
        return groups;
    }

    /** A reading in the line's table. */
    public record Line(String words, String value, String quality, boolean good) {}

    public List<Line> readings(String unit) {
        UnitLive live = live(unit);
        if (live == null) {
            return List.of();
        }
        Freshness fresh = fresh(unit);
        List<Line> lines = new ArrayList<>();
        live.readings().entrySet().stream()
                .sorted(Map.Entry.comparingByKey(Comparator.comparingInt(Readings::order)))
                .forEach(
                        e -> {
                            UnitLive.Value value = e.getValue();
                            Double number = value.value();
                            boolean good = fresh.fresh() && value.quality().equals("good");
                            lines.add(
                                    new Line(
                                            capital(
                                                    Words.orName(
                                                            language(), "reading.", e.getKey())),
                                            good && number != null
                                                    ? Readings.text(language(), e.getKey(), number)
                                                    : Figures.DASH,
                                            fresh.fresh()
                                                    ? orName("quality.", value.quality())
                                                    : fresh.why(),
                                            good));
                        });
        return lines;
    }

    public String age(String unit) {
        Freshness fresh = fresh(unit);
        return fresh.fresh()
                ? t("fresh.since", clockS(fresh.last()))
                : fresh.last() == null
                        ? fresh.why()
                        : fresh.why() + ", " + t("fresh.since", clockS(fresh.last()));
    }

    // ---- alarms

    public List<AlarmLive> standing() {
        return Opening.standing(now);
    }

    /** What happened, with the unit's name where the sentence does not say it itself. */
    public String alarmTitle(AlarmLive alarm) {
        String sentence = say(alarm.what());
        String name = name(alarm.unit());
        return sentence.contains(name) ? sentence : name + ": " + sentence;
    }

    /** An alarm and whether it was the first of what came together. */
    public List<AlarmOrder.Placed> placed() {
        return AlarmOrder.of(now.alarms().values());
    }

    /** Alarms that nobody has acknowledged. */
    public List<AlarmLive> unacknowledged() {
        return standing().stream().filter(AlarmOrder::unacknowledged).toList();
    }

    public boolean isUnacknowledged(AlarmLive alarm) {
        return AlarmOrder.unacknowledged(alarm);
    }

    /** What the banner says of all the others: how many, and how many of them are urgent. */
    public String alsoOpen(List<AlarmLive> open) {
        long urgent = open.stream().filter(a -> a.priority().equals("high")).count();
        return urgent == 0 || urgent == open.size()
                ? t("alarms.unacknowledged", open.size())
                : t("alarms.unacknowledged-urgent", open.size(), urgent);
    }

    /** What a page with sound sounds for, as the horn does: high and medium ones. */
    public String sounding() {
        return unacknowledged().stream()
                .filter(a -> a.state().equals("unacknowledged") && !a.priority().equals("low"))
                .map(AlarmLive::id)
                .collect(java.util.stream.Collectors.joining(" "));
    }

    /** Shelved or out of service, the youngest last. */
    public List<AlarmLive> aside() {
        return inState("shelved", "out-of-service");
    }

    /** Not told by design: the unit is not in use, or another alarm says it. */
    public List<AlarmLive> suppressed() {
        return inState("suppressed");
    }

    private List<AlarmLive> inState(String... states) {
        return now.alarms().values().stream()
                .filter(a -> List.of(states).contains(a.state()))
                .sorted(java.util.Comparator.comparingLong(AlarmLive::cycle))
                .toList();
    }

    /** Trips are never hidden; an older controller does not say which they are, and refuses. */
    public boolean mayBePutAside(AlarmLive alarm) {
        return AlarmOrder.stands(alarm) && !Boolean.TRUE.equals(alarm.trip());
    }

    /** Since when, by whom, why and until when an alarm is put aside. */
    public String asideWords(AlarmLive alarm) {
        String who = alarm.by() == null ? Figures.DASH : alarm.by();
        String why = alarm.reason() == null ? Figures.DASH : alarm.reason();
        return alarm.until() == null
                ? t("alarms.out-by", who, when(alarm.since()), why)
                : t("alarms.shelved-by", who, when(alarm.since()), clock(alarm.until()), why);
    }

    /** How often it came within ten minutes, empty when that is not often. */
    public String cameOften(AlarmLive alarm) {
        int times = cameTimes().getOrDefault(alarm.id(), 0);
        return times >= AlarmFigures.CHATTERS_FROM ? t("alarms.came-often", times) : "";
    }

    private Map<String, Integer> cameTimes() {
        if (cameTimes == null) {
            Instant at = lineAt();
            cameTimes =
                    at == null
                            ? Map.of()
                            : AlarmSheet.times(
                                    store.alarmsSince(at.minusSeconds(600)), at.minusSeconds(600));
        }
        return cameTimes;
    }

    public List<Story.Told> pastAlarms() {
        return Story.calm(
                language(),
                zone,
                Story.tell(language(), zone, store.latest(List.of("alarm"), MANY)),
                FEW);
    }

    /** Who is on watch and what is being told. */
    public WatchSheet watch() {
        return new WatchSheet(this, notices);
    }

    /** What an alarm leads to if nobody acts, empty when nobody wrote it down. */
    public String leadsTo(AlarmLive alarm) {
        return NoticeWords.leadsTo(language(), alarm.what());
    }

    public AlarmSheet alarmFigures() {
        int days = AlarmSheet.days(place.path());
        return AlarmSheet.of(language(), zone, days, lineAt(), store);
    }

    public LearnedSheet learned() {
        return LearnedSheet.of(language(), now.learned(), store.batches(LIST), this::batchName);
    }

    // ---- the record

    public List<Rows.BatchRow> batches() {
        return store.batches(LIST);
    }

    public List<Rows.LotRow> lots() {
        return store.lots(LIST);
    }

    /** Leaf is left, and nothing of it waits for a tin. */
    public boolean mayBeWrittenOff(Rows.LotRow lot) {
        return Opening.waits(lot);
    }

    public List<Rows.LotRow> lotsWaiting() {
        return lots().stream().filter(Opening::waits).toList();
    }

    /** Time since plucking, and whether it presses. */
    public String sincePlucking(Rows.LotRow lot) {
        Instant at = lineAt();
        return lot.pluckedAt() == null || at == null
                ? Figures.DASH
                : t(
                        "time.ago",
                        duration((double) Duration.between(lot.pluckedAt(), at).toSeconds()));
    }

    public String freshness(Rows.LotRow lot) {
        Instant at = lineAt();
        return lot.pluckedAt() == null || at == null || !Opening.waits(lot)
                ? ""
                : Opening.freshness(
                        language(),
                        lot.label(),
                        (double) Duration.between(lot.pluckedAt(), at).toSeconds(),
                        now.line());
    }

    public List<RecipeDescription> recipes() {
        LineDescription line = now.line();
        List<RecipeDescription> known = new ArrayList<>(now.recipes().values());
        if (line != null) {
            known.sort(
                    Comparator.comparingInt(
                            r ->
                                    line.recipes().contains(r.name())
                                            ? line.recipes().indexOf(r.name())
                                            : Integer.MAX_VALUE));
        }
        return known;
    }

    public String capacity() {
        LineDescription line = now.line();
        return line == null
                ? ""
                : line.units().stream()
                        .filter(u -> u.name().equals(unit()))
                        .findFirst()
                        .map(u -> t("plan.capacity", name(), Figures.kg(u.capacityKg())))
                        .orElse("");
    }

    /** A batch as people call it: by its lots. */
    public String batchName(Rows.BatchRow batch) {
        List<String> labels = labels(batch);
        return labels.isEmpty()
                ? t("batch.batch", batch.id())
                : t("batch.lot", String.join(" + ", labels));
    }

    private List<String> labels(Rows.BatchRow batch) {
        Map<String, String> known = new LinkedHashMap<>();
        for (Rows.LotRow lot : lots()) {
            known.put(lot.id(), lot.label());
        }
        return batch.lots().stream().map(p -> known.getOrDefault(p.lot(), p.lot())).toList();
    }

    public String took(Rows.BatchRow batch) {
        return batch.startedAt() == null || batch.landedAt() == null
                ? Figures.DASH
                : duration(
                        (double) Duration.between(batch.startedAt(), batch.landedAt()).toSeconds());
    }

    /** What was charged and what was weighed last. */
    public String massesOf(Rows.BatchRow row) {
        double charged = row.lots().stream().mapToDouble(Bodies.Portion::massKg).sum();
        String from = row.lots().isEmpty() ? Figures.DASH : Figures.kg(charged);
        return from + " → " + Figures.kg(row.endMassKg());
    }

    /** What ends a step of a recipe. */
    public String until(RecipeDescription.Step step) {
        if (step.untilMoisture() != null) {
            return t("recipe.until", Figures.percent(step.untilMoisture(), 1));
        }
        if (step.durationS() != null) {
            return duration(step.durationS());
        }
        return step.operation().equals("cool") && step.leafMaxC() != null
                ? t("recipe.below", Figures.celsiusRound(step.leafMaxC()))
                : t("recipe.confirm");
    }

    /** Everything on the page of one batch. */
    public record BatchView(
            Rows.BatchRow row,
            String name,
            String opening,
            List<Drawing> pictures,
            List<Story.Told> told,
            List<Rows.SampleRow> samples,
            List<Part> parts,
            String date,
            String missing) {}

    /** A lot's part in a batch. */
    public record Part(String label, String field, String plucked, String mass) {}

    public BatchView batch() {
        Rows.BatchRow row = store.batch(place.batch()).orElseThrow();
        List<Rows.EventRow> events = store.eventsOf(row.id());
        List<Rows.Point> points = store.curve(row.id(), BATCH_POINTS);
        List<Picture.Mark> marks = new ArrayList<>();
        for (Rows.EventRow event : events) {
            if (event.record().kind().equals("alarm")
                    && event.record().body().path("to").asText("").equals("unacknowledged")) {
                String what = Story.tell(language(), zone, List.of(event)).getFirst().sentence();
                marks.add(
                        new Picture.Mark(
                                (double) event.record().at().getEpochSecond(),
                                alarmWords(event, what)));
            }
        }
        double end = (double) row.lastAt().getEpochSecond();
        Picture.Scene scene =
                new Picture.Scene(
                        points, Story.stages(events, end), marks, rings(row.id()), landing(row));
        List<Drawing> pictures = new ArrayList<>(draw(scene, HIGH, 1_290, 900, 680));
        pictures.addAll(draw(scene, TALL, NARROW));
        String first = marks.isEmpty() ? null : Story.ended(language(), marks.getFirst().text());
        Instant firstAt =
                marks.isEmpty() ? null : Instant.ofEpochSecond((long) marks.getFirst().atS());
        String name = batchName(row);
        return new BatchView(
                row,
                name,
                Opening.batch(language(), zone, name, row, marks.size(), firstAt, first),
                pictures,
                Story.tell(language(), zone, events),
                store.samples(row.id()),
                parts(row),
                date(row),
                missing());
    }

    private String alarmWords(Rows.EventRow event, String otherwise) {
        try {
            return Words.clause(say(Codec.read(event.record().body(), Bodies.Alarm.class).what()));
        } catch (Codec.Malformed _) {
            return otherwise;
        }
    }

    private Picture.@Nullable Landing landing(Rows.BatchRow row) {
        UnitLive live = live(row.oven());
        return live != null && row.id().equals(live.batch()) && fresh(row.oven()).fresh()
                ? Picture.Landing.of(live)
                : null;
    }

    private List<Part> parts(Rows.BatchRow row) {
        Map<String, Rows.LotRow> known = new LinkedHashMap<>();
        lots().forEach(lot -> known.put(lot.id(), lot));
        return row.lots().stream()
                .map(
                        p -> {
                            Rows.LotRow lot = known.get(p.lot());
                            return lot == null
                                    ? new Part(
                                            p.lot(),
                                            Figures.DASH,
                                            Figures.DASH,
                                            Figures.kg(p.massKg()))
                                    : new Part(
                                            lot.label(),
                                            lot.field() == null ? Figures.DASH : lot.field(),
                                            when(lot.pluckedAt()),
                                            Figures.kg(p.massKg()));
                        })
                .toList();
    }

    private String date(Rows.BatchRow row) {
        Instant from = row.startedAt() == null ? row.plannedAt() : row.startedAt();
        return from == null ? when(row.lastAt()) : when(from) + " – " + clock(row.lastAt());
    }

    /** Numbers that never came, as one clause, or empty. */
    public String missing() {
        List<Rows.Missing> missing = store.missing();
        return missing.isEmpty()
                ? ""
                : String.join(
                        ", ",
                        missing.stream()
                                .map(m -> m.from() + "–" + m.to() + " (" + m.journal() + ")")
                                .toList());
    }

    /** Samples of this unit's batch. */
    public List<Rows.SampleRow> samples() {
        UnitLive live = live();
        return live == null || live.batch() == null ? List.of() : store.samples(live.batch());
    }

    /** One line of the log of commands. */
    public record Asked(String at, String sentence, boolean moved) {}

    public List<Asked> log() {
        List<Asked> log = new ArrayList<>();
        for (Rows.EventRow row : store.commands(LOG)) {
            try {
                Bodies.Commanded told = Codec.read(row.record().body(), Bodies.Commanded.class);
                log.add(
                        new Asked(
                                when(row.record().at()),
                                Story.command(language(), told),
                                told.answer().moved()));
            } catch (Codec.Malformed _) {
                log.add(new Asked(when(row.record().at()), Figures.DASH, false));
            }
        }
        return log;
    }
}
