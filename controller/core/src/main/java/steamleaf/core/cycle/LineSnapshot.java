package steamleaf.core.cycle;

import steamleaf.core.batch.Floor;

/** What must survive a restart: plain records all the way down. */
public record LineSnapshot(double nowS, Floor floor) {}
