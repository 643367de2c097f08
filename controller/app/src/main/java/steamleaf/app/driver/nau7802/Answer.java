package steamleaf.app.driver.nau7802;

/** What one read of the chip came to. */
public sealed interface Answer {

    /**
     * A new conversion.
     *
     * @param code 24-bit two's complement result
     */
    record Sample(int code) implements Answer {

        /**
         * Bridge output over its excitation, mV/V: code / 2^23 / gain · 1000, reference =
         * excitation.
         */
        public double millivoltsPerVolt() {
            return code * (1000.0 / (8_388_608.0 * Nau7802.GAIN));
        }
    }

    /**
     * The converter is at the end of its range: bridge broken, overloaded, or wired backwards.
     *
     * @param code 24-bit two's complement result
     */
    record Saturated(int code) implements Answer {}

    /** No conversion since the last read. */
    record NotReady() implements Answer {}

    /**
     * Still on the way through power-up; each read takes one step.
     *
     * @param phase where it stands
     */
    record Starting(Nau7802.Phase phase) implements Answer {}

    /**
     * Registers were not what was written, as after a dip of the supply, or calibration failed; the
     * power-up sequence starts again.
     *
     * @param puCtrl register 00h as found
     */
    record Misconfigured(int puCtrl) implements Answer {}

    /**
     * The bus gave nothing usable.
     *
     * @param why what the bus said
     */
    record NoAnswer(String why) implements Answer {}
}
