package steamleaf.app.io;

/**
 * How one chip or line has done since the start.
 *
 * @param noAnswer transfers that failed
 * @param notBelieved answers that were garbled, misconfigured, faulty or not following
 * @param last what it was the last time, empty if never
 */
public record ChipCounts(String chip, long noAnswer, long notBelieved, String last) {}
