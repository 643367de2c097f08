package steamleaf.sim.plant;

/**
 * Seeded random numbers whose state can be copied, so that a plant can be copied in mid-batch.
 *
 * <p>xoshiro256++ seeded by SplitMix64. Source (not checked): Blackman &amp; Vigna, Scrambled
 * linear pseudorandom number generators, ACM Trans. Math. Softw. 47 (2021), and Steele, Lea &amp;
 * Flood, OOPSLA 2014, both from memory.
 */
final class Noise {
    private long a;
    private long b;
    private long c;
    private long d;

    Noise(long seed, String stream) {
        long z = seed ^ (0x9E3779B97F4A7C15L * stream.hashCode());
        a = mix(z += 0x9E3779B97F4A7C15L);
        b = mix(z += 0x9E3779B97F4A7C15L);
        c = mix(z += 0x9E3779B97F4A7C15L);
        d = mix(z + 0x9E3779B97F4A7C15L);
    }

    Noise(Noise other) {
        a = other.a;
        b = other.b;
        c = other.c;
        d = other.d;
    }

    private static long mix(long x) {
        long z = (x ^ (x >>> 30)) * 0xBF58476D1CE4E5B9L;
        z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
        return z ^ (z >>> 31);
    }

    long next() {
        long result = Long.rotateLeft(a + d, 23) + a;
        long t = b << 17;
        c ^= a;
        d ^= b;
        b ^= c;
        a ^= d;
        c ^= t;
        d = Long.rotateLeft(d, 45);
        return result;
    }

    /** Uniform in [0, 1). */
    double uniform() {
        return (next() >>> 11) * 0x1.0p-53;
    }

    int below(int bound) {
        return (int) (uniform() * bound);
    }

    /**
     * Nearly normal, mean 0, standard deviation 1, never beyond 3.47: the sum of four uniform
     * 16-bit numbers (Irwin–Hall), variance 4·(2^32 − 1)/12. Cheap, because every sensor wants one
     * in every step.
     */
    double bell() {
        long bits = next();
        long sum =
                (bits & 0xFFFF) + (bits >>> 16 & 0xFFFF) + (bits >>> 32 & 0xFFFF) + (bits >>> 48);
        return (sum - 131_070.0) * BELL_SCALE;
    }

    /** Normal, for the few numbers that are drawn once; cut at two and a half deviations. */
    double normal() {
        while (true) {
            double u = 2 * uniform() - 1;
            double v = 2 * uniform() - 1;
            double s = u * u + v * v;
            if (s < 1 && s > 0) {
                double z = u * Math.sqrt(-2 * Math.log(s) / s);
                if (Math.abs(z) <= 2.5) {
                    return z;
                }
            }
        }
    }

    private static final double BELL_SCALE = 1 / Math.sqrt(4 * (4_294_967_296.0 - 1) / 12);
}
