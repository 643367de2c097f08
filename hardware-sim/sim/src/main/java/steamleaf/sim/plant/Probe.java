package steamleaf.sim.plant;

/** A sensing element: first-order lag, its own offset, noise per reading. */
final class Probe {
    private final double lagS;
    private final double offset;
    private final double noiseSd;
    private double state = Double.NaN;
    private double lastElapsedS = Double.NaN;
    private double share;

    Probe(double bias, double biasSd, double noiseSd, double lagS, Noise drawn) {
        this.lagS = lagS;
        this.noiseSd = noiseSd;
        offset = bias + biasSd * drawn.normal();
    }

    Probe(Probe other) {
        lagS = other.lagS;
        offset = other.offset;
        noiseSd = other.noiseSd;
        state = other.state;
        lastElapsedS = other.lastElapsedS;
        share = other.share;
    }

    static Probe of(PlantSettings.Element element, Noise drawn) {
        return new Probe(
                element.bias(), element.biasSd(), element.noiseSd(), element.lagS(), drawn);
    }

    double read(double truth, double elapsedS, double drift, Noise noise) {
        if (elapsedS != lastElapsedS) {
            lastElapsedS = elapsedS;
            share = lagS <= 0 ? 1 : -Math.expm1(-elapsedS / lagS);
        }
        if (Double.isNaN(state)) {
            state = truth;
        }
        state += share * (truth - state);
        return state + offset + drift + noiseSd * noise.bell();
    }

    double offset() {
        return offset;
    }
}
