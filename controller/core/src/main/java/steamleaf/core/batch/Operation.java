package steamleaf.core.batch;

/**
 * One operation of a recipe: its end condition, its limits, and how long it waits for a person
 * before it does what is safe for the leaf without one.
 */
public sealed interface Operation {
    OperationKind kind();

    /**
     * Fixing on the belt.
     *
     * @param dwellS time under steam for leaf of medium ripeness
     * @param leastDwellS the style's own range, kept also after adjusting for ripeness
     */
    record Steam(double dwellS, double leastDwellS, double mostDwellS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.STEAM;
        }
    }

    /** Spread and fanned on the bench below {@code belowC}, then loaded into the oven. */
    record CoolOnBench(double belowC, double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.COOL;
        }
    }

    /** In the oven, fan on and heat off, until its air is below {@code belowC}. */
    record CoolInOven(double belowC, double longestS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.COOL;
        }
    }

    /**
     * Hot air until the leaf is dry enough.
     *
     * @param airC air set-point
     * @param leafMaxC the leaf stays below this; the air gives way
     * @param endMoisture wet basis, for the charge's mean, carry-over included; in the last drying
     *     the target that {@link EndPoint} starts from
     * @param damper exhaust damper, 0 to 1
     * @param longestS ends here if the estimate never does
     * @param turn how often trays are turned and swapped
     * @param askForSample whether a hand sample may be asked for
     */
    record Dry(
            double airC,
            double leafMaxC,
            double endMoisture,
            double damper,
            double longestS,
            Turn turn,
            boolean askForSample)
            implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.DRY;
        }

        /** The same with other air. */
        public Dry with(double otherAirC, double otherDamper) {
            return new Dry(
                    otherAirC, leafMaxC, endMoisture, otherDamper, longestS, turn, askForSample);
        }

        /** The same with another limit of the leaf: to see what it costs. */
        public Dry upTo(double otherLeafMaxC) {
            return new Dry(airC, otherLeafMaxC, endMoisture, damper, longestS, turn, askForSample);
        }
    }

    /** Trays turned and swapped, top to bottom, while drying. */
    record Turn(double everyS, double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.TURN;
        }
    }

    /** Rolling by hand or machine, out of the oven, then back with a reweigh. */
    record Roll(double forS, double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.ROLL;
        }
    }

    /** Shaping, out of the oven, then back with a reweigh. */
    record Shape(double forS, double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.SHAPE;
        }
    }

    /** Resting, out of the oven, so that stem and blade even out. */
    record Rest(double forS, double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.REST;
        }
    }

    record Weigh(double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.WEIGH;
        }
    }

    record Pack(double patienceS) implements Operation {
        @Override
        public OperationKind kind() {
            return OperationKind.PACK;
        }
    }
}
