package steamleaf.core.interlock;

/**
 * Horn and lamps (IEC 60073: red danger, yellow abnormal, green normal, blue somebody must act).
 * Never withheld.
 */
public record Annunciation(
        boolean horn, boolean lampRed, boolean lampYellow, boolean lampGreen, boolean lampBlue) {
    public static final Annunciation DARK = new Annunciation(false, false, false, false, false);
}
