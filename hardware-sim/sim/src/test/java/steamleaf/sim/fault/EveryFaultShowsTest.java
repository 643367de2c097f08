package steamleaf.sim.fault;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.pi4j.context.Context;
import com.pi4j.exception.Pi4JException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiMode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.plant.Button;
import steamleaf.sim.plant.LeafSpec;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.PlantYaml;
import steamleaf.sim.plant.UnitTruth;

/**
 * Each case of the catalogue changes something that a program reads or that really happens, in two
 * minutes in which everything on the line is used once; and nothing else changes, because the same
 * two minutes without a fault are the same to the bit.
 */
class EveryFaultShowsTest {
    private static final int STEPS = 1200;

    /** The stock line with high limits that two minutes of heating reach. */
    private static final PlantSettings SETTINGS =
            PlantYaml.read("oven: {highLimitC: 50}", "here", PlantSettings.stock())
                            instanceof PlantYaml.Read(PlantSettings settings)
                    ? settings
                    : PlantSettings.stock();

    @Test
    void everyCaseOfTheCatalogueShows() {
        long whole = new Rehearsal(null).run();
        assertEquals(whole, new Rehearsal(null).run(), "the same without a fault");
        List<String> silent = new ArrayList<>();
        for (FaultCase c : new Rehearsal(null).cases()) {
            if (new Rehearsal(c).run() == whole) {
                silent.add(c.toString());
            }
        }
        assertEquals(List.of(), silent);
    }

    /** Two minutes of a line in which somebody tries everything. */
    private static final class Rehearsal {
        private final SimulatedLine line = SimulatedLine.open(SETTINGS, Board.stock(), 11);
        private final Context pi4j = line.pi4j();
        private final Plant plant = line.plant();
        private final @Nullable FaultCase fault;
        private final Map<Integer, I2C> chips = new HashMap<>();
        private final Map<Integer, DigitalOutput> pins = new HashMap<>();
        private final Spi spi =
                pi4j.create(
                        Spi.newConfigBuilder(pi4j).id("s").address(0).mode(SpiMode.MODE_1).build());
        private long seen = 1;

        Rehearsal(@Nullable FaultCase fault) {
            this.fault = fault;
        }

        List<FaultCase> cases() {
            List<FaultCase> cases = List.copyOf(line.faults().catalogue().cases());
            line.close();
            return cases;
        }

        long run() {
            setUp();
            for (int step = 0; step < STEPS; step++) {
                if (step == 10 && fault != null) {
                    FaultCase.Size size = fault.size();
                    double amount =
                            size == null ? 0 : size.from() + 0.8 * (size.to() - size.from());
                    String with = fault.partners().isEmpty() ? null : fault.partners().getLast();
                    line.faults().inject(fault.component(), fault.kind(), 1e9, amount, with);
                }
                people(step / 10.0);
                program(step / 10.0, step);
                line.advance(0.1);
                look(step);
            }
            line.close();
            return seen;
        }

        private I2C chip(int address) {
            return chips.computeIfAbsent(
                    address,
                    a ->
                            pi4j.create(
                                    I2C.newConfigBuilder(pi4j)
                                            .id("i" + a)
                                            .bus(1)
                                            .device(a)
                                            .build()));
        }

        private void pin(int number, boolean high) {
            pins.computeIfAbsent(
                            number,
                            n ->
                                    pi4j.create(
                                            DigitalOutput.newConfigBuilder(pi4j)
                                                    .id("p" + n)
                                                    .address(n)
                                                    .build()))
                    .state(high ? DigitalState.HIGH : DigitalState.LOW);
        }

        private void setUp() {
            for (int n = 0; n < 5; n++) {
                select(n);
                spi.transfer(new byte[] {(byte) 0x80, (byte) 0xD1});
            }
            chip(0x20).write(new byte[] {0x00, 0x7F, 0x7F});
            chip(0x21).write(new byte[] {0x00, (byte) 0xE3, 0x70});
            chip(0x22).write(new byte[] {0x00, (byte) 0xEF, 0x6F});
            chip(0x23).write(new byte[] {0x00, (byte) 0xEF, 0x7F});
            chip(0x40).write(new byte[] {0x00, 0x21});
            for (int channel = 0; channel < 4; channel++) {
                chip(0x71).write(new byte[] {(byte) (1 << channel)});
                chip(0x2A).write(new byte[] {0x00, 0x06});
                chip(0x2A).write(new byte[] {0x01, 0x07});
                chip(0x2A).write(new byte[] {0x00, 0x16});
            }
            plant.permitKey(true);
            plant.loadSteamer(2, LeafSpec.of(plant.settings().leaf()));
        }

        private static boolean within(double t, double from, double to) {
            return t >= from && t < to;
        }

