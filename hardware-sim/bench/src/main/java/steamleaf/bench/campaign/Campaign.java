package steamleaf.bench.campaign;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.function.Consumer;
import java.util.regex.Pattern;
import steamleaf.app.config.Config;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.plant.PlantSettings;

/**
 * Many windows with faults in many batches. First every component, kind and stage once, then pairs;
 * a tenth of the runs are whole batches with a pair each. What happens where depends on the seed
 * alone, not on the number of threads.
 */
final class Campaign {
    private static final List<String> RECIPES = List.of("standard", "light", "deep");
    private static final double LATEST_S = 40;

    /** A whole batch's faults begin anywhere in its first hours. */
    private static final double WHOLE_LATEST_S = 4 * 3600;

    /** A batch costs as much again as so many windows of twenty minutes. */
    private static final int WINDOWS_PER_BATCH = 20;

    /** What no batch reached after so many rounds is counted, not chased. */
    private static final int ROUNDS = 8;

    /**
     * What came of it.
     *
     * @param cellsTold component, kind and stage that were broken by themselves at least once
     * @param notReached cells among those wanted whose moment no batch had, by name
     * @param pairsNotReached stories of two whose moment no batch had
     * @param faultsNotBegun faults of windows that ended before
     * @param faultsAfterBatch faults that began when their batch was over, so that they met nothing
     * @param snapshotMs what a snapshot took on average
     * @param byCheck findings that nothing explains, by check
     * @param uncovered windows explained by a set that software cannot cover, by the set's name
     * @param failed windows with a finding that nothing explains
     * @param peopleFailed windows in which the scripted people failed; says nothing of the program
     * @param peopleFailedBy those windows by what went wrong
     */
    record Outcome(
            int windows,
            int wholeBatches,
            int batches,
            int cells,
            int cellsTold,
            List<String> notReached,
            int pairsNotReached,
            int faultsNotBegun,
            int faultsAfterBatch,
            double simulatedH,
            double snapshotMs,
            Map<String, Integer> byCheck,
            Map<String, Integer> uncovered,
            int peopleFailed,
            Map<String, Integer> peopleFailedBy,
            List<Shift.Window> failed) {}

    private static final Pattern NUMBER = Pattern.compile("\\d+");

    private static final Pattern IDLE = Pattern.compile("oven-[23]\\..*");

    private static final Set<String> PROVOKING =
            Set.of(
                    "oven-1.door opened",
                    "oven-1.fan stuck-off",
                    "oven-1.filter blocked",
                    "oven-1.heater-relay stuck-on",
                    "oven-1.fire present",
                    "oven-1.air drift",
                    "emergency-stop pressed",
                    "permit-key taken",
                    "hood opened",
                    "hood-bolt stuck-off",
                    "contactor stuck-on",
                    "steam-valve stuck-on",
                    "second-steam-valve stuck-on",
                    "belt blocked",
                    "chest-openings blocked",
                    "i2c-1 hung");

    private final Config config;
    private final long seed;
    private final int threads;
    private final Consumer<String> told;
    private final Consumer<Shift.Window> failed;
    private final Consumer<Shift.Window> peopleFailed;
    private final SplittableRandom random;
    private int shifts;
    private int failures;
    private double simulatedS;
    private long snapshotsNs;
    private final List<Shift.Window> windows = new ArrayList<>();

    Campaign(
            Config config,
            long seed,
            int threads,
            Consumer<String> told,
            Consumer<Shift.Window> failed,
            Consumer<Shift.Window> peopleFailed) {
        this.config = config;
        this.seed = seed;
        this.threads = threads;
        this.told = told;
        this.failed = failed;
        this.peopleFailed = peopleFailed;
        random = new SplittableRandom(seed);
    }

    Outcome run(int runs) throws InterruptedException {
        List<FaultCase> cases = cases();
        int whole = runs / 10;
        int wanted = runs - whole;
        List<Story> stories = cells(cases);
        int cells = stories.size();
        stories = new ArrayList<>(stories.subList(0, Math.min(cells, wanted)));
        while (stories.size() < wanted) {
            stories.add(pair(cases, Stage.drawn(random), LATEST_S));
        }
        List<Story> notReached;
        try (ExecutorService workers = Executors.newFixedThreadPool(threads)) {
            notReached = tell(stories, whole(cases, whole), workers);
        }
        return sum(cells, notReached);
    }

