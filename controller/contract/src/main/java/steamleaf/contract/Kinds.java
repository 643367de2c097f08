package steamleaf.contract;

/** The kinds of journal records, each with its body in {@link Bodies}. */
public final class Kinds {
    private Kinds() {}

    /** {@link Bodies.Second} */
    public static final String SECOND = "second";

    /** {@link Bodies.Changed} */
    public static final String CHANGED = "changed";

    /** {@link Bodies.Guard} */
    public static final String GUARD = "guard";

    /** {@link Bodies.Alarm} */
    public static final String ALARM = "alarm";

    /** {@link Bodies.Commanded} */
    public static final String COMMAND = "command";

    /** {@link Bodies.Prompted} */
    public static final String PROMPT = "prompt";

    /** {@link Bodies.Sample} */
    public static final String SAMPLE = "sample";

    /** {@link Bodies.Lot} */
    public static final String LOT = "lot";

    /** {@link RecipeDescription} */
    public static final String RECIPE = "recipe";

    /** {@link Bodies.Learned} */
    public static final String LEARNED = "learned";

    /** {@link Bodies.Started} */
    public static final String STARTED = "started";

    /** {@link Bodies.Clock} */
    public static final String CLOCK = "clock";

    /** {@link Bodies.Lost} */
    public static final String LOST = "lost";
}
