package steamleaf.app.driver.sht31;

import com.pi4j.io.i2c.I2C;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/**
 * SHT31 by single shots without clock stretching: {@link #start} in one cycle, {@link #fetch} in a
 * later one (15 ms at the most, high repeatability), so that nothing waits.
 *
 * <p>Source: Sensirion SHT3x-DIS datasheet, version 5 (May 2018): section 4.3 single shot commands,
 * 4.9 status, 4.12 checksum, 4.13 conversion. Stretching is avoided because the I2C controller of
 * older boards mishandles it.
 */
public final class Sht31 {
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
         * The bus gave nothing usable. The chip does not acknowledge the read header while no
         * result is ready, so this is also "not ready" and "measurement lost in a reset".
         *
         * @param why what the bus said
         */
        record NoAnswer(String why) implements Answer {}
    }

    // Table 9: single shot, clock stretching disabled, high repeatability (15 ms at the most).
    static final int SINGLE_SHOT_HIGH_NO_STRETCH = 0x2400;
    static final int READ_STATUS = 0xF32D; // table 17
    static final int CLEAR_STATUS = 0x3041; // table 19
    static final int SOFT_RESET = 0x30A2; // table 14

    /** Denominator of the conversions in section 4.13: 2^16 − 1. */
    private static final double FULL_SCALE = 65_535.0;

    private final I2C i2c;
    private final byte[] command = new byte[2];
    private final byte[] data = new byte[6];
    private final byte[] status = new byte[3];
    private boolean started;

    public Sht31(I2C i2c) {
        this.i2c = i2c;
    }

    /**
     * Starts one measurement.
     *
     * @return whether the chip acknowledged
     */
    public boolean start() {
        started = send(SINGLE_SHOT_HIGH_NO_STRETCH) == null;
        return started;
    }

    /**
     * Fetches the measurement started earlier: temperature and humidity in one read, each with its
     * checksum.
     */
    public Answer fetch() {
        if (!started) {
            return new Answer.NotStarted();
        }
        started = false;
        String trouble = receive(data);
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        if (crc8(data, 0) != (data[2] & 0xFF) || crc8(data, 3) != (data[5] & 0xFF)) {
            return new Answer.Garbled(HexFormat.of().formatHex(data));
        }
        int temperatureCode = ((data[0] & 0xFF) << 8) | (data[1] & 0xFF); // temperature comes first
        int humidityCode = ((data[3] & 0xFF) << 8) | (data[4] & 0xFF);
        return new Answer.Sample(
                temperatureCode,
                humidityCode,
                temperatureC(temperatureCode),
                relativeHumidity(humidityCode));
    }

    /**
     * Reads the status register. Not between start and fetch: the command would replace the
     * measurement.
     */
    public Answer status() {
        String trouble = send(READ_STATUS);
        if (trouble == null) {
            trouble = receive(status);
        }
        if (trouble != null) {
            return new Answer.NoAnswer(trouble);
        }
        if (crc8(status, 0) != (status[2] & 0xFF)) {
            return new Answer.Garbled(HexFormat.of().formatHex(status));
        }
        return new Answer.Status(((status[0] & 0xFF) << 8) | (status[1] & 0xFF));
    }

    /** Clears the status, so that a later reset shows. */
    public boolean clearStatus() {
        return send(CLEAR_STATUS) == null;
    }

    /**
     * Puts the chip back to its defaults, heater off; a running measurement is lost, and 1.5 ms
     * must pass.
     */
    public boolean softReset() {
        started = false;
        return send(SOFT_RESET) == null;
    }

    /** T = −45 + 175 · code / (2^16 − 1), °C (section 4.13). */
    static double temperatureC(int code) {
        return -45.0 + 175.0 * code / FULL_SCALE;
    }

    /** RH = code / (2^16 − 1), as a ratio (section 4.13 has percent). */
    static double relativeHumidity(int code) {
        return code / FULL_SCALE;
    }

    /**
     * Checksum of two bytes: polynomial x^8 + x^5 + x^4 + 1 (31h), start FFh, nothing reflected
     * (table 20).
     */
    static int crc8(byte[] bytes, int at) {
        int crc = CRC[0xFF ^ (bytes[at] & 0xFF)];
        return CRC[crc ^ (bytes[at + 1] & 0xFF)];
    }

    private static final int[] CRC = new int[256];

    static {
        for (int value = 0; value < CRC.length; value++) {
            int crc = value;
            for (int bit = 0; bit < 8; bit++) {
                crc = (crc & 0x80) != 0 ? ((crc << 1) ^ 0x31) & 0xFF : crc << 1;
            }
            CRC[value] = crc;
        }
    }

    private @Nullable String send(int word) {
        command[0] = (byte) (word >> 8);
        command[1] = (byte) word;
        try {
            int count = i2c.write(command, 0, 2);
            return count == 2 ? null : "I2C wrote " + count + " of 2 bytes";
        } catch (
                RuntimeException
                        failure) { // whatever a provider throws, it is the bus's failure, not ours
            return "I2C write failed: " + failure.getMessage();
        }
    }

    private @Nullable String receive(byte[] into) {
        try {
            int count = i2c.read(into, 0, into.length);
            return count == into.length
                    ? null
                    : "I2C read " + count + " of " + into.length + " bytes";
        } catch (RuntimeException failure) { // as above; also how "not acknowledged" arrives
            return "I2C read failed: " + failure.getMessage();
        }
    }
}