    static List<FaultCase> cases() {
        try (SimulatedLine line = SimulatedLine.open(PlantSettings.stock(), Board.stock(), 0)) {
            return List.copyOf(line.faults().catalogue().cases());
        }
    }

    /** Each component, kind and stage, in an order that the seed draws. */
    private List<Story> cells(List<FaultCase> cases) {
        List<Story> stories = new ArrayList<>();
        for (FaultCase what : cases) {
            for (Stage stage : Stage.values()) {
                double moment = random.nextDouble();
                Story.Draw draw = Story.draw(what, LATEST_S, random);
                stories.add(new Story(stage, moment, List.of(draw)));
            }
        }
        Collections.shuffle(stories, new Random(seed));
        return stories;
    }

    /**
     * Two at once, or one shortly after the other. Half of the seconds are what turns a quiet fault
     * into danger, and most are where the batch is: two faults at idle ovens meet nothing.
     */
    private Story pair(List<FaultCase> cases, Stage stage, double latestS) {
        FaultCase first = near(cases);
        FaultCase second = first;
        while (second.equals(first)) {
            second = random.nextBoolean() ? near(provoking(cases)) : near(cases);
        }
        return new Story(
                stage,
                random.nextDouble(),
                List.of(
                        Story.draw(first, latestS, random),
                        Story.draw(second, Math.max(latestS, 120), random)));
    }

    private FaultCase near(List<FaultCase> cases) {
        FaultCase drawn = cases.get(random.nextInt(cases.size()));
        while (IDLE.matcher(drawn.component()).matches() && random.nextInt(4) != 0) {
            drawn = cases.get(random.nextInt(cases.size()));
        }
        return drawn;
    }

    private static List<FaultCase> provoking(List<FaultCase> cases) {
        return cases.stream().filter(c -> PROVOKING.contains(c.toString())).toList();
    }

    /** The windows, in rounds, and the whole batches among those of the first round. */
    private List<Story> tell(List<Story> stories, List<Story> whole, ExecutorService workers)
            throws InterruptedException {
        List<Story> backlog = stories;
        for (int round = 1; round <= ROUNDS; round++) {
            List<Shift.Order> orders = orders(backlog);
            if (round == 1) {
                orders = mixed(orders, whole);
            }
            if (orders.isEmpty()) {
                break;
            }
            told.accept("round " + round + ": " + orders.size() + " batches");
            backlog =
                    all(orders, workers).stream()
                            .flatMap(result -> result.untold().stream())
                            .toList();
        }
        return backlog;
    }

    /** Evenly among each other, so that a campaign that is cut short has both. */
    private List<Shift.Order> mixed(List<Shift.Order> orders, List<Story> whole) {
        List<Shift.Order> all = new ArrayList<>();
        int next = 0;
        for (int i = 0; i < orders.size(); i++) {
            all.add(orders.get(i));
            while (next < (i + 1L) * whole.size() / orders.size()) {
                all.add(order(List.of(whole.get(next++)), true));
            }
        }
        return all;
    }

    private List<Shift.Order> orders(List<Story> backlog) {
        List<Shift.Order> orders = new ArrayList<>();
        for (int i = 0; i < backlog.size(); i += WINDOWS_PER_BATCH) {
            int end = Math.min(i + WINDOWS_PER_BATCH, backlog.size());
            orders.add(order(backlog.subList(i, end), false));
        }
        return orders;
    }

    private Shift.Order order(List<Story> stories, boolean whole) {
        int number = shifts++;
        long mixed = new SplittableRandom(seed * 1_000_003 + number).nextLong(1, 1L << 40);
        return new Shift.Order(RECIPES.get(number % RECIPES.size()), mixed, stories, whole);
    }

