package steamleaf.core.loop;

import java.util.ArrayDeque;

/** k·e^(−θs)/(τs + 1) stepped exactly for a held input; checked against the FOPDT_step rows. */
final class DelayedLag {
    private final ArrayDeque<Double> pipe = new ArrayDeque<>();
    private final double gain;
    private final double decay;
    double output;

    DelayedLag(double gain, double timeConstantS, double delayS, double stepS) {
        this.gain = gain;
        this.decay = Math.exp(-stepS / timeConstantS);
        for (long i = Math.round(delayS / stepS); i > 0; i--) {
            pipe.add(0.0);
        }
    }

    double step(double input) {
        pipe.add(input);
        double delayed = pipe.remove();
        output = decay * output + (1.0 - decay) * gain * delayed;
        return output;
    }
}
