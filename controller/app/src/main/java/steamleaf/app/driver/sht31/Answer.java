package steamleaf.app.driver.sht31;

/** What a fetch or a look at the status came to. */
public sealed interface Answer {

    /**
     * One measurement, both checksums right.
     *
     * @param temperatureCode 16-bit code as read
     * @param humidityCode 16-bit code as read
     * @param temperatureC −45 to 130 °C
     * @param relativeHumidity 0 to 1
     */
    record Sample(
            int temperatureCode, int humidityCode, double temperatureC, double relativeHumidity)
            implements Answer {}

    /**
     * Status register, checksum right.
     *
     * @param bits as table 18 of the datasheet
     */
    record Status(int bits) implements Answer {

        /** D13: the heater is on, so both values are wrong. */
        public boolean heaterOn() {
            return (bits & 0x2000) != 0;
        }

        /** D4: the chip was reset since the status was last cleared. */
        public boolean resetDetected() {
            return (bits & 0x0010) != 0;
        }
    }

    /**
     * A checksum is wrong.
     *
     * @param bytes what was received, hexadecimal
     */
    record Garbled(String bytes) implements Answer {}

    /** Nothing was started since the last fetch, so there is nothing to fetch. */
    record NotStarted() implements Answer {}

    /**
     * The bus gave nothing usable. The chip does not acknowledge the read header while no result is
     * ready, so this is also "not ready" and "measurement lost in a reset".
     *
     * @param why what the bus said
     */
    record NoAnswer(String why) implements Answer {}
}
