package steamleaf.app.io;

import java.util.function.Consumer;

/**
 * How often one chip did not answer well, and when to ask it again.
 *
 * <p>A chip that failed to answer three times in a row is left to rest between tries: a bus that
 * hangs until the kernel gives up must not eat every cycle. Its readings stay bad meanwhile. Chips
 * asked every cycle rest for ten, each in other cycles than its neighbours; chips that take turns
 * rest for three turns.
 */
final class ChipHealth {
    private static final int PATIENCE = 3;
    static final int REST_CYCLES = 10;
    static final int REST_TURNS = 3;

    private final String chip;
    private final int offset;
    private final int rest;
    private final Consumer<String> tell;
    private long noAnswer;
    private long notBelieved;
    private int silences;
    private boolean well = true;
    private String last = "";

    /**
     * @param offset position among the chips, so that resting chips are asked in different cycles
     * @param rest every how many cycles or turns a resting chip is asked
     * @param tell hears one line when the chip turns bad and one when it is well again
     */
    ChipHealth(String chip, int offset, int rest, Consumer<String> tell) {
        this.chip = chip;
        this.offset = offset;
        this.rest = rest;
        this.tell = tell;
    }

    /** Whether to ask it in this cycle, or in this turn if it takes turns. */
    boolean mayAsk(long cycleOrTurn) {
        return silences < PATIENCE || Math.floorMod(cycleOrTurn + offset, rest) == 0;
    }

    /** It answers again, though not yet to be believed. */
    void answered() {
        silences = 0;
    }

    void answeredWell() {
        silences = 0;
        if (!well) {
            well = true;
            tell.accept(chip + ": well again");
        }
    }

    /** It answered well when it was last asked, or was not asked yet. */
    boolean isWell() {
        return well;
    }

    void silent(String why) {
        noAnswer++;
        silences++;
        bad(why);
    }

    void notBelieved(String why) {
        notBelieved++;
        silences = 0;
        bad(why);
    }

    private void bad(String why) {
        last = why;
        if (well) {
            well = false;
            tell.accept(chip + ": " + why);
        }
    }

    ChipCounts counts() {
        return new ChipCounts(chip, noAnswer, notBelieved, last);
    }
}
