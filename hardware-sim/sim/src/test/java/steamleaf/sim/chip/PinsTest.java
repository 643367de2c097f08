package steamleaf.sim.chip;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Port expander and pulse controller: what stands at the pins. */
class PinsTest {
    private final Mcp23017 ports = new Mcp23017();
    private final Pca9685 levers = new Pca9685();

    private static void set(I2cChip chip, int... bytes) {
        byte[] frame = new byte[bytes.length];
        for (int i = 0; i < frame.length; i++) {
            frame[i] = (byte) bytes[i];
        }
        assertTrue(chip.write(frame, 0, frame.length));
    }

    private static int get(I2cChip chip, int register) {
        byte[] one = {(byte) register};
        chip.write(one, 0, 1);
        chip.read(one, 0, 1);
        return one[0] & 0xFF;
    }

    @Test
    void oneBurstReadsBothPorts() {
        ports.drive(0xFFFF, 0xA35C);
        byte[] two = {0x12, 0};
        ports.write(two, 0, 1);
        ports.read(two, 0, 2);
        assertEquals((byte) 0x5C, two[0]);
        assertEquals((byte) 0xA3, two[1]);
    }

    @Test
    void oneBurstWritesDirectionAndWrapsAfterTheLastRegister() {
        set(ports, 0x14, 0x81, 0x42, 0x7E, 0xBD); // OLATA, OLATB, then IODIRA, IODIRB
        assertEquals(0x7E, get(ports, 0x00));
        assertEquals(0xBD, get(ports, 0x01));
        assertEquals(0x4281, ports.levels());
    }

    @Test
    void aPinThatNobodyDrivesKeepsItsLevel() {
        set(ports, 0x00, 0x00);
        set(ports, 0x14, 0x10);
        assertTrue(ports.level(4));
        set(ports, 0x00, 0xFF);
        assertTrue(ports.level(4), "an input now, and nobody pulls it");
        ports.powerUp();
        assertTrue(ports.level(4));
        set(ports, 0x00, 0x00);
        assertFalse(ports.level(4), "driven low again");
    }

    @Test
    void invertedInputsReadInverted() {
        set(ports, 0x02, 0xFF);
        ports.drive(0xFFFF, 0x0001);
        assertEquals(0xFE, get(ports, 0x12));
        assertEquals(0x00, get(ports, 0x13));
    }

    @Test
    void theLoopBackWireFollowsItsOutput() {
        ports.loopBack(15, 6);
        set(ports, 0x01, 0x7F); // GPB7 an output
        set(ports, 0x15, 0x80);
        assertEquals(0x40, get(ports, 0x12) & 0x40);
        set(ports, 0x15, 0x00);
        assertEquals(0x00, get(ports, 0x12) & 0x40);
    }

    @Test
    void aFrozenExpanderAnswersButMovesNothing() {
        ports.loopBack(15, 6);
        set(ports, 0x01, 0x7F);
        ports.drive(0x0001, 0x0001);
        ports.freeze(true);
        set(ports, 0x15, 0x80);
        ports.drive(0x0001, 0x0000);
        assertEquals(0x80, get(ports, 0x15), "the register took it");
        assertEquals(0x01, get(ports, 0x12) & 0x41, "the pins did not");
        ports.freeze(false);
        assertEquals(0x40, get(ports, 0x12) & 0x41);
    }

    @Test
    void theOtherRegisterLayoutAndTheByteModeWork() {
        set(ports, 0x0A, 0xA0); // BANK and SEQOP
        set(ports, 0x10, 0x0F); // IODIRB there
        assertEquals(0x0F, get(ports, 0x10));
        set(ports, 0x05, 0x20); // IOCON there: BANK = 0, SEQOP = 1
        assertEquals(0x0F, get(ports, 0x01));
        set(ports, 0x14, 0x01, 0x02, 0x03); // toggles: OLATA, OLATB, OLATA
        assertEquals(0x03, get(ports, 0x14));
        assertEquals(0x02, get(ports, 0x15));
    }

    @Test
    void anOutputIsFullyOffAfterPowerUp() {
        assertEquals(0x11, get(levers, 0x00));
        assertEquals(0x04, get(levers, 0x01));
        assertEquals(0x1E, get(levers, 0xFE));
        assertEquals(0x10, get(levers, 0x09));
        assertEquals(0, levers.duty(0));
    }

    private void wake() {
        set(levers, 0x00, 0x21); // awake, auto increment
        levers.advance(0.001);
    }

    @Test
    void onAndOffCountsMakeTheShare() {
        wake();
        set(levers, 0x06, 0x00, 0x00, 0x00, 0x04); // OFF 1024
        set(levers, 0x0A, 0x00, 0x0C, 0x00, 0x04); // ON 3072, OFF 1024: wraps
        assertEquals(0.25, levers.duty(0));
        assertEquals(0.5, levers.duty(1));
    }

    @Test
    void fullOffWinsOverFullOn() {
        wake();
        set(levers, 0x06, 0x00, 0x10, 0x00, 0x00);
        assertEquals(1.0, levers.duty(0));
        set(levers, 0x06, 0x00, 0x10, 0x00, 0x10);
        assertEquals(0.0, levers.duty(0));
    }

    @Test
    void withoutAutoIncrementABurstHitsOneRegister() {
        set(levers, 0x06, 0x01, 0x02, 0x03, 0x04);
        assertEquals(0x04, get(levers, 0x06));
        assertEquals(0x10, get(levers, 0x09));
    }

    @Test
    void theOutputEnablePinTakesEveryOutputDown() {
        wake();
        set(levers, 0x06, 0x00, 0x10, 0x00, 0x00);
        levers.outputEnable(false);
        assertEquals(0.0, levers.duty(0));
        levers.outputEnable(true);
        assertEquals(1.0, levers.duty(0));
    }

    @Test
    void pulsesStopInSleepAndComeBackOnlyWithARestart() {
        wake();
        set(levers, 0x06, 0x00, 0x00, 0x00, 0x08);
        assertEquals(0.5, levers.duty(0));
        set(levers, 0x00, 0x31);
        assertEquals(0.0, levers.duty(0));
        assertEquals(0x80, get(levers, 0x00) & 0x80);
        wake();
        assertEquals(0.0, levers.duty(0));
        set(levers, 0x00, 0xA1);
        assertEquals(0.5, levers.duty(0));
    }

    @Test
    void thePrescaleChangesOnlyInSleep() {
        set(levers, 0xFE, 0x79);
        wake();
        set(levers, 0xFE, 0x20);
        assertEquals(0x79, get(levers, 0xFE));
    }

    @Test
    void allChannelsAreSetAtOnceThroughTheirCommonRegisters() {
        wake();
        set(levers, 0xFA, 0x00, 0x00, 0x00, 0x08);
        for (int channel = 0; channel < 16; channel++) {
            assertEquals(0.5, levers.duty(channel));
        }
    }
}
