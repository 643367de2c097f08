package steamleaf.app.driver.mcp23017;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.app.driver.ReferenceRow;
import steamleaf.app.driver.RegisterChip;
import steamleaf.app.driver.mcp23017.Mcp23017.Answer;

class Mcp23017Test {
    private static final int LOOP_OUT = 15;
    private static final int LOOP_IN = 6;
    private static final int OUTPUTS = 1 << LOOP_OUT | 1 << 7 | 1 << 9;

    /** Pins that follow direction and latch, with a wire from GPB7 to GPA6. */
    private static final class Chip extends RegisterChip {
        int outside;
        boolean wire = true;
        private boolean frozen;

        Chip() {
            powerOn();
        }

        void powerOn() {
            java.util.Arrays.fill(registers, 0);
            registers[0x00] = 0xFF; // POR of IODIRA and IODIRB
            registers[0x01] = 0xFF;
        }

        /** The bus goes on, the pins stay as they are. */
        void freeze() {
            onRead(0x12);
            frozen = true;
        }

        void thaw() {
            frozen = false;
        }

        int pins() {
            int inputs = registers[0x00] | (registers[0x01] << 8);
            int latch = registers[0x14] | (registers[0x15] << 8);
            int levels = (outside & inputs) | (latch & ~inputs);
            return wire && ((levels >> LOOP_OUT) & 1) != 0
                    ? levels | 1 << LOOP_IN
                    : levels & ~(1 << LOOP_IN);
        }

        @Override
        protected int onRead(int register) {
            if (!frozen) {
                registers[0x12] = pins() & 0xFF;
                registers[0x13] = pins() >> 8;
            }
            return super.onRead(register);
        }
    }

    private final Chip chip = new Chip();
    private final Mcp23017 driver = new Mcp23017(chip.i2c, OUTPUTS, LOOP_OUT, LOOP_IN);

    /** Set up, and the loop-back seen to follow once, so that the next exchange can be believed. */
    private void start() {
        driver.setUp();
        assertInstanceOf(Answer.Proving.class, driver.exchange());
    }

    /** How many of ten exchanges claim to know the pins. */
    private int believed() {
        int believed = 0;
        for (int i = 0; i < 10; i++) {
            believed += driver.exchange() instanceof Answer.Pins ? 1 : 0;
        }
        return believed;
    }

    @Test
    void resetValuesAndAddressesAreThePublishedOnes() {
        ReferenceRow direction = ReferenceRow.one("sensors.csv", "MCP23017", "IODIRA/IODIRB");
        assertEquals("00h/01h POR 1111 1111", direction.expected());
        ReferenceRow latch = ReferenceRow.one("sensors.csv", "MCP23017", "OLATA/OLATB");
        assertTrue(latch.expected().startsWith("14h"), latch::toString);
        assertEquals(0x14, Mcp23017.OLATA, latch::toString);
        ReferenceRow pullUps = ReferenceRow.one("sensors.csv", "MCP23017", "GPPU");
        assertTrue(pullUps.expected().startsWith("0Ch/0Dh"), pullUps::toString);
        assertEquals(0x0D, Mcp23017.GPPUB, pullUps::toString);
    }

    @Test
    void latchesAreWrittenBeforeDirections() {
        driver.write(1 << 7);
        chip.written.clear();
        assertTrue(driver.setUp());
        assertEquals("148000", chip.written.get(0));
        assertEquals("007f7d000000000000000000000000", chip.written.get(1));
        assertEquals(2, chip.written.size());
    }

    @Test
    void everyInputPinIsReadOnItsOwn() {
        start();
        for (int pin = 0; pin < 16; pin++) {
            boolean input = ((OUTPUTS >> pin) & 1) == 0 && pin != LOOP_IN;
            chip.outside = 1 << pin;
            int levels = assertInstanceOf(Answer.Pins.class, driver.exchange()).levels();
            int free = ~(OUTPUTS | (1 << LOOP_IN));
            assertEquals(input ? 1 << pin : 0, levels & free, "pin " + pin);
        }
    }

