package steamleaf.core.batch;

import steamleaf.core.reading.UnitId;

/** What the next press of the machine's button will do, until {@code untilS}. */
public record Armed(UnitId unit, ArmedAction action, String by, double untilS) {}
