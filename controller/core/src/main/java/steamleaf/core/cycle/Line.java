package steamleaf.core.cycle;

import java.util.List;
import steamleaf.core.batch.Floor;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;

/** The whole line, one cycle at a time: state in, state out. */
public final class Line {
    private final LineSettings settings;

    public Line(LineSettings settings) {
        this.settings = settings;
    }

    /** A line that was never run: no leaf, no batch, nothing known. */
    public LineState initial() {
        return new LineState(0, 0.0, Floor.empty(settings.ovens()));
    }

    /** One cycle. */
    public CycleResult step(LineState state, CycleInput in) {
        double nowS = state.nowS() + in.elapsedS();
        LineState next = new LineState(in.cycle(), nowS, state.floor());
        return new CycleResult(
                next,
                AllowedOutputs.off(settings.ovens()),
                Annunciation.DARK,
                List.of(),
                List.of(),
                in.cycle() % 10 == 0);
    }

    /** What must survive a restart. */
    public LineSnapshot snapshot(LineState state) {
        return new LineSnapshot(state.nowS(), state.floor());
    }
}
