package steamleaf.core;

import java.util.Arrays;

/** What two states have in common that count as one: some small numbers, packed exactly. */
public final class StateKey {
    private final long[] words;

    private StateKey(long[] words) {
        this.words = words;
    }

    /** Collects the numbers, each with its width. */
    public static final class Packer {
        private long[] words = new long[8];
        private int used;

        public Packer add(boolean bit) {
            return add(bit ? 1 : 0, 1);
        }

        /** {@code value} is at least 0 and fits into so many bits. */
        public Packer add(long value, int bits) {
            if (value < 0 || value >> bits != 0) {
                throw new IllegalArgumentException(value + " does not fit into " + bits + " bits");
            }
            if ((used & 63) + bits > 64) {
                used = (used | 63) + 1;
            }
            if (used >> 6 == words.length) {
                words = Arrays.copyOf(words, 2 * words.length);
            }
            words[used >> 6] |= value << (used & 63);
            used += bits;
            return this;
        }

        public StateKey key() {
            return new StateKey(Arrays.copyOf(words, (used + 63) >> 6));
        }
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof StateKey key && Arrays.equals(words, key.words);
    }

    @Override
    public int hashCode() {
        long mixed = 0;
        for (long word : words) {
            mixed = (mixed ^ word) * 0x9E3779B97F4A7C15L;
            mixed ^= mixed >>> 29;
        }
        return Long.hashCode(mixed);
    }
}
