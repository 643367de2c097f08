package steamleaf.app.driver.max31865;

/** What one read of the chip came to. Only {@link Sample} carries a temperature. */
public sealed interface Answer {

    /**
     * A conversion that the chip and this driver both stand behind.
     *
     * @param code 15-bit conversion result as read (table 5: code / 2^15 = R / Rref)
     * @param resistanceOhm element resistance, Ω
     * @param temperatureC Pt100 temperature, °C
     */
    record Sample(int code, double resistanceOhm, double temperatureC) implements Answer {}

    /**
     * The chip flags the element or its wires, or the code lies outside the thresholds.
     *
     * @param code 15-bit conversion result as read
     * @param faultStatus register 07h as read (table 7), 0 when only the code gave it away
     */
    record Fault(int code, int faultStatus) implements Answer {

        /** Table 7, D7: element at or above the high threshold, so open or far too hot. */
        public boolean high() {
            return (faultStatus & 0x80) != 0;
        }

        /** Table 7, D6: element at or below the low threshold, so shorted or far too cold. */
        public boolean low() {
            return (faultStatus & 0x40) != 0;
        }
    }

    /**
     * Configuration or thresholds were not what was written, as after a dip of the supply; they
     * have been written again.
     *
     * @param configuration register 00h as found
     */
    record Misconfigured(int configuration) implements Answer {}

    /**
     * The bus gave nothing usable.
     *
     * @param why what the bus said
     */
    record NoAnswer(String why) implements Answer {}
}
