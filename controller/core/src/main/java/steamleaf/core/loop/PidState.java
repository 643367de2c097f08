package steamleaf.core.loop;

/**
 * What a PID loop carries from step to step.
 *
 * @param output the limited output, in force until the next step
 * @param integral integral part, in units of the output
 * @param derivative filtered derivative part, in units of the output
 * @param differentiated c·setpoint − measurement of the previous step; NaN before the first good
 *     one
 */
public record PidState(double output, double integral, double derivative, double differentiated) {

    /** At rest with this output, nothing remembered. */
    public static PidState at(double output) {
        return new PidState(output, output, 0.0, Double.NaN);
    }
}
