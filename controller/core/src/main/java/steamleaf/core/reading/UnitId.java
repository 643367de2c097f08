package steamleaf.core.reading;

/**
 * A part of the line that senses and drives: the line itself, the steamer or one oven.
 *
 * @param number 0 for the line and the steamer, 1 to 8 for ovens
 */
public record UnitId(UnitKind kind, int number) {
    public static final int MOST_OVENS = 8;
    public static final UnitId LINE = new UnitId(UnitKind.LINE, 0);
    public static final UnitId STEAMER = new UnitId(UnitKind.STEAMER, 0);
    private static final UnitId[] OVENS = new UnitId[MOST_OVENS + 1];

    static {
        for (int n = 1; n <= MOST_OVENS; n++) {
            OVENS[n] = new UnitId(UnitKind.OVEN, n);
        }
    }

    public UnitId {
        boolean oven = kind == UnitKind.OVEN;
        if (oven ? number < 1 || number > MOST_OVENS : number != 0) {
            throw new IllegalArgumentException(
                    kind + " " + number + ", allowed: ovens 1 to " + MOST_OVENS);
        }
    }

    /** The shared instance for oven {@code number}, 1 to 8. */
    public static UnitId oven(int number) {
        return OVENS[number];
    }

    public boolean isOven() {
        return kind == UnitKind.OVEN;
    }

    /** The name people and messages use: {@code line}, {@code steamer}, {@code oven-2}. */
    public String label() {
        return switch (kind) {
            case LINE -> "line";
            case STEAMER -> "steamer";
            case OVEN -> "oven-" + number;
        };
    }
}
