package steamleaf.sim.chip;

/**
 * Nuvoton NAU7802 24-bit converter for bridges.
 *
 * <p>Source: NAU7802 data sheet rev 1.7 p. 21 (output = gain·(measurement − offset), calibration
 * errors); register addresses and bits, power-up 200 µs, ratiometric scale as in the reference rows
 * SEN079 to SEN096. Power-on value of the gain calibration, settling of four conversions after a
 * start and the length of a calibration are not checked: engineering choice where they matter.
 *
 * <p>Not modelled: the second input's signal (reads zero), temperature sensor, crystal, one-time
 * programmable memory, stretching of the two-wire interface.
 */
public final class Nau7802 implements I2cChip {
    public static final int PU_CTRL = 0x00;
    public static final int CTRL1 = 0x01;
    public static final int CTRL2 = 0x02;
    public static final int OCAL1 = 0x03;
    public static final int GCAL1 = 0x06;
    public static final int ADCO = 0x12;
    public static final int REVISION = 0x1F;

    private static final int RR = 0x01;
    private static final int PUD = 0x02;
    private static final int PUA = 0x04;
    private static final int PUR = 0x08;
    private static final int CS = 0x10;
    private static final int CR = 0x20;
    private static final int CALS = 0x04;
    private static final int CAL_ERR = 0x08;
    private static final int CHS = 0x80;

    private static final double READY_S = 200e-6;
    private static final int SETTLING_CONVERSIONS = 4;
    private static final int CALIBRATION_CONVERSIONS = 6;
    private static final int MAX = 0x7FFFFF;
    private static final int MIN = -0x800000;

    private final int intrinsicOffset;
    private final byte[] registers = new byte[0x20];
    private int pointer;
    private double ratioMvPerV;
    private int output;
    private double readyInS;
    private boolean running;
    private double conversionLeftS;
    private double calibrationLeftS;

    /**
     * @param intrinsicOffset error of this specimen in counts at gain 1, until calibrated
     */
    public Nau7802(int intrinsicOffset) {
        this.intrinsicOffset = intrinsicOffset;
        powerUp();
    }

    @Override
    public void powerUp() {
        java.util.Arrays.fill(registers, (byte) 0);
        registers[GCAL1] = 0x00;
        registers[GCAL1 + 1] = (byte) 0x80; // 1.0 = 2^23
        registers[0x0D + 1] = (byte) 0x80;
        registers[REVISION] = 0x0F;
        output = 0;
        running = false;
        readyInS = 0;
        calibrationLeftS = 0;
    }

    /** Bridge output over excitation, which is also the reference. */
    public void sense(double ratioMvPerV) {
        this.ratioMvPerV = ratioMvPerV;
    }

    @Override
    public boolean write(byte[] bytes, int offset, int length) {
        if (length == 0) {
            return true;
        }
        pointer = bytes[offset] & 0x1F;
        for (int i = 1; i < length; i++) {
            writeRegister(pointer, bytes[offset + i] & 0xFF);
            pointer = (pointer + 1) & 0x1F;
        }
        return true;
    }

    @Override
    public boolean read(byte[] into, int offset, int length) {
        for (int i = 0; i < length; i++) {
            into[offset + i] = (byte) readRegister(pointer);
            pointer = (pointer + 1) & 0x1F;
        }
        return true;
    }

    private int readRegister(int register) {
        return switch (register) {
            case 0x12 -> {
                registers[PU_CTRL] &= ~CR; // a result that has been taken is not ready any more
                yield output >> 16 & 0xFF;
            }
            case 0x13 -> output >> 8 & 0xFF;
            case 0x14 -> output & 0xFF;
            default -> registers[register] & 0xFF;
        };
    }

    private void writeRegister(int register, int value) {
        switch (register) {
            case PU_CTRL -> power(value);
            case CTRL1 -> {
                registers[CTRL1] = (byte) value;
                restart();
            }
            case CTRL2 -> control2(value);
            case 0x12, 0x13, 0x14, REVISION -> {} // read-only
            default -> registers[register] = (byte) value;
        }
    }

    private void power(int value) {
        if ((value & RR) != 0) {
            powerUp();
            registers[PU_CTRL] = RR;
            return;
        }
        int old = registers[PU_CTRL];
        boolean wasUp = (old & PUD) != 0;
        registers[PU_CTRL] = (byte) ((value & ~(PUR | CR)) | (old & (PUR | CR)));
        if ((value & PUD) == 0) {
            registers[PU_CTRL] &= ~(PUR | CR);
        } else if (!wasUp) {
            readyInS = READY_S;
        }
        restart();
    }

