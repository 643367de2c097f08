package steamleaf.core.batch;

/** The last number given out of each kind. */
public record Numbers(long lot, long batch, long prompt, long sample, long packed) {
    public static final Numbers NONE = new Numbers(0, 0, 0, 0, 0);

    Numbers nextLot() {
        return new Numbers(lot + 1, batch, prompt, sample, packed);
    }

    Numbers nextBatch() {
        return new Numbers(lot, batch + 1, prompt, sample, packed);
    }

    Numbers nextPrompt() {
        return new Numbers(lot, batch, prompt + 1, sample, packed);
    }

    Numbers nextSample() {
        return new Numbers(lot, batch, prompt, sample + 1, packed);
    }

    Numbers nextPacked() {
        return new Numbers(lot, batch, prompt, sample, packed + 1);
    }
}
