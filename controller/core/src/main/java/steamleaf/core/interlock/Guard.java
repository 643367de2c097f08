package steamleaf.core.interlock;

import java.util.List;

/** Has the last word in every cycle. */
public final class Guard {
    private final GuardSettings settings;

    public Guard(GuardSettings settings) {
        this.settings = settings;
    }

    public GuardStep step(GuardState state, GuardInput in) {
        return new GuardStep(state, AllowedOutputs.off(settings.ovens().size()), List.of());
    }
}