    private void control2(int value) {
        boolean changed = ((registers[CTRL2] ^ value) & 0xF0) != 0;
        registers[CTRL2] = (byte) ((value & ~CAL_ERR) | (registers[CTRL2] & CAL_ERR));
        if ((value & CALS) != 0 && converts()) {
            calibrationLeftS = CALIBRATION_CONVERSIONS * periodS();
            running = false;
            registers[PU_CTRL] &= ~CR;
        } else if (changed) {
            restart();
        }
    }

    /** New settings, new settling. */
    private void restart() {
        running = converts() && (registers[PU_CTRL] & CS) != 0;
        registers[PU_CTRL] &= ~CR;
        conversionLeftS = SETTLING_CONVERSIONS * periodS();
    }

    private boolean converts() {
        int up = PUD | PUA;
        return (registers[PU_CTRL] & up) == up;
    }

    private double periodS() {
        return switch (registers[CTRL2] >> 4 & 7) {
            case 0 -> 1.0 / 10;
            case 1 -> 1.0 / 20;
            case 2 -> 1.0 / 40;
            case 3 -> 1.0 / 80;
            default -> 1.0 / 320;
        };
    }

    @Override
    public void advance(double elapsedS) {
        if (readyInS > 0) {
            readyInS -= elapsedS;
            if (readyInS <= 1e-12 && (registers[PU_CTRL] & PUD) != 0) {
                registers[PU_CTRL] |= PUR;
            }
        }
        if (calibrationLeftS > 0) {
            calibrationLeftS -= elapsedS;
            if (calibrationLeftS > 1e-9) {
                return;
            }
            calibrationLeftS = 0;
            calibrate();
            restart();
            return;
        }
        if (!running) {
            return;
        }
        conversionLeftS -= elapsedS;
        if (conversionLeftS <= 1e-9) {
            double periodS = periodS();
            conversionLeftS = Periodic.next(conversionLeftS, periodS);
            output = corrected(measurement());
            registers[PU_CTRL] |= CR;
        }
    }

    /**
     * counts = V·gain/Vref·2^23, and the bridge is excited from Vref: counts = ratio·gain·2^23.
     * Source: reference rows SEN087, SEN096.
     */
    private int measurement() {
        boolean secondInput = (registers[CTRL2] & CHS) != 0;
        return saturate(
                (secondInput ? 0 : ratioMvPerV * 1e-3 * gain() * 0x800000)
                        + intrinsicOffset * gain());
    }

    private int gain() {
        return 1 << (registers[CTRL1] & 7);
    }

    private int corrected(int measurement) {
        return saturate((measurement - offset()) * (gainCalibration() / (double) 0x800000));
    }

    private int offset() {
        int magnitude = registers[OCAL1 + 1] & 0xFF;
        int raw = (registers[OCAL1] & 0xFF) << 16 | magnitude << 8 | (registers[OCAL1 + 2] & 0xFF);
        return raw << 8 >> 8;
    }

    private long gainCalibration() {
        return (registers[GCAL1] & 0xFFL) << 24
                | (registers[GCAL1 + 1] & 0xFFL) << 16
                | (registers[GCAL1 + 2] & 0xFFL) << 8
                | (registers[GCAL1 + 3] & 0xFFL);
    }

    /**
     * CALMOD 0: inputs shorted inside; 2: offset with what is connected; 3: gain, what is connected
     * becomes full scale.
     */
    private void calibrate() {
        int mode = registers[CTRL2] & 3;
        registers[CTRL2] &= ~(CALS | CAL_ERR);
        switch (mode) {
            case 0 -> storeOffset(saturate(intrinsicOffset * (double) gain()));
            case 2 -> storeOffset(measurement());
            case 3 -> {
                int signal = measurement() - offset();
                double factor = signal <= 0 ? Double.POSITIVE_INFINITY : MAX / (double) signal;
                if (factor >= 256) { // p. 21: beyond the gain register
                    registers[CTRL2] |= CAL_ERR;
                } else {
                    storeGain(Math.round(factor * 0x800000));
                }
            }
            default -> registers[CTRL2] |= CAL_ERR; // 1 is reserved
        }
    }

    private void storeOffset(int offset) {
        registers[OCAL1] = (byte) (offset >> 16);
        registers[OCAL1 + 1] = (byte) (offset >> 8);
        registers[OCAL1 + 2] = (byte) offset;
    }

    private void storeGain(long factor) {
        for (int i = 0; i < 4; i++) {
            registers[GCAL1 + i] = (byte) (factor >> (24 - 8 * i));
        }
    }

    private static int saturate(double counts) {
        return (int) Math.min(MAX, Math.max(MIN, Math.rint(counts)));
    }
}
