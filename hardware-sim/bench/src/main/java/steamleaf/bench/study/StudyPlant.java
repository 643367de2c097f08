package steamleaf.bench.study;

import steamleaf.core.estimate.OvenAir;

/** One charge in one oven, with everything a person does to it: truth and sensors. */
interface StudyPlant {
    /** Leaf lies in the warm oven, door shut. Answers with what the bench scale said of it, kg. */
    double load(double airC, double damper);

    /**
     * One second in the oven; what all sensors say after it.
     *
     * @param airC wanted, NaN for the heater off
     */
    OvenAir second(double airC, double damper, boolean doorOpen);

    /** Trays turned and swapped; the door is open. */
    void turn();

    /** Leaf is taken out, the door is open; work on it begins, for so long as planned. */
    void takeOut(Work work, double forS);

    /** Some seconds on the bench with that work, at most 5; the room as measured. */
    OvenAir bench(double elapsedS, double ovenC, double damper);

    /** The work is over after so long; the leaf's mass on the bench scale. */
    double workedAndWeighed(Work work, double forS);

    /** Back on the trays; the door is open. */
    void putBack();

    /**
     * Value of a hand sample taken now, wet basis; the leaf lies outside or the door is open.
     *
     * @param sd of the value against the charge's mean, places and method together
     */
    double sample(double sd);

    /** Mean of the charge, wet basis. */
    double moisture();
}
