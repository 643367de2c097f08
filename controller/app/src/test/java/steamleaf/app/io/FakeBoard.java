package steamleaf.app.io;

import com.pi4j.Pi4J;
import com.pi4j.context.Context;
import com.pi4j.io.exception.IOException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalOutputBase;
import com.pi4j.io.gpio.digital.DigitalOutputConfig;
import com.pi4j.io.gpio.digital.DigitalOutputProvider;
import com.pi4j.io.gpio.digital.DigitalOutputProviderBase;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.i2c.I2CBase;
import com.pi4j.io.i2c.I2CBusBase;
import com.pi4j.io.i2c.I2CConfig;
import com.pi4j.io.i2c.I2CProvider;
import com.pi4j.io.i2c.I2CProviderBase;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiBase;
import com.pi4j.io.spi.SpiConfig;
import com.pi4j.io.spi.SpiProvider;
import com.pi4j.io.spi.SpiProviderBase;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;

/**
 * Buses and lines of the stock line with just enough chip on each address to answer, and every way
 * to be poked.
 */
final class FakeBoard {
    /** What answers at an address; {@code null} or false is "not acknowledged". */
    interface Device {
        boolean write(byte[] bytes);

        byte @Nullable [] read(int pointer, int length);
    }

    /** A plain register file. */
    static class Registers implements Device {
        final int[] content = new int[256];
        boolean silent;
        int writes;

        @Override
        public boolean write(byte[] bytes) {
            if (silent) {
                return false;
            }
            writes++;
            for (int i = 1; i < bytes.length; i++) {
                put((bytes[0] & 0xFF) + i - 1, bytes[i] & 0xFF);
            }
            return true;
        }

        @Override
        public byte @Nullable [] read(int pointer, int length) {
            if (silent) {
                return null;
            }
            byte[] bytes = new byte[length];
            for (int i = 0; i < length; i++) {
                bytes[i] = (byte) get(pointer + i);
            }
            return bytes;
        }

        void put(int register, int value) {
            content[register] = value;
        }

        int get(int register) {
            return content[register];
        }
    }

    static final class Expander extends Registers {
        int outside;
        boolean wire = true;

        Expander() {
            powerOn();
        }

        void powerOn() {
            java.util.Arrays.fill(content, 0);
            content[0] = 0xFF;
            content[1] = 0xFF;
        }

        int pins() {
            int inputs = content[0] | (content[1] << 8);
            int latch = content[0x14] | (content[0x15] << 8);
            int levels = (outside & inputs) | (latch & ~inputs);
            boolean loop = wire && (levels & 0x8000) != 0;
            return loop ? levels | 0x40 : levels & ~0x40;
        }

        boolean drives(int pin) {
            int inputs = content[0] | (content[1] << 8);
            return ((pins() & ~inputs) >> pin & 1) != 0;
        }

        @Override
        int get(int register) {
            return switch (register) {
                case 0x12 -> pins() & 0xFF;
                case 0x13 -> pins() >> 8;
                default -> super.get(register);
            };
        }
    }

    static final class Climate implements Device {
        int temperatureCode;
        int humidityCode;
        boolean silent;
        boolean corrupt;
        boolean heater;
        int starts;
        private boolean measured;
        private boolean status;

        @Override
        public boolean write(byte[] bytes) {
            if (silent) {
                return false;
            }
            int command = ((bytes[0] & 0xFF) << 8) | (bytes[1] & 0xFF);
            measured = command == 0x2400;
            status = command == 0xF32D;
            starts += measured ? 1 : 0;
            if (command == 0x30A2) {
                heater = false;
            }
            return true;
        }

        @Override
        public byte @Nullable [] read(int pointer, int length) {
            if (silent || !(measured || status)) {
                return null;
            }
            byte[] bytes = new byte[length];
            word(bytes, 0, status ? heater ? 0x2000 : 0 : temperatureCode);
            if (measured) {
                word(bytes, 3, humidityCode);
                measured = false;
            }
            if (corrupt) {
                bytes[1] ^= 0x10;
            }
            return bytes;
        }

        private static void word(byte[] into, int at, int value) {
            into[at] = (byte) (value >> 8);
            into[at + 1] = (byte) value;
            int crc = 0xFF;
            for (int i = 0; i < 2; i++) {
                crc ^= into[at + i] & 0xFF;
                for (int bit = 0; bit < 8; bit++) {
                    crc = (crc & 0x80) != 0 ? (crc << 1) ^ 0x131 : crc << 1;
                }
            }
            into[at + 2] = (byte) crc;
        }
    }

    static final class Bridge extends Registers {
        int code;
        boolean ready = true;

        @Override
        void put(int register, int value) {
            super.put(register, register == 2 ? value & ~4 : value);
        }

