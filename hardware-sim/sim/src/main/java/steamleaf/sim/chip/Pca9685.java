package steamleaf.sim.chip;

/**
 * NXP PCA9685 sixteen-channel pulse-width controller.
 *
 * <p>Source (not checked): NXP PCA9685 rev 4 (April 2015): register table, MODE1 and MODE2, 7.3.3
 * (ON and OFF counts, full-on and full-off bits, off wins), 7.3.5 (prescale written only in sleep),
 * 7.4 (output enable, low active), oscillator start 500 µs.
 *
 * <p>Not modelled: sub-addresses, software reset by general call, external clock, staggered update
 * on acknowledge (MODE2 OCH), and the pulses themselves: {@link #duty} is their mean.
 */
public final class Pca9685 implements I2cChip {
    public static final int MODE1 = 0x00;
    public static final int MODE2 = 0x01;
    public static final int LED0_ON_L = 0x06;
    public static final int ALL_LED_ON_L = 0xFA;
    public static final int PRE_SCALE = 0xFE;

    private static final int RESTART = 0x80;
    private static final int AUTO_INCREMENT = 0x20;
    private static final int SLEEP = 0x10;
    private static final int ALLCALL = 0x01;
    private static final int LAST_LED = 0x45;
    private static final double OSCILLATOR_START_S = 500e-6;

    private final byte[] registers = new byte[256];
    private int pointer;
    private boolean outputEnabled = true;
    private boolean halted;
    private double oscillatorStartsInS;

    public Pca9685() {
        powerUp();
    }

    @Override
    public void powerUp() {
        java.util.Arrays.fill(registers, (byte) 0);
        registers[MODE1] = SLEEP | ALLCALL;
        registers[MODE2] = 0x04;
        registers[0x02] = (byte) 0xE2;
        registers[0x03] = (byte) 0xE4;
        registers[0x04] = (byte) 0xE8;
        registers[0x05] = (byte) 0xE0; // all-call address 70h
        for (int channel = 0; channel < 16; channel++) {
            registers[LED0_ON_L + 4 * channel + 3] = 0x10; // full off
        }
        registers[ALL_LED_ON_L + 3] = 0x10;
        registers[PRE_SCALE] = 0x1E;
        halted = false;
        oscillatorStartsInS = 0;
    }

    /** Level at the OE pin, low active: {@code true} lets the outputs work. */
    public void outputEnable(boolean enabled) {
        outputEnabled = enabled;
    }

    /** Whether the chip also answers on the all-call address 70h. */
    public boolean answersAllCall() {
        return (registers[MODE1] & ALLCALL) != 0;
    }

    /** Mean of the output, 0 to 1. */
    public double duty(int channel) {
        if (!outputEnabled) {
            return 0;
        }
        int at = LED0_ON_L + 4 * channel;
        if ((registers[at + 3] & 0x10) != 0) {
            return 0;
        }
        if ((registers[at + 1] & 0x10) != 0) {
            return 1;
        }
        boolean clockRuns = (registers[MODE1] & SLEEP) == 0 && oscillatorStartsInS <= 0 && !halted;
        if (!clockRuns) {
            return 0;
        }
        return (off(at) - on(at) & 0xFFF) / 4096.0;
    }

    private int on(int at) {
        return (registers[at + 1] & 0x0F) << 8 | (registers[at] & 0xFF);
    }

    private int off(int at) {
        return (registers[at + 3] & 0x0F) << 8 | (registers[at + 2] & 0xFF);
    }

    @Override
    public boolean write(byte[] bytes, int offset, int length) {
        if (length == 0) {
            return true;
        }
        pointer = bytes[offset] & 0xFF;
        for (int i = 1; i < length; i++) {
            writeRegister(pointer, bytes[offset + i] & 0xFF);
            step();
        }
        return true;
    }

    @Override
    public boolean read(byte[] into, int offset, int length) {
        for (int i = 0; i < length; i++) {
            boolean writeOnly = pointer >= ALL_LED_ON_L && pointer < PRE_SCALE;
            into[offset + i] = writeOnly ? 0 : registers[pointer];
            step();
        }
        return true;
    }

    private void step() {
        if ((registers[MODE1] & AUTO_INCREMENT) != 0) {
            pointer = pointer == LAST_LED ? 0 : pointer + 1 & 0xFF;
        }
    }

    private void writeRegister(int register, int value) {
        if (register == MODE1) {
            mode1(value);
        } else if (register == PRE_SCALE) {
            if ((registers[MODE1] & SLEEP) != 0) {
                registers[PRE_SCALE] = (byte) Math.max(3, value);
            }
        } else if (register >= ALL_LED_ON_L && register < PRE_SCALE) {
            registers[register] = (byte) value;
            for (int channel = 0; channel < 16; channel++) {
                registers[LED0_ON_L + 4 * channel + register - ALL_LED_ON_L] = (byte) value;
            }
            halted = false;
        } else if (register <= LAST_LED) {
            registers[register] = (byte) value;
            if (register >= LED0_ON_L) {
                halted = false;
            }
        }
    }

    /**
     * RESTART reads 1 when sleep caught running outputs; they stay off after waking until a 1 is
     * written there.
     */
    private void mode1(int value) {
        int old = registers[MODE1];
        boolean slept = (old & SLEEP) != 0;
        boolean sleeps = (value & SLEEP) != 0;
        int restart = old & RESTART;
        if (!slept && sleeps) {
            halted = anyPulses();
            restart = halted ? RESTART : 0;
        }
        if (slept && !sleeps) {
            oscillatorStartsInS = OSCILLATOR_START_S;
        }
        if ((value & RESTART) != 0 && !sleeps) {
            halted = false;
            restart = 0;
        }
        registers[MODE1] = (byte) ((value & ~RESTART) | restart);
    }

    private boolean anyPulses() {
        for (int at = LED0_ON_L; at < LAST_LED; at += 4) {
            if ((registers[at + 3] & 0x10) == 0
                    && (registers[at + 1] & 0x10) == 0
                    && on(at) != off(at)) {
                return true;
            }
        }
        return false;
    }

    @Override
    public void advance(double elapsedS) {
        if (oscillatorStartsInS > 0) {
            oscillatorStartsInS -= elapsedS;
        }
    }
}
