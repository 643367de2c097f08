package steamleaf.core.batch;

import org.jspecify.annotations.Nullable;
import steamleaf.core.learn.Lesson;
import steamleaf.core.reading.UnitId;

/**
 * What the procedures see of the line in one cycle. Numbers that can't be believed are NaN, and
 * neither {@code doorOpen} nor {@code doorClosed} holds for a door that can't be believed.
 */
public interface Sight {
    long cycle();

    /** The line's time axis. */
    double nowS();

    /** True once a second. */
    boolean second();

    boolean buttonOn(Button button);

    boolean buttonOff(Button button);

    double airC(UnitId oven);

    boolean doorOpen(UnitId oven);

    boolean doorClosed(UnitId oven);

    /** The colder of the chest's two thermometers. */
    double chestC();

    /** At the measured pressure. */
    double boilingC();

    /** Decimal reductions so far of the charge on the belt. */
    double steamLogReduction();

    boolean steamFloorReached();

    /** Share of the stand-in's activity left, by a model with two populations of the enzyme. */
    double steamActivityLeft();

    /**
     * How long leaf from this room has to ride in steam of that temperature, at the measured
     * pressure, until it reaches the enzyme floor; NaN when unknown or never.
     */
    double dwellToFloorS(double steamC);

    /** The permit key is proven off. */
    boolean keyOff();

    /** What the experiment in this oven came to; null while it runs, and where none ran. */
    Tuning.@Nullable Outcome tuned(UnitId oven);

    /** What this oven's batch would teach if it ended now; null where no leaf is known. */
    @Nullable Lesson lesson(UnitId oven, String batchId);

    /** Mean moisture of the leaf, wet basis; NaN where there is none. */
    double moisture(UnitId oven);

    double moistureDeviation(UnitId oven);

    /** Moisture the mean would end at if heat went off now. */
    double moistureAfterCarryOver(UnitId oven);

    /** Where the drying that runs shall end, carry-over included; NaN when unknown. */
    double aim(UnitId oven);

    /** Why the last drying ends there; null when it does not run or nothing is known. */
    @Nullable EndPoint endPoint(UnitId oven);

    /**
     * What a hand sample would be worth, in the last drying and out of the oven; null elsewhere,
     * and unknown.
     */
    @Nullable SampleHelp sampleHelp(UnitId oven);

    /**
     * How this oven's batch ends at that time, on the line's time axis; null while it is being
     * looked for.
     */
    @Nullable FinishPlan finishPlan(UnitId oven, double wantedS);

    /** How long dried leaf is out of the oven; NaN where none is. */
    double outS(UnitId oven);

    /** What it has taken up since, a fraction of the wet basis; NaN where none is. */
    double regain(UnitId oven);

    /** Seconds until the drying that runs is expected to end; NaN when unknown. */
    double landsInS(UnitId oven);

    /**
     * When the batch in this oven is done, the leaf cooled, as foreseen now, on the line's time
     * axis; NaN when unknown. Work that runs ends as planned.
     */
    double doneS(UnitId oven);

    /** The watchdog relay waits for a press of reset at the machine. */
    boolean waitsForReset();

    /** What the guard had against this unit at the end of the last cycle. */
    Trouble trouble(UnitId unit);

    /** The name of what would have to be good before this unit may start, null if all is good. */
    @Nullable String startBlockedBy(UnitId unit);
}