        @Override
        int get(int register) {
            return switch (register) {
                case 0x00 -> content[0] | 0x08 | (ready && (content[0] & 0x10) != 0 ? 0x20 : 0);
                case 0x12 -> code >> 16 & 0xFF;
                case 0x13 -> code >> 8 & 0xFF;
                case 0x14 -> code & 0xFF;
                default -> super.get(register);
            };
        }
    }

    static final class Mux implements Device {
        int control;
        boolean silent;
        boolean stuck;
        final Map<Integer, Map<Integer, Device>> channels = new HashMap<>();

        @Override
        public boolean write(byte[] bytes) {
            if (!silent && !stuck) {
                control = bytes[0] & 0xFF;
            }
            return !silent;
        }

        @Override
        public byte @Nullable [] read(int pointer, int length) {
            return silent ? null : new byte[] {(byte) control};
        }
    }

    /** One MAX31865. */
    static final class Thermometer {
        final int[] registers = {0, 0, 0, 0xFF, 0xFF, 0, 0, 0};
        int code;
        boolean silent;

        void transfer(byte[] write, byte[] read) {
            registers[1] = code >> 7;
            registers[2] = code << 1 & 0xFF;
            for (int i = 1, at = write[0] & 0x7F; i < write.length; i++, at++) {
                read[i] = (byte) registers[at];
                if ((write[0] & 0x80) != 0) {
                    registers[at] = at == 0 ? write[i] & 0xFD : write[i] & 0xFF;
                }
            }
        }
    }

    final Map<Integer, Device> trunk = new TreeMap<>();
    final Thermometer[] thermometers = new Thermometer[16];
    final boolean[] gpio = new boolean[28];
    final int[] edges = new int[28];
    final List<Integer> moved = new ArrayList<>();
    int stuckGpio = -1;
    int transfers;
    boolean busGone;
    final Context context;

    FakeBoard(Wiring wiring) {
        wiring.expanders().forEach(expander -> trunk.put(expander.address(), new Expander()));
        Registers pwm =
                new Registers() {
                    @Override
                    void put(int register, int value) {
                        super.put(
                                register,
                                register == 0 ? value & 0x7F : value); // RESTART clears itself
                    }
                };
        pwm.content[0] = 0x11;
        trunk.put(wiring.pwm().address(), pwm);
        wiring.muxes().forEach(address -> trunk.put(address, new Mux()));
        behind(wiring.line().room().at(), 0x44, new Climate());
        behind(wiring.line().barometer().at(), 0x2A, new Bridge());
        for (Wiring.Oven oven : wiring.ovens()) {
            behind(oven.exhaust().at(), 0x44, new Climate());
            if (oven.scale() != null) {
                behind(oven.scale().at(), 0x2A, new Bridge());
            }
        }
        java.util.Arrays.setAll(thermometers, _ -> new Thermometer());
        java.util.Arrays.fill(
                gpio, true); // lines keep whatever level they had: high is the worst case
        context =
                Pi4J.newContextBuilder()
                        .noAutoDetect()
                        .disableShutdownHook()
                        .add(new Buses(this), new Selects(this), new Lines(this))
                        .build();
    }

    private void behind(Wiring.MuxChannel at, int address, Device device) {
        ((Mux) device(at.mux()))
                .channels
                .computeIfAbsent(at.channel(), _ -> new HashMap<>())
                .put(address, device);
    }

    private Device device(int address) {
        return Objects.requireNonNull(trunk.get(address));
    }

    Expander expander(int address) {
        return (Expander) device(address);
    }

    Registers pwm() {
        return (Registers) device(0x40);
    }

    Mux mux() {
        return (Mux) device(0x71);
    }

    Climate climate(int channel) {
        return (Climate) behind(channel, 0x44);
    }

    Bridge bridge(int channel) {
        return (Bridge) behind(channel, 0x2A);
    }

    private Device behind(int channel, int address) {
        return at(new Wiring.MuxChannel(0x71, channel), address);
    }

    /** The chip at an address behind one channel of a mux. */
    Device at(Wiring.MuxChannel place, int address) {
        Mux mux = (Mux) device(place.mux());
        return Objects.requireNonNull(
                Objects.requireNonNull(mux.channels.get(place.channel())).get(address));
    }

    /**
     * Who hears this address now; more than one behind open channels is a collision nobody
     * survives.
     */
    private Device heard(int address) {
        transfers++;
        if (busGone) {
            throw new IOException("timed out");
        }
        List<Device> listening = new ArrayList<>();
        Device direct = trunk.get(address);
        if (direct != null) {
            listening.add(direct);
        }
        for (Device device : trunk.values()) {
            if (device instanceof Mux mux) {
                mux.channels.forEach(
                        (channel, devices) -> {
                            Device behind = devices.get(address);
                            if ((mux.control >> channel & 1) != 0 && behind != null) {
                                listening.add(behind);
                            }
                        });
            }
        }
        if (listening.size() > 1) {
            throw new AssertionError("two chips hear 0x" + Integer.toHexString(address));
        }
        if (listening.isEmpty()) {
            throw new IOException("not acknowledged");
        }
        return listening.getFirst();
    }

