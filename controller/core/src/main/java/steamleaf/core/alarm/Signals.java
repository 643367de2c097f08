package steamleaf.core.alarm;

/**
 * What horn and lamps at the machine should show for the alarms (IEC 60073: red danger, yellow
 * abnormal, green normal, blue somebody must act).
 */
public record Signals(
        boolean horn, boolean lampRed, boolean lampYellow, boolean lampGreen, boolean lampBlue) {
    public static final Signals DARK = new Signals(false, false, false, false, false);
}
