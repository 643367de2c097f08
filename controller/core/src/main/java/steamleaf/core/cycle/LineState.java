package steamleaf.core.cycle;

import steamleaf.core.batch.Floor;

/**
 * All that one cycle hands to the next.
 *
 * @param nowS the line's time axis: sums elapsed seconds, goes on over a restart
 */
public record LineState(long cycle, double nowS, Floor floor) {}
