package steamleaf.bench.study;

import java.util.Arrays;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * What the filter gets to see besides the air's temperature, the room and the bench scale: exactly
 * what the name says. {@code scale} has no humidity sensor.
 */
public enum Sensors {
    HUMIDITY("humidity", true, false, false),
    SCALE("scale", false, true, false),
    HUMIDITY_SAMPLE("humidity+sample", true, false, true),
    SCALE_SAMPLE("scale+sample", false, true, true),
    /** The oven of the stock line. */
    HUMIDITY_SCALE("humidity+scale", true, true, false),
    HUMIDITY_SCALE_SAMPLE("humidity+scale+sample", true, true, true);

    private final String word;
    private final boolean humidity;
    private final boolean scale;
    private final boolean sample;

    Sensors(String word, boolean humidity, boolean scale, boolean sample) {
        this.word = word;
        this.humidity = humidity;
        this.scale = scale;
        this.sample = sample;
    }

    public String word() {
        return word;
    }

    public boolean humidity() {
        return humidity;
    }

    public boolean scale() {
        return scale;
    }

    /** The same and a hand sample. */
    Sensors withSample() {
        return switch (this) {
            case HUMIDITY, HUMIDITY_SAMPLE -> HUMIDITY_SAMPLE;
            case SCALE, SCALE_SAMPLE -> SCALE_SAMPLE;
            case HUMIDITY_SCALE, HUMIDITY_SCALE_SAMPLE -> HUMIDITY_SCALE_SAMPLE;
        };
    }

    /** One hand sample in the last drying. */
    public boolean sample() {
        return sample;
    }

    public static @Nullable Sensors of(String word) {
        return Arrays.stream(values()).filter(s -> s.word.equals(word)).findFirst().orElse(null);
    }

    public static String words() {
        return Arrays.stream(values()).map(Sensors::word).collect(Collectors.joining(", "));
    }
}