    private static final class Bus extends I2CBusBase {
        Bus(I2CConfig config) {
            super(config);
        }

        @Override
        public <R> R execute(I2C i2c, Callable<R> action) {
            throw new UnsupportedOperationException();
        }
    }

    private static final class Addressed extends I2CBase<Bus> {
        private final FakeBoard board;

        Addressed(I2CProvider provider, I2CConfig config, FakeBoard board) {
            super(provider, config, new Bus(config));
            this.board = board;
        }

        @Override
        public int write(byte b) {
            return write(new byte[] {b}, 0, 1);
        }

        @Override
        public int write(byte[] data, int offset, int length) {
            if (!board.heard(device())
                    .write(java.util.Arrays.copyOfRange(data, offset, offset + length))) {
                throw new IOException("not acknowledged");
            }
            return length;
        }

        @Override
        public int read() {
            throw new UnsupportedOperationException();
        }

        @Override
        public int read(byte[] buffer, int offset, int length) {
            return readRegister(0, buffer, offset, length);
        }

        @Override
        public int readRegister(int register, byte[] buffer, int offset, int length) {
            byte[] bytes = board.heard(device()).read(register, length);
            if (bytes == null) {
                throw new IOException("not acknowledged");
            }
            System.arraycopy(bytes, 0, buffer, offset, bytes.length);
            return bytes.length;
        }

        @Override
        public int readRegister(int register) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int readRegister(byte[] register, byte[] buffer, int offset, int length) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int writeRegister(int register, byte b) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int writeRegister(int register, byte[] data, int offset, int length) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int writeRegister(byte[] register, byte[] data, int offset, int length) {
            throw new UnsupportedOperationException();
        }
    }

    private static final class Buses extends I2CProviderBase {
        private final FakeBoard board;

        Buses(FakeBoard board) {
            super("fake-i2c");
            this.board = board;
        }

        @Override
        public I2C create(I2CConfig config) {
            I2C made = new Addressed(this, config, board);
            context.registry().add(made);
            return made;
        }
    }

    private static final class Select extends SpiBase {
        private final FakeBoard board;

        Select(SpiProvider provider, SpiConfig config, FakeBoard board) {
            super(provider, config);
            this.board = board;
        }

        @Override
        public int transfer(
                byte[] write, int writeOffset, byte[] read, int readOffset, int numberOfBytes) {
            int output =
                    (board.gpio[22] ? 1 : 0) | (board.gpio[23] ? 2 : 0) | (board.gpio[24] ? 4 : 0);
            Thermometer chip = board.thermometers[8 * config().address() + output];
            if (chip.silent) {
                throw new IOException("no transfer");
            }
            chip.transfer(write, read);
            return numberOfBytes;
        }

        @Override
        public int read() {
            throw new UnsupportedOperationException();
        }

        @Override
        public int read(byte[] buffer, int offset, int length) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int write(byte b) {
            throw new UnsupportedOperationException();
        }

        @Override
        public int write(byte[] data, int offset, int length) {
            throw new UnsupportedOperationException();
        }
    }

    private static final class Selects extends SpiProviderBase {
        private final FakeBoard board;

        Selects(FakeBoard board) {
            super("fake-spi");
            this.board = board;
        }

        @Override
        public Spi create(SpiConfig config) {
            Spi made = new Select(this, config, board);
            context.registry().add(made);
            return made;
        }
    }

    private static final class Line extends DigitalOutputBase {
        private final FakeBoard board;

        Line(DigitalOutputProvider provider, DigitalOutputConfig config, FakeBoard board) {
            super(provider, config);
            this.board = board;
        }

        @Override
        public DigitalOutput state(DigitalState state) {
            int number = config().address();
            if (board.stuckGpio == number) {
                throw new IOException("line " + number + " is gone");
            }
            board.edges[number] += board.gpio[number] != state.isHigh() ? 1 : 0;
            board.gpio[number] = state.isHigh();
            board.moved.add(state.isHigh() ? number : -number);
            return super.state(state);
        }
    }

    private static final class Lines extends DigitalOutputProviderBase {
        private final FakeBoard board;

        Lines(FakeBoard board) {
            super("fake-digital-output");
            this.board = board;
        }

        @Override
        public DigitalOutput create(DigitalOutputConfig config) {
            DigitalOutput made = new Line(this, config, board);
            context.registry().add(made);
            return made;
        }
    }
}
