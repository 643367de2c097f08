package steamleaf.core.alarm;

import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** The alarm table. (Rows follow.) */
public enum AlarmKind {
    EMERGENCY_STOP,
    /** Leaf is getting old. */
    FRESHNESS_WARNING,
    FRESHNESS_LIMIT,
    NOBODY_ANSWERED,
    MOISTURE_UNSURE,
    TARGET_OUT_OF_REACH,
    LEAF_TOO_WARM,
    HELD_TOO_LONG;

    private final String key = name().toLowerCase(Locale.ROOT).replace('_', '-');

    /** The alarm of a guard's reason, null when that reason rings no alarm (permit key off). */
    public static @Nullable AlarmKind of(String reasonKey) {
        for (AlarmKind kind : values()) {
            if (kind.key.equals(reasonKey)) {
                return kind;
            }
        }
        return null;
    }

    /** Key of the sentences in the contract's table of texts. */
    public String key() {
        return key;
    }
}