    private List<Story> whole(List<FaultCase> cases, int count) {
        List<Story> stories = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            Story pair = pair(cases, Stage.WARMING, WHOLE_LATEST_S);
            stories.add(new Story(pair.stage(), pair.draws())); // opens at once, breaks any time
        }
        return stories;
    }

    private List<Shift.Result> all(List<Shift.Order> orders, ExecutorService workers)
            throws InterruptedException {
        List<Future<Shift.Result>> running = new ArrayList<>();
        for (Shift.Order order : orders) {
            running.add(workers.submit(() -> Shift.run(config, order)));
        }
        List<Shift.Result> results = new ArrayList<>();
        for (Future<Shift.Result> future : running) {
            Shift.Result result = get(future);
            results.add(result);
            windows.addAll(result.windows());
            simulatedS += result.simulatedS();
            snapshotsNs += result.snapshotsNs();
            for (Shift.Window window : result.windows()) {
                failures += fails(window) ? 1 : 0;
                if (fails(window)) {
                    failed.accept(window);
                } else if (peopleFail(window)) {
                    peopleFailed.accept(window);
                }
            }
            if (results.size() % 25 == 0) {
                told.accept(
                        String.format(
                                Locale.ROOT,
                                "  %d of %d batches: %d runs, %d cells, %.0f h of line time, %d"
                                        + " failed",
                                results.size(),
                                orders.size(),
                                windows.size(),
                                cellsTold(),
                                simulatedS / 3600,
                                failures));
            }
        }
        return results;
    }

    private static Shift.Result get(Future<Shift.Result> future) throws InterruptedException {
        try {
            return future.get();
        } catch (ExecutionException e) {
            throw new IllegalStateException("a batch broke off", e.getCause());
        }
    }

    static boolean fails(Shift.Window window) {
        return window.findings().stream()
                .anyMatch(f -> f.check() != Check.PEOPLE_FAILED && Uncovered.of(f) == null);
    }

    private static boolean peopleFail(Shift.Window window) {
        return window.findings().stream().anyMatch(f -> f.check() == Check.PEOPLE_FAILED);
    }

    private int cellsTold() {
        return (int)
                windows.stream()
                        .filter(window -> window.story().draws().size() == 1)
                        .map(window -> window.story().cell())
                        .distinct()
                        .count();
    }

    private Outcome sum(int cells, List<Story> notReached) {
        int whole = (int) windows.stream().filter(Shift.Window::whole).count();
        Map<String, Integer> byCheck = new TreeMap<>();
        Map<String, Integer> uncovered = new LinkedHashMap<>();
        for (Uncovered set : Uncovered.values()) {
            uncovered.put(set.word(), 0);
        }
        List<Shift.Window> failedOnes = new ArrayList<>();
        int peopleFailed = 0;
        Map<String, Integer> peopleFailedBy = new TreeMap<>();
        for (Shift.Window window : windows) {
            boolean fails = false;
            Set<String> people = new TreeSet<>();
            List<Uncovered> sets = new ArrayList<>();
            for (Finding finding : window.findings()) {
                Uncovered set = Uncovered.of(finding);
                if (finding.check() == Check.PEOPLE_FAILED) {
                    people.add(NUMBER.matcher(finding.detail()).replaceAll("N"));
                } else if (set != null) {
                    sets.add(set);
                } else {
                    fails = true;
                    byCheck.merge(finding.check().words(), 1, Integer::sum);
                }
            }
            peopleFailed += people.isEmpty() ? 0 : 1;
            people.forEach(what -> peopleFailedBy.merge(what, 1, Integer::sum));
            sets.stream().distinct().forEach(set -> uncovered.merge(set.word(), 1, Integer::sum));
            if (fails) {
                failedOnes.add(window);
            }
        }
        return new Outcome(
                windows.size() - whole,
                whole,
                shifts,
                cells,
                cellsTold(),
                notReached.stream().filter(s -> s.draws().size() == 1).map(Story::cell).toList(),
                (int) notReached.stream().filter(s -> s.draws().size() > 1).count(),
                windows.stream().mapToInt(Shift.Window::notBegun).sum(),
                windows.stream().mapToInt(Shift.Window::afterBatch).sum(),
                simulatedS / 3600,
                snapshotsNs / 1e6 / Math.max(1, windows.size() - whole),
                byCheck,
                uncovered,
                peopleFailed,
                peopleFailedBy,
                failedOnes);
    }
}
