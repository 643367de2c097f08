package steamleaf.core.interlock;

import java.util.List;

/** The guard's answer in one cycle. */
public record GuardStep(GuardState state, AllowedOutputs outputs, List<GuardEvent> events) {}
