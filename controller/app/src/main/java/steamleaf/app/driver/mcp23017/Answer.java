package steamleaf.app.driver.mcp23017;

/** What one exchange with the chip came to. Only {@link Pins} may be believed. */
public sealed interface Answer {

    /**
     * Registers as written and the loop-back bit followed.
     *
     * @param levels pin levels, GPA0 in bit 0 to GPB7 in bit 15
     */
    record Pins(int levels) implements Answer {

        /** Level of one pin, 0 (GPA0) to 15 (GPB7). */
        public boolean high(int pin) {
            return ((levels >> pin) & 1) != 0;
        }
    }

    /**
     * The loop-back input did not take the level just written to its output: the chip's pins do not
     * follow its registers.
     *
     * @param levels pin levels as found
     */
    record NotFollowing(int levels) implements Answer {}

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
