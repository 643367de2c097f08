package steamleaf.core.interlock;

import java.util.List;

/**
 * What may reach the pins in this cycle. Only this package can make one (the guard does, last in
 * every cycle), and the drive takes nothing else. All off is always allowed, so {@link #off} is
 * public.
 */
public final class AllowedOutputs {
    private final WantedOutputs outputs;
    private final boolean pulse;

    AllowedOutputs(WantedOutputs outputs, boolean pulse) {
        this.outputs = outputs;
        this.pulse = pulse;
    }

    /** Everything off, no watchdog pulse. */
    public static AllowedOutputs off(int ovens) {
        return new AllowedOutputs(WantedOutputs.off(ovens), false);
    }

    public boolean contactor() {
        return outputs.contactor();
    }

    public boolean steamValve() {
        return outputs.steamValve();
    }

    public boolean secondSteamValve() {
        return outputs.secondSteamValve();
    }

    public boolean beltRun() {
        return outputs.beltRun();
    }

    /** 0 to 1 of full speed. */
    public double beltSpeed() {
        return outputs.beltSpeed();
    }

    public boolean extractor() {
        return outputs.extractor();
    }

    public boolean hoodUnlock() {
        return outputs.hoodUnlock();
    }

    /** One per oven, oven 1 first. */
    public List<OvenOutputs> ovens() {
        return outputs.ovens();
    }

    /**
     * The guard's consent to one watchdog edge at the end of this cycle. The caller gives the edge
     * only if the whole cycle ended in time; the guard withholds consent where the contactor must
     * be seen to open.
     */
    public boolean pulse() {
        return pulse;
    }

    @Override
    public String toString() {
        return "AllowedOutputs[" + outputs + ", pulse=" + pulse + "]";
    }
}