    @Test
    void onlyOutputPinsAreDriven() {
        start();
        driver.write(0xFFFF);
        assertEquals(1 << 7 | 1 << 9, driver.outputs());
        Answer.Pins pins = assertInstanceOf(Answer.Pins.class, driver.exchange());
        assertTrue(pins.high(7) && pins.high(9) && !pins.high(0));
        driver.write(1 << 9);
        pins = assertInstanceOf(Answer.Pins.class, driver.exchange());
        assertTrue(!pins.high(7) && pins.high(9));
    }

    @Test
    void theLoopBackTurnsOverEachTime() {
        start();
        boolean first = assertInstanceOf(Answer.Pins.class, driver.exchange()).high(LOOP_IN);
        boolean second = assertInstanceOf(Answer.Pins.class, driver.exchange()).high(LOOP_IN);
        assertEquals(!first, second);
    }

    @Test
    void aBrokenLoopIsBelievedOnceAtTheMost() {
        start();
        chip.wire = false;
        assertTrue(believed() <= 1);
        chip.wire = true;
        driver.exchange();
        assertEquals(10, believed());
    }

    @Test
    void frozenPinsAreBelievedOnceAtTheMost() {
        start();
        for (int before = 0; before < 2; before++) { // frozen with the loop-back at either level
            chip.outside = 0x3F; // everything healthy, and then the chip freezes
            assertInstanceOf(Answer.Pins.class, driver.exchange());
            chip.freeze();
            chip.outside = 0;
            assertTrue(believed() <= 1);
            chip.thaw();
            driver.exchange();
            driver.exchange();
        }
    }

    @Test
    void aLostSupplyIsNoticedAtOnceAndPutRight() {
        start();
        driver.write(1 << 9);
        driver.exchange();
        chip.powerOn();
        assertEquals(new Answer.Misconfigured(0x00, 0xFF), driver.exchange());
        assertInstanceOf(Answer.Proving.class, driver.exchange());
        Answer.Pins pins = assertInstanceOf(Answer.Pins.class, driver.exchange());
        assertTrue(pins.high(9));
    }

    @ParameterizedTest
    @ValueSource(ints = {0x00, 0x01, 0x02, 0x03, 0x04, 0x05, 0x0A, 0x0B, 0x0C, 0x0D})
    void anyChangedRegisterIsNoticedAndPutRight(int register) {
        start();
        driver.exchange();
        chip.registers[register] ^= 0x01;
        int found = chip.registers[register];
        assertEquals(new Answer.Misconfigured(register, found), driver.exchange());
        assertInstanceOf(Answer.Proving.class, driver.exchange());
        assertInstanceOf(Answer.Pins.class, driver.exchange());
    }

    @Test
    void aLatchThatDoesNotTakeIsNoticed() {
        RegisterChip deaf =
                new RegisterChip() {
                    @Override
                    protected void onWrite(int register, int value) {
                        if (register < 0x14) {
                            super.onWrite(register, value);
                        }
                    }
                };
        Mcp23017 onDeaf = new Mcp23017(deaf.i2c, OUTPUTS, LOOP_OUT, LOOP_IN);
        onDeaf.setUp();
        assertInstanceOf(Answer.Misconfigured.class, onDeaf.exchange());
    }

    @Test
    void aBusThatThrowsOrMovesTooLittleIsAValue() {
        driver.setUp();
        chip.shortBy = 1;
        assertTrue(
                assertInstanceOf(Answer.NoAnswer.class, driver.exchange())
                        .why()
                        .contains("21 of 22"));
        chip.failing = true;
        assertInstanceOf(Answer.NoAnswer.class, driver.exchange());
        assertFalse(driver.write(0));
        assertFalse(driver.setUp());
    }

    @Test
    void aLoopThatCannotWorkIsRefused() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new Mcp23017(chip.i2c, 1 << 7, LOOP_OUT, LOOP_IN));
        assertThrows(
                IllegalArgumentException.class,
                () -> new Mcp23017(chip.i2c, 1 << LOOP_OUT | 1 << LOOP_IN, LOOP_OUT, LOOP_IN));
    }
}
