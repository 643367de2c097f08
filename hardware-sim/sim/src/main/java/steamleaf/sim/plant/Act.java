package steamleaf.sim.plant;

/** What came of something a person did at the line. */
public sealed interface Act {
    /** Done; {@code charge} is the charge it was done to, 0 if none. */
    record Done(int charge) implements Act {}

    /** Done, and a number was read. */
    record Measured(int charge, double value) implements Act {}

    /**
     * A hand sample: what the leaf at the places taken really was, and what the method made of it;
     * wet basis, 0 to 1.
     */
    record Sampled(int charge, double trueWb, double readingWb) implements Act {}

    /** Physically impossible. */
    record Refused(String why) implements Act {}

    /** The charge it was done to; a program that did not expect a refusal fails here. */
    default int charge() {
        return switch (this) {
            case Done(int charge) -> charge;
            case Measured(int charge, double _) -> charge;
            case Sampled(int charge, double _, double _) -> charge;
            case Refused(String why) -> throw new IllegalStateException(why);
        };
    }

    /** The number read, for measurements. */
    default double value() {
        return switch (this) {
            case Measured(int _, double value) -> value;
            case Sampled(int _, double _, double reading) -> reading;
            case Done _ -> throw new IllegalStateException("nothing was measured");
            case Refused(String why) -> throw new IllegalStateException(why);
        };
    }

    default boolean done() {
        return !(this instanceof Refused);
    }
}
