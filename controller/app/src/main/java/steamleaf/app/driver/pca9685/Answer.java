package steamleaf.app.driver.pca9685;

/** What a look at the chip came to. */
public sealed interface Answer {

    /** Mode, frequency and all channels read as written. */
    record AsWritten() implements Answer {}

    /**
     * A register was not what was written, as after a dip of the supply; all have been written
     * again.
     *
     * @param register address of the first one that differs
     * @param found its content
     */
    record Misconfigured(int register, int found) implements Answer {}

    /**
     * The bus gave nothing usable.
     *
     * @param why what the bus said
     */
    record NoAnswer(String why) implements Answer {}
}
