package steamleaf.sim.chip;

/**
 * Microchip MCP23017 port expander: sixteen pins, bit 0 to 7 port A, bit 8 to 15 port B.
 *
 * <p>Source: Microchip DS20001952C: register table p. 18 and power-on values (reference rows SEN105
 * to SEN113); BANK, sequential operation and interrupt registers from the same sheet (not checked).
 *
 * <p>Not modelled: the INT pins themselves, slew rate, the erratum on inputs GPA7 and GPB7
 * (reference row SEN114: use them as outputs).
 */
public final class Mcp23017 implements I2cChip {
    public static final int IODIR = 0x00;
    public static final int IPOL = 0x02;
    public static final int GPINTEN = 0x04;
    public static final int DEFVAL = 0x06;
    public static final int INTCON = 0x08;
    public static final int IOCON = 0x0A;
    public static final int GPPU = 0x0C;
    public static final int INTF = 0x0E;
    public static final int INTCAP = 0x10;
    public static final int GPIO = 0x12;
    public static final int OLAT = 0x14;

    private static final int BANK = 0x80;
    private static final int SEQOP = 0x20;

    private int iodir;
    private int ipol;
    private int gpinten;
    private int defval;
    private int intcon;
    private int iocon;
    private int gppu;
    private int intf;
    private int intcap;
    private int olat;
    private int pointer;

    private int drivenMask;
    private int drivenLevels;
    private int levels;
    private int loopFrom;
    private int loopTo;
    private boolean frozen;

    public Mcp23017() {
        powerUp();
    }

    /**
     * Registers fall back; the pins become inputs, and those nobody drives keep the level they had.
     */
    @Override
    public void powerUp() {
        iodir = 0xFFFF;
        ipol = gpinten = defval = intcon = iocon = gppu = intf = intcap = olat = pointer = 0;
        settle();
    }

    /** Levels put on the pins from outside; pins not in {@code mask} float. */
    public void drive(int mask, int levels) {
        drivenMask = mask;
        drivenLevels = levels;
        settle();
    }

    /** A wire outside the chip from one pin to another. */
    public void loopBack(int fromPin, int toPin) {
        loopFrom = 1 << fromPin;
        loopTo = 1 << toPin;
        settle();
    }

    /**
     * A frozen chip still answers on the bus, but nothing moves between registers and pins any
     * more.
     */
    public void freeze(boolean frozen) {
        this.frozen = frozen;
        settle();
    }

    /** Levels at the pins. */
    public int levels() {
        return levels;
    }

    public boolean level(int pin) {
        return (levels >> pin & 1) != 0;
    }

    private void settle() {
        if (frozen) {
            return;
        }
        int before = levels;
        int now = settled(drivenMask, drivenLevels);
        if (loopTo != 0) {
            int looped = (now & loopFrom) != 0 ? drivenLevels | loopTo : drivenLevels & ~loopTo;
            now = settled(drivenMask | loopTo, looped);
        }
        levels = now;
        int reference = (before & ~intcon) | (defval & intcon);
        int caused = (now ^ reference) & gpinten & iodir;
        if (caused != 0 && intf == 0) {
            intf = caused;
            intcap = now;
        }
    }

    private int settled(int mask, int outside) {
        int outputs = ~iodir & 0xFFFF;
        int floating = iodir & ~mask;
        int undriven = gppu | (levels & ~gppu); // pulled up, or the last level
        return (olat & outputs) | (outside & iodir & mask) | (undriven & floating);
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
            into[offset + i] = (byte) readRegister(pointer);
            step();
        }
        return true;
    }

    private void step() {
        if ((iocon & SEQOP) != 0) {
            if ((iocon & BANK) == 0) {
                pointer ^= 1; // byte mode toggles between the ports of a pair
            }
            return;
        }
        int last = (iocon & BANK) == 0 ? 0x15 : 0x1A;
        pointer = pointer >= last ? 0 : pointer + 1;
    }

    /**
     * Register of both ports at {@code pointer}, as addressed with BANK = 0; -1 where there is
     * none.
     */
    private int pair(int pointer) {
        int register = (iocon & BANK) == 0 ? pointer & ~1 : (pointer & 0x0F) << 1;
        return register <= OLAT && pointer <= 0x1A ? register : -1;
    }

    private int shift(int pointer) {
        boolean portB = (iocon & BANK) == 0 ? (pointer & 1) != 0 : (pointer & 0x10) != 0;
        return portB ? 8 : 0;
    }

    private int readRegister(int pointer) {
        int shift = shift(pointer);
        int value =
                switch (pair(pointer)) {
                    case IODIR -> iodir;
                    case IPOL -> ipol;
                    case GPINTEN -> gpinten;
                    case DEFVAL -> defval;
                    case INTCON -> intcon;
                    case IOCON -> iocon | iocon << 8;
                    case GPPU -> gppu;
                    case INTF -> intf;
                    case INTCAP -> {
                        int captured = intcap;
                        intf &= ~(0xFF << shift);
                        yield captured;
                    }
                    case GPIO -> {
                        intf &= ~(0xFF << shift);
                        yield levels ^ (ipol & iodir);
                    }
                    case OLAT -> olat;
                    default -> 0;
                };
        return value >> shift & 0xFF;
    }

    private void writeRegister(int pointer, int value) {
        int shift = shift(pointer);
        int keep = ~(0xFF << shift) & 0xFFFF;
        int put = value << shift;
        switch (pair(pointer)) {
            case IODIR -> iodir = (iodir & keep) | put;
            case IPOL -> ipol = (ipol & keep) | put;
            case GPINTEN -> gpinten = (gpinten & keep) | put;
            case DEFVAL -> defval = (defval & keep) | put;
            case INTCON -> intcon = (intcon & keep) | put;
            case IOCON -> iocon = value;
            case GPPU -> gppu = (gppu & keep) | put;
            case GPIO, OLAT -> olat = (olat & keep) | put;
            default -> {} // INTF and INTCAP are read-only
        }
        settle();
    }

    @Override
    public void advance(double elapsedS) {}
}
