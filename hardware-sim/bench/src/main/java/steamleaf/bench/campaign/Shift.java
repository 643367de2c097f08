package steamleaf.bench.campaign;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import steamleaf.app.config.Config;

/**
 * One batch. Nothing breaks in it: at each story's moment a {@link Snapshot} is taken, the story
 * happens in the copy, and the batch goes on untouched. So every window begins in a clean batch,
 * and its own faults, as a fault file, replay it to the last bit.
 *
 * <p>A whole batch is one that its story happens in, from its beginning to its end.
 */
final class Shift {
    private static final double LONGEST_S = 16 * 3600;

    /** A window lasts so long, and longer where the line is not fit by then. */
    private static final double WINDOW_S = 20 * 60;

    private static final double OVER_S = 90;
    private static final double SETTLED_S = 30;

    /** A batch that stays so long in one stage waits for something that nobody brings. */
    private static final double STALLED_S = 4 * 3600;

    /**
     * What is run.
     *
     * @param whole the only story is that of the whole batch
     */
    record Order(String recipe, long seed, List<Story> stories, boolean whole) {
        Order {
            stories = List.copyOf(stories);
        }
    }

    /**
     * One window, over.
     *
     * @param faults those of this window as a fault file
     * @param notBegun faults that the window ended before
     * @param afterBatch faults that began when the batch was over already: they met nothing
     */
    record Window(
            Story story,
            String recipe,
            long seed,
            boolean whole,
            double beginS,
            double endS,
            String faults,
            int notBegun,
            int afterBatch,
            List<Finding> findings) {}

    /**
     * What came of it.
     *
     * @param untold stories whose moment did not come in this batch
     * @param snapshotsNs what the snapshots took together
     */
    record Result(List<Window> windows, List<Story> untold, double simulatedS, long snapshotsNs) {}

    private final Config config;
    private final Order order;
    private final List<Window> windows = new ArrayList<>();
    private final List<Story> left;
    private double simulatedS;
    private long snapshotsNs;

    private Shift(Config config, Order order) {
        this.config = config;
        this.order = order;
        left = new ArrayList<>(order.stories());
    }

    static Result run(Config config, Order order) {
        Shift shift = new Shift(config, order);
        shift.run();
        return new Result(
                List.copyOf(shift.windows),
                shift.left.stream().map(Story::earlier).toList(),
                shift.simulatedS,
                shift.snapshotsNs);
    }

    private void run() {
        try (World world = World.open(config, order.recipe(), order.seed())) {
            while (!left.isEmpty() && !isOver(world)) {
                world.cycle();
                for (Story story : due(world)) {
                    left.remove(story);
                    windows.add(window(order.whole() ? world : copy(world), story));
                }
            }
            if (!order.whole()) {
                simulatedS += world.timeS();
                withoutFaults(world.timeS(), world.watch().findings());
            }
        } catch (RuntimeException e) { // told as a failure; the other batches go on
            withoutFaults(0, List.of(brokenOff(e, 0)));
        }
    }

    private World copy(World world) {
        long beganNs = System.nanoTime();
        World copy = Snapshot.of(world);
        snapshotsNs += System.nanoTime() - beganNs;
        return copy;
    }

    private List<Story> due(World world) {
        Stage stage = world.stage();
        if (stage == null) {
            return List.of();
        }
        double inStageS = world.inStageS(stage);
        return left.stream()
                .filter(story -> story.stage() == stage && story.momentS() <= inStageS)
                .toList();
    }

    /** What is found where nothing is broken is a window of its own. */
    private void withoutFaults(double endS, List<Finding> findings) {
        if (!findings.isEmpty()) {
            Story nothing = new Story(Stage.WARMING, List.of());
            windows.add(
                    new Window(
                            nothing,
                            order.recipe(),
                            order.seed(),
                            order.whole(),
                            0,
                            endS,
                            "[]\n",
                            0,
                            0,
                            findings));
        }
    }

    private static boolean isOver(World world) {
        return world.overS() > OVER_S || world.timeS() > LONGEST_S || world.stageS() > STALLED_S;
    }

    private Window window(World world, Story story) {
        double nowS = world.timeS();
        double beginS = Math.round(nowS * 10) / 10.0;
        int before = world.watch().count();
        List<Finding> findings = new ArrayList<>();
        try {
            world.plan(story.entries(beginS));
            while (!isOver(world, story, beginS)) {
                world.cycle();
            }
        } catch (RuntimeException e) { // told as a failure; the batch goes on
            findings.add(brokenOff(e, world.timeS()));
        }
        List<Finding> all = world.watch().findings();
        findings.addAll(0, all.subList(before, all.size()));
        simulatedS += world.timeS() - (order.whole() ? 0 : nowS);
        double endS = world.timeS();
        long notBegun = story.beginningAfter(endS - beginS);
        long afterBatch =
                world.overS() > 0
                        ? story.beginningAfter(endS - world.overS() - beginS) - notBegun
                        : 0;
        return new Window(
                story,
                order.recipe(),
                order.seed(),
                order.whole(),
                beginS,
                endS,
                story.entries(beginS),
                (int) notBegun,
                (int) afterBatch,
                List.copyOf(findings));
    }

    /**
     * Over when its time is over, all has ended and the line has run again for a while, or nobody
     * can make it run; a whole batch when the batch is over too.
     */
    private boolean isOver(World world, Story story, double beginS) {
        double sinceBeginS = world.timeS() - beginS;
        double sinceEndS = sinceBeginS - story.lastS();
        boolean settled = sinceEndS > SETTLED_S && world.fitS() > SETTLED_S;
        boolean givenUp = sinceEndS > Rescue.LONGEST_S + SETTLED_S;
        boolean longEnough = order.whole() ? isOver(world) : sinceBeginS > WINDOW_S;
        return ((settled || givenUp) && longEnough)
                || world.timeS() > LONGEST_S
                || (order.whole() && world.stageS() > STALLED_S);
    }

    private static Finding brokenOff(RuntimeException why, double atS) {
        String trace =
                why
                        + " at "
                        + Arrays.stream(why.getStackTrace())
                                .limit(6)
                                .map(StackTraceElement::toString)
                                .toList();
        return new Finding(atS, Check.BROKE_OFF, "line", trace, List.of());
    }
}