        private void people(double t) {
            plant.hold(Button.RESET, within(t, 4, 5) || within(t, 70, 71));
            plant.hold(Button.START, within(t, 6, 7));
            plant.hold(Button.CONFIRM, within(t, 7, 8));
            plant.hold(Button.SILENCE, within(t, 8, 9));
            plant.permitKey(!within(t, 58, 59));
            for (int oven = 1; oven <= 3; oven++) {
                if (within(t, 40, 44)) {
                    plant.openDoor(oven);
                } else {
                    plant.closeDoor(oven);
                }
            }
            if (within(t, 46, 50)) {
                plant.openHood();
            } else {
                plant.closeHood();
            }
            if (within(t, 54, 56)) {
                plant.pressEmergencyStop();
            } else {
                plant.releaseEmergencyStop();
            }
            natural(t);
        }

        /** What the line itself can meet, without being broken. */
        private void natural(double t) {
            if (t == 30) {
                plant.lineFaults().openingBlocked = 1; // over-pressure
            } else if (t == 34) {
                plant.lineFaults().openingBlocked = 0;
            } else if (t == 80) {
                plant.lineFaults().smoke = true;
            } else if (t == 82) {
                plant.lineFaults().smoke = false;
            } else if (t == 84) {
                plant.lineFaults().steamFailed = true;
            } else if (t == 86) {
                plant.lineFaults().steamFailed = false;
            } else if (t == 90) {
                plant.lineFaults().supplySag = 0.7;
            } else if (t == 92) {
                plant.lineFaults().supplySag = 1;
            }
        }

        private void program(double t, int step) {
            boolean alive = !within(t, 62, 65);
            if (alive) {
                pin(25, step % 2 == 0);
            }
            pin(12, true);
            boolean heat = !within(t, 20, 24);
            for (int heater : new int[] {13, 16, 19}) {
                pin(heater, heat);
            }
            boolean steam = !within(t, 20, 24) && !within(t, 44, 52);
            pin(17, steam && !within(t, 24, 26));
            pin(27, steam && !within(t, 26, 28));
            boolean fans = !within(t, 14, 18);
            byte fan = (byte) (fans ? 0x10 : 0);
            boolean loop = step % 2 == 0;
            write(0x20, 0x14, within(t, 10, 12) ? 0x80 : 0, loop ? 0x80 : 0);
            boolean hood = within(t, 44, 52);
            int steamer = (within(t, 12, 16) ? 0 : 0x04) | (hood ? 0x10 : 0x08);
            write(0x21, 0x14, steamer, (step / 10 & 0x0F) | (loop ? 0x80 : 0));
            write(0x22, 0x14, fan, fan | (loop ? 0x80 : 0));
            write(0x23, 0x14, fan, loop ? 0x80 : 0);
            int damper = within(t, 30, 40) ? 0x00 : 0x0C;
            write(0x40, 0x06, 0, 0, 0, 0x0F, 0, 0, 0, damper, 0, 0, 0, damper, 0, 0, 0, damper);
        }

        private void write(int address, int... bytes) {
            byte[] frame = new byte[bytes.length];
            for (int i = 0; i < bytes.length; i++) {
                frame[i] = (byte) bytes[i];
            }
            try {
                chip(address).write(frame);
            } catch (Pi4JException e) {
                note(1);
            }
        }

        private void look(int step) {
            for (int address = 0x20; address <= 0x23; address++) {
                read(address, 0x12, 2);
            }
            for (int n = 0; n < 5; n++) {
                select(n);
                byte[] frame = {0x00, 0, 0, 0};
                spi.transfer(frame);
                note(Arrays.hashCode(frame));
            }
            if (step % 10 == 0) {
                climates(step / 10 % 4);
            }
            note(Double.hashCode(plant.clockAheadS()));
            for (String unit : plant.units()) {
                UnitTruth truth = plant.truth(unit);
                note(Double.hashCode(truth.airC));
                note(Double.hashCode(truth.damper));
                note(Double.hashCode(truth.steamKgPerS));
                note(truth.contactorOn || truth.fanOn ? 3 : 4);
            }
        }

        /** What waits behind the open channel; then the next one is opened and asked. */
        private void climates(int channel) {
            byte[] six = new byte[6];
            try {
                chip(0x44).read(six);
            } catch (Pi4JException e) {
                note(2);
            }
            note(Arrays.hashCode(six));
            read(0x2A, 0x12, 3);
            read(0x40, 0x06, 4);
            write(0x71, 1 << channel);
            byte[] open = new byte[1];
            try {
                chip(0x71).read(open);
            } catch (Pi4JException e) {
                note(6);
            }
            note(open[0]);
            write(0x44, 0x24, 0x00);
        }

        private void read(int address, int register, int length) {
            byte[] bytes = new byte[length];
            try {
                chip(address).readRegister(register, bytes);
            } catch (Pi4JException e) {
                note(5);
            }
            note(Arrays.hashCode(bytes));
        }

        private void select(int n) {
            pin(22, (n & 1) != 0);
            pin(23, (n & 2) != 0);
            pin(24, (n & 4) != 0);
        }

        private void note(int value) {
            seen = seen * 0x9E3779B97F4A7C15L + value;
        }
    }
}
