package steamleaf.sim.chip;

/**
 * Maxim MAX31865 resistance-to-digital converter.
 *
 * <p>Source: Maxim 19-6478 rev 3 (7/2015): table 1 (addresses: 0Xh read, 8Xh write), configuration
 * bits p. 12 to 14, tables 4 and 5 (data format), threshold and fault registers p. 15, fault
 * decoding p. 20. Conversion and fault-cycle times from its electrical characteristics (not
 * checked).
 *
 * <p>Not modelled: the analogue filter's settling beyond the 1 ms below, cable faults other than an
 * open or shorted element, DRDY timing inside a transfer.
 */
public final class Max31865 {
    public static final int CONFIG = 0x00;
    public static final int RTD_MSB = 0x01;
    public static final int FAULT_STATUS = 0x07;

    public static final int VBIAS = 0x80;
    public static final int AUTO = 0x40;
    public static final int ONE_SHOT = 0x20;
    public static final int THREE_WIRE = 0x10;
    public static final int FAULT_CYCLE = 0x0C;
    public static final int FAULT_CLEAR = 0x02;
    public static final int FILTER_50_HZ = 0x01;

    /** Fault status bits, tables 10 to 12. */
    public static final int RTD_HIGH = 0x80;

    public static final int RTD_LOW = 0x40;
    public static final int REFIN_HIGH = 0x20;

    private static final int FULL_SCALE_CODE = 0x7FFF;

    /** Maximum of the datasheet, so that a driver that waits too little sees it. */
    private static final double ONE_SHOT_50_HZ_S = 0.066;

    private static final double ONE_SHOT_60_HZ_S = 0.055;
    private static final double AUTO_50_HZ_S = 0.020;
    private static final double AUTO_60_HZ_S = 1.0 / 60;
    private static final double AUTOMATIC_FAULT_CYCLE_S = 0.0006;

    /**
     * p. 12: 10.5 time constants of the input network and 1 ms more before a one-shot; the
     * network's part is neglected.
     */
    private static final double BIAS_SETTLING_S = 0.001;

    private final double referenceOhm;
    private final int wires;
    private final double leadOhm;

    private double elementOhm;
    private int config;
    private int code;
    private int highThreshold;
    private int lowThreshold;
    private int faults;
    private boolean dataReady;
    private boolean converting;
    private boolean convertsBiased;
    private double conversionLeftS;
    private double faultCycleLeftS;
    private double biasedForS;

    /**
     * @param wires 2, 3 or 4: how the element is really connected, whatever the configuration
     *     register says
     * @param leadOhm resistance of one lead
     */
    public Max31865(double referenceOhm, int wires, double leadOhm) {
        this.referenceOhm = referenceOhm;
        this.wires = wires;
        this.leadOhm = leadOhm;
        powerUp();
    }

    public void powerUp() {
        config = 0;
        code = 0;
        highThreshold = 0xFFFF;
        lowThreshold = 0x0000;
        faults = 0;
        dataReady = false;
        converting = false;
        conversionLeftS = 0;
        faultCycleLeftS = 0;
        biasedForS = 0;
    }

    /** What the element shows now: infinite when open, 0 when shorted. */
    public void sense(double elementOhm) {
        this.elementOhm = elementOhm;
    }

    /** Level of the DRDY pin, low active: true while a result has not been read. */
    public boolean dataReady() {
        return dataReady;
    }

    /** One chip-select frame: address byte, then data bytes with the address counting up. */
    public void transfer(byte[] mosi, int mosiOffset, byte[] miso, int misoOffset, int length) {
        if (length == 0) {
            return;
        }
        int address = mosi[mosiOffset] & 0xFF;
        boolean write = (address & 0x80) != 0;
        int register = address & 0x7F;
        miso[misoOffset] = 0;
        int configWritten = -1;
        for (int i = 1; i < length; i++) {
            int in =
                    mosi[mosiOffset + i]
                            & 0xFF; // read before the reply: both buffers may be the same
            if (!write) {
                miso[misoOffset + i] = (byte) readRegister(register);
            } else {
                miso[misoOffset + i] = 0;
                if (register == CONFIG) {
                    configWritten = in;
                } else {
                    writeThreshold(register, in);
                }
            }
            register = (register + 1) & 0x7F;
        }
        if (configWritten >= 0) {
            configure(configWritten); // p. 12: conversions start when CS goes high
        }
    }

    private int readRegister(int register) {
        return switch (register) {
            case 0x00 -> config;
            case 0x01 -> {
                dataReady = false;
                yield code >> 7;
            }
            case 0x02 -> {
                dataReady = false;
                yield (code << 1 & 0xFE) | (faults != 0 ? 1 : 0);
            }
            case 0x03 -> highThreshold >> 8;
            case 0x04 -> highThreshold & 0xFF;
            case 0x05 -> lowThreshold >> 8;
            case 0x06 -> lowThreshold & 0xFF;
            case 0x07 -> faults;
            default -> 0xFF; // beyond table 1: engineering choice
        };
    }

