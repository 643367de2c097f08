package steamleaf.core.batch;

/** What a moisture fraction is a fraction of: the whole leaf (wet) or its dry matter (dry). */
public enum Basis {
    WET,
    DRY;

    /** Moisture as a fraction of the whole leaf: {@code w = X/(1 + X)}. */
    public double toWet(double fraction) {
        return switch (this) {
            case WET -> fraction;
            case DRY -> fraction / (1.0 + fraction);
        };
    }

    /** The same deviation on the wet basis: {@code dw = dX/(1 + X)²}. */
    public double deviationToWet(double fraction, double deviation) {
        return switch (this) {
            case WET -> deviation;
            case DRY -> deviation / ((1.0 + fraction) * (1.0 + fraction));
        };
    }
}
