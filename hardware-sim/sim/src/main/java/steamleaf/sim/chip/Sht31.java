package steamleaf.sim.chip;

/**
 * Sensirion SHT31 humidity and temperature sensor.
 *
 * <p>Source: SHT3x-DIS v5 (May 2018): tables 9 to 19 (commands, status register), section 4.4 (a
 * read header before the measurement has ended is not acknowledged), 4.6 (fetch clears the memory),
 * 4.13 (conversion). Measuring times are the maxima of its table 4, reset time of table 4 (both not
 * checked).
 *
 * <p>Not modelled: clock stretching (its commands are refused, as an invalid command is), alert
 * limits, general call.
 */
public final class Sht31 implements I2cChip {
    private static final double LOW_S = 0.0045;
    private static final double MEDIUM_S = 0.0065;
    private static final double HIGH_S = 0.0155;
    private static final double RESET_S = 0.0015;

    private static final int STATUS_ALERT = 0x8000;
    private static final int STATUS_HEATER = 0x2000;
    private static final int STATUS_CLEARABLE = 0x8000 | 0x0800 | 0x0400 | 0x0010;
    private static final int STATUS_RESET_SEEN = 0x0010;
    private static final int STATUS_BAD_COMMAND = 0x0002;

    /** Warming by the heater in still air: a few degrees (not checked); engineering choice. */
    private static final double HEATER_RISE_K = 3.0;

    private double temperatureC;
    private double relativeHumidity;

    private int status;
    private double busyS;
    private boolean measuring;
    private boolean resetting;
    private double periodS;
    private double nextS;
    private boolean hasData;
    private boolean fetching;
    private boolean statusAsked;
    private final byte[] data = new byte[6];
    private final byte[] statusWord = new byte[3];

    public Sht31() {
        powerUp();
    }

    @Override
    public void powerUp() {
        status = STATUS_ALERT | STATUS_RESET_SEEN;
        busyS = 0;
        measuring = false;
        resetting = false;
        periodS = 0;
        hasData = false;
        fetching = false;
        statusAsked = false;
    }

    /** What surrounds the sensor now; humidity 0 to 1. */
    public void sense(double temperatureC, double relativeHumidity) {
        this.temperatureC = temperatureC;
        this.relativeHumidity = relativeHumidity;
    }

    @Override
    public boolean write(byte[] bytes, int offset, int length) {
        if (resetting || measuring) {
            return false;
        }
        if (length == 0) {
            return true;
        }
        if (length != 2) {
            status |= STATUS_BAD_COMMAND;
            return length < 2; // a half command is acknowledged and forgotten; alert limits are not
            // modelled
        }
        int command = (bytes[offset] & 0xFF) << 8 | (bytes[offset + 1] & 0xFF);
        statusAsked = false;
        fetching = false;
        boolean known = execute(command);
        status = known ? status & ~STATUS_BAD_COMMAND : status | STATUS_BAD_COMMAND;
        return known;
    }

    private boolean execute(int command) {
        switch (command) {
            case 0x2400 -> measureOnce(HIGH_S);
            case 0x240B -> measureOnce(MEDIUM_S);
            case 0x2416 -> measureOnce(LOW_S);
            case 0x2032, 0x2024, 0x202F -> measureEvery(2.0);
            case 0x2130, 0x2126, 0x212D -> measureEvery(1.0);
            case 0x2236, 0x2220, 0x222B -> measureEvery(0.5);
            case 0x2334, 0x2322, 0x2329, 0x2B32 -> measureEvery(0.25);
            case 0x2737, 0x2721, 0x272A -> measureEvery(0.1);
            case 0xE000 -> fetching = periodS > 0;
            case 0x3093 -> {
                periodS = 0;
                hasData = false;
            }
            case 0x306D -> status |= STATUS_HEATER;
            case 0x3066 -> status &= ~STATUS_HEATER;
            case 0x3041 -> status &= ~STATUS_CLEARABLE;
            case 0xF32D -> statusAsked = true;
            case 0x30A2 -> {
                powerUp();
                resetting = true;
                busyS = RESET_S;
            }
            default -> {
                return false;
            }
        }
        return true;
    }

    private void measureOnce(double durationS) {
        periodS = 0;
        hasData = false;
        measuring = true;
        busyS = durationS;
    }

    private void measureEvery(double periodS) {
        this.periodS = periodS;
        nextS = HIGH_S;
        hasData = false;
    }

    @Override
    public boolean read(byte[] into, int offset, int length) {
        if (resetting || measuring) {
            return false;
        }
        if (statusAsked) {
            statusAsked = false;
            statusWord[0] = (byte) (status >> 8);
            statusWord[1] = (byte) status;
            statusWord[2] = Crc8.of(statusWord, 0);
            deliver(statusWord, into, offset, length);
            return true;
        }
        boolean allowed = hasData && (periodS == 0 || fetching);
        fetching = false;
        if (!allowed) {
            return false;
        }
        hasData = false;
        deliver(data, into, offset, length);
        return true;
    }

    private static void deliver(byte[] from, byte[] into, int offset, int length) {
        int n = Math.min(length, from.length);
        System.arraycopy(from, 0, into, offset, n);
        for (int i = n; i < length; i++) {
            into[offset + i] = (byte) 0xFF; // nobody drives the line any more
        }
    }

    @Override
    public void advance(double elapsedS) {
        if (measuring || resetting) {
            busyS -= elapsedS;
            if (busyS <= 1e-9) {
                resetting = false;
                if (measuring) {
                    measuring = false;
                    convert();
                }
            }
        }
        if (periodS > 0) {
            nextS -= elapsedS;
            if (nextS <= 1e-9) {
                nextS = Periodic.next(nextS, periodS);
                convert();
            }
        }
    }

    /** T = −45 + 175·S/(2^16 − 1) and RH = 100 %·S/(2^16 − 1), section 4.13, turned round. */
    private void convert() {
        double t = temperatureC;
        double rh = relativeHumidity;
        if ((status & STATUS_HEATER) != 0) {
            t += HEATER_RISE_K;
            rh *= saturationHPa(temperatureC) / saturationHPa(t);
        }
        word(0, (t + 45) * (65535.0 / 175));
        word(3, rh * 65535.0);
        hasData = true;
    }

    private void word(int at, double value) {
        int raw = (int) Math.min(65535, Math.max(0, Math.rint(value)));
        data[at] = (byte) (raw >> 8);
        data[at + 1] = (byte) raw;
        data[at + 2] = Crc8.of(data, at);
    }

    /**
     * Magnus form over water, −45 to 60 °C, better than 1 % to 100 °C. Source (not checked):
     * Sonntag 1990.
     */
    private static double saturationHPa(double t) {
        return 6.112 * Math.exp(17.62 * t / (243.12 + t));
    }
}