    private void writeThreshold(int register, int value) {
        switch (register) {
            case 0x03 -> highThreshold = (highThreshold & 0x00FF) | value << 8;
            case 0x04 -> highThreshold = (highThreshold & 0xFF00) | value;
            case 0x05 -> lowThreshold = (lowThreshold & 0x00FF) | value << 8;
            case 0x06 -> lowThreshold = (lowThreshold & 0xFF00) | value;
            default -> {} // data and fault status are read-only
        }
    }

    private void configure(int value) {
        boolean wasAuto = (config & AUTO) != 0;
        int cycle = value & FAULT_CYCLE;
        boolean clearsFaults = (value & FAULT_CLEAR) != 0 && (value & ONE_SHOT) == 0 && cycle == 0;
        if (clearsFaults) {
            faults = 0;
        }
        int filter =
                wasAuto
                        ? config & FILTER_50_HZ
                        : value & FILTER_50_HZ; // not to be changed in automatic mode
        config =
                (value & (VBIAS | AUTO | THREE_WIRE | FAULT_CYCLE))
                        | filter; // one-shot and clear are self-clearing
        boolean auto = (config & AUTO) != 0;
        if (!biased()) {
            biasedForS = 0;
        }
        if (auto && !wasAuto) {
            start(period());
        } else if (!auto && wasAuto) {
            converting = false;
        }
        if (!auto && (value & ONE_SHOT) != 0) {
            start((config & FILTER_50_HZ) != 0 ? ONE_SHOT_50_HZ_S : ONE_SHOT_60_HZ_S);
        }
        beginFaultCycle(cycle >> 2);
    }

    private void start(double durationS) {
        converting = true;
        convertsBiased = (config & AUTO) != 0 || biasedForS >= BIAS_SETTLING_S;
        conversionLeftS = durationS;
    }

    /** p. 12: in automatic mode the bias stays on by itself. */
    private boolean biased() {
        return (config & (VBIAS | AUTO)) != 0;
    }

    private double period() {
        return (config & FILTER_50_HZ) != 0 ? AUTO_50_HZ_S : AUTO_60_HZ_S;
    }

    /** 1: automatic delay; 2: first half by hand, waits for 3; 3: second half by hand. */
    private void beginFaultCycle(int cycle) {
        faultCycleLeftS = cycle == 1 || cycle == 3 ? AUTOMATIC_FAULT_CYCLE_S : 0;
    }

    public void advance(double elapsedS) {
        if (biased()) {
            biasedForS += elapsedS;
        }
        if (faultCycleLeftS > 0) {
            faultCycleLeftS -= elapsedS;
            if (faultCycleLeftS <= 0) {
                endFaultCycle();
            }
        }
        if (!converting) {
            return;
        }
        conversionLeftS -= elapsedS;
        if (conversionLeftS > 1e-9) {
            return;
        }
        complete();
        if ((config & AUTO) != 0) {
            double periodS = period();
            // the conversions between gave the same value
            conversionLeftS = Periodic.next(conversionLeftS, periodS);
            convertsBiased = true;
        } else {
            converting = false;
        }
    }

    /**
     * p. 20: an open element shows as V(REFIN−) &gt; 0.85·V(BIAS): no current, no drop over the
     * reference.
     */
    private void endFaultCycle() {
        faultCycleLeftS = 0;
        config &= ~FAULT_CYCLE;
        boolean noCurrent =
                elementOhm / (elementOhm + referenceOhm) > 0.85 || Double.isInfinite(elementOhm);
        if (biased() && noCurrent) {
            faults |= REFIN_HIGH;
        }
    }

    /**
     * Table 5: code/2^15 = R/Rref. Thresholds are compared at the end of every conversion, p. 15.
     */
    private void complete() {
        double ratio = convertsBiased ? seenOhm() / referenceOhm : 0;
        code = (int) Math.min(FULL_SCALE_CODE, Math.max(0, Math.rint(ratio * (1 << 15))));
        dataReady = true;
        if (code >= highThreshold >> 1) {
            faults |= RTD_HIGH;
        }
        if (code <= lowThreshold >> 1) {
            faults |= RTD_LOW;
        }
    }

    /**
     * Lead resistance left in the measurement: none with four wires, both leads with two, and with
     * three only when the configuration does not ask for three (engineering choice: one lead).
     */
    private double seenOhm() {
        return switch (wires) {
            case 2 -> elementOhm + 2 * leadOhm;
            case 3 -> (config & THREE_WIRE) != 0 ? elementOhm : elementOhm + leadOhm;
            default -> elementOhm;
        };
    }
}
