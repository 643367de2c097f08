package steamleaf.sim.chip;

/** The clock of something that happens over and over. */
final class Periodic {
    private Periodic() {}

    /**
     * Time left to the next event, when {@code leftS} to an earlier one has run out: about nought,
     * or negative by any number of periods.
     */
    static double next(double leftS, double periodS) {
        if (leftS > 0) {
            return periodS + leftS;
        }
        double over = -leftS / periodS;
        return (1 - (over - Math.floor(over))) * periodS; // a remainder, without the slow operator
    }
}
