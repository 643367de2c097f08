package steamleaf.core.interlock;

import java.util.List;

/**
 * What the loops and the batch would like to drive. A wish only: nothing reaches a pin before the
 * guard has made {@link AllowedOutputs} of it.
 *
 * @param beltSpeed 0 to 1 of full speed
 * @param ovens one per oven, oven 1 first
 */
public record WantedOutputs(
        boolean contactor,
        boolean steamValve,
        boolean secondSteamValve,
        boolean beltRun,
        double beltSpeed,
        boolean extractor,
        boolean hoodUnlock,
        List<OvenOutputs> ovens) {

    public static WantedOutputs off(int ovens) {
        return new WantedOutputs(
                false,
                false,
                false,
                false,
                0.0,
                false,
                false,
                java.util.Collections.nCopies(ovens, OvenOutputs.OFF));
    }
}
