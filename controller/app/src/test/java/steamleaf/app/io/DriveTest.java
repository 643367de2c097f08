package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.pi4j.Pi4J;
import com.pi4j.context.Context;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import steamleaf.core.interlock.Allowed;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.interlock.OvenOutputs;
import steamleaf.core.interlock.WantedOutputs;

class DriveTest {
    private static final int CONTACTOR = 12;
    private static final int WATCHDOG = 25;
    private static final int STEAM_VALVE = 17;
    private static final int SECOND_STEAM_VALVE = 27;
    private static final int[] HEATERS = {13, 16, 19};
    private static final List<Integer> HOT =
            List.of(CONTACTOR, STEAM_VALVE, SECOND_STEAM_VALVE, 13, 16, 19);

    private final FakeBoard board = new FakeBoard(Wiring.stock());
    private final List<String> told = new ArrayList<>();
    private final Hardware hardware = Hardware.open(board.context, Wiring.stock(), told::add);
    private final Drive drive = hardware.drive();
    private long cycle;

    @AfterEach
    void close() {
        board.stuckGpio = -1;
        hardware.close();
        board.context.shutdown();
    }

    private static AllowedOutputs on(OvenOutputs... ovens) {
        return Allowed.everything(
                new WantedOutputs(true, true, true, true, 0.5, true, true, List.of(ovens)));
    }

    private static AllowedOutputs everythingOn() {
        OvenOutputs oven = new OvenOutputs(true, true, 1.0);
        return on(oven, oven, oven);
    }

    private static AllowedOutputs off() {
        return AllowedOutputs.off(3);
    }

    private int duty(int channel) {
        int at = 6 + 4 * channel;
        int[] led = board.pwm().content;
        boolean fullOff = (led[at + 3] & 0x10) != 0;
        boolean fullOn = (led[at + 1] & 0x10) != 0;
        return fullOff ? 0 : fullOn ? 4096 : led[at + 2] | ((led[at + 3] & 0x0F) << 8);
    }

    private boolean pin(String name) {
        Wiring.Pin pin = java.util.Objects.requireNonNull(Wiring.stock().outputs().get(name));
        return board.expander(pin.expander()).drives(pin.pin());
    }

    private boolean anythingOn() {
        boolean on = Wiring.stock().outputs().keySet().stream().anyMatch(this::pin);
        for (int gpio : HOT) {
            on |= board.gpio[gpio];
        }
        for (int channel = 0; channel < 4; channel++) {
            on |= duty(channel) != 0;
        }
        return on;
    }

    @Test
    void everythingIsOffFromTheOpeningOnWhateverTheLinesWereBefore() {
        assertFalse(anythingOn());
        assertEquals(
                -CONTACTOR, board.moved.getFirst()); // the first thing the program does to a pin
        for (Wiring.Pin pin : Wiring.stock().outputs().values()) {
            assertEquals(
                    0,
                    board.expander(pin.expander()).content[pin.pin() / 8] >> pin.pin() % 8 & 1,
                    "an output");
        }
    }

    @Test
    void everythingThatIsAllowedGoesOnAndOff() {
        assertTrue(
                drive.apply(everythingOn(), new Annunciation(true, true, true, true, true)).all());
        HOT.forEach(gpio -> assertTrue(board.gpio[gpio], "GPIO " + gpio));
        Wiring.stock().outputs().keySet().forEach(name -> assertTrue(pin(name), name));
        assertEquals(2048, duty(0));
        assertEquals(4096, duty(3));

        assertTrue(drive.apply(off(), Annunciation.DARK).all());
        assertFalse(anythingOn());
    }

    @Test
    void eachOvenHasItsOwnHeaterFanAndDamper() {
        for (int i = 0; i < 3; i++) {
            OvenOutputs[] ovens = {OvenOutputs.OFF, OvenOutputs.OFF, OvenOutputs.OFF};
            ovens[i] = new OvenOutputs(true, true, 0.25 * (i + 1));
            drive.apply(on(ovens), Annunciation.DARK);
            for (int k = 0; k < 3; k++) {
                assertEquals(k == i, board.gpio[HEATERS[k]], "heater " + k);
                assertEquals(k == i, pin("ovens.oven-" + (k + 1) + ".fan"), "fan " + k);
                assertEquals(k == i ? 1024 * (i + 1) : 0, duty(k + 1), "damper " + k);
            }
        }
    }

    @Test
    void eachLampIsItsOwn() {
        drive.apply(off(), new Annunciation(false, true, false, false, false));
        assertTrue(pin("line.lampRed") && !pin("line.lampYellow") && !pin("line.horn"));
        drive.apply(off(), new Annunciation(false, false, true, false, false));
        assertTrue(pin("line.lampYellow") && !pin("line.lampRed") && !pin("line.lampGreen"));
        drive.apply(off(), new Annunciation(false, false, false, true, false));
        assertTrue(pin("line.lampGreen") && !pin("line.lampBlue"));
        drive.apply(off(), new Annunciation(true, false, false, false, true));
        assertTrue(pin("line.lampBlue") && pin("line.horn") && !pin("line.lampGreen"));
    }

    @Test
    void whatGoesOffGoesBeforeWhatGoesOn() {
        drive.apply(
                on(new OvenOutputs(true, true, 0), OvenOutputs.OFF, OvenOutputs.OFF),
                Annunciation.DARK);
        board.moved.clear();
        drive.apply(
                on(OvenOutputs.OFF, OvenOutputs.OFF, new OvenOutputs(true, true, 0)),
                Annunciation.DARK);
        assertTrue(board.moved.indexOf(-13) < board.moved.indexOf(19), board.moved::toString);
    }

    @Test
    void onlyWhatChangedIsWrittenAndOnceASecondEverything() {
        for (int i = 0; i < 15; i++) {
            drive.apply(everythingOn(), Annunciation.DARK);
        }
        int full = 0;
        for (int i = 0; i < 10; i++) {
            board.moved.clear();
            int writes = board.expander(0x20).writes + board.pwm().writes;
            drive.apply(everythingOn(), Annunciation.DARK);
            assertEquals(writes, board.expander(0x20).writes + board.pwm().writes);
            full += board.moved.size() == HOT.size() ? 1 : 0;
            assertTrue(board.moved.isEmpty() || board.moved.size() == HOT.size());
        }
        assertEquals(1, full);
    }

    @Test
    void aLineThatLostItsLevelIsWrittenAgainWithinASecond() {
        drive.apply(off(), Annunciation.DARK);
        board.gpio[13] = true;
        for (int i = 0; i < 10; i++) {
            drive.apply(off(), Annunciation.DARK);
        }
        assertFalse(board.gpio[13]);
    }

    @Test
    void aLineThatFailsIsToldAndTriedAgain() {
        drive.apply(everythingOn(), Annunciation.DARK);
        board.stuckGpio = 16;
        Drive.Taken taken = drive.apply(off(), Annunciation.DARK);
        assertFalse(taken.lines());
        assertEquals(List.of("gpio-16-oven-2-heater: cannot be written: line 16 is gone"), told);
        assertTrue(taken.expanders() && taken.pulseWidths());
        assertFalse(
                board.gpio[13] || board.gpio[19] || board.gpio[CONTACTOR],
                "the others go off all the same");
        assertFalse(drive.apply(off(), Annunciation.DARK).lines());
        board.stuckGpio = -1;
        assertTrue(drive.apply(off(), Annunciation.DARK).lines());
        assertFalse(board.gpio[16]);
    }

    private Drive.Taken scanned(AllowedOutputs outputs) {
        hardware.scan().scan(cycle++);
        return drive.apply(outputs, Annunciation.DARK);
    }

    @Test
    void aBeltThatNobodyHasSeenStopIsNotSafe() {
        assertFalse(scanned(off()).safe());
        assertTrue(scanned(off()).safe(), "its expander followed twice");
    }

    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void aBeltWhoseExpanderDoesNotLetGoOfItIsNotSafe(boolean answers) {
        scanned(off());
        assertTrue(scanned(everythingOn()).safe());
        FakeBoard.Expander chip = board.expander(0x21);
        chip.wire = !answers; // takes everything, and its pins follow nothing
        chip.silent = !answers;
        scanned(everythingOn());
        assertTrue(scanned(everythingOn()).safe(), "it is wanted");
        assertFalse(scanned(off()).safe());
        assertTrue(scanned(off()).lines());
        chip.wire = true;
        chip.silent = false;
        for (int n = 0; n < 12; n++) {
            scanned(off()); // a chip that was silent is asked every tenth cycle
        }
        assertTrue(scanned(off()).safe(), "it has been seen to let go");
        chip.silent = true;
        assertTrue(scanned(off()).safe(), "it stood before");
    }

    @Test
    void dampersAndBeltSpeedAreTakenAgainOnceTheirChipReadsBackWell() {
        board.pwm().silent = true;
        for (int n = 0; n < 60; n++) {
            scanned(off());
        }
        assertFalse(scanned(off()).pulseWidths(), "also between two looks at it");
        assertTrue(scanned(off()).safe());
        board.pwm().silent = false;
        for (int n = 0; n < 20; n++) {
            scanned(off());
        }
        assertTrue(scanned(off()).pulseWidths());
    }

    @Test
    void anExpanderThatFailsIsToldAndTriedAgain() {
        board.expander(0x23).silent = true;
        assertFalse(drive.apply(everythingOn(), Annunciation.DARK).expanders());
        assertFalse(drive.apply(everythingOn(), Annunciation.DARK).expanders());
        board.expander(0x23).silent = false;
        assertTrue(drive.apply(everythingOn(), Annunciation.DARK).expanders());
        assertTrue(pin("ovens.oven-3.fan"));
    }

    @Test
    void anExpanderThatLostItsSupplyDrivesAgainAfterTheNextScan() {
        drive.apply(everythingOn(), Annunciation.DARK);
        board.expander(0x22).powerOn();
        assertFalse(pin("ovens.oven-1.fan"));
        hardware.scan().scan(1);
        assertTrue(pin("ovens.oven-1.fan"));
    }

    @Test
    void aPulseWidthChipThatLostItsSupplyDrivesAgainWithinASecond() {
        drive.apply(everythingOn(), Annunciation.DARK);
        java.util.Arrays.fill(board.pwm().content, 0);
        board.pwm().content[0] = 0x11;
        boolean told = false;
        for (int i = 0; i < 10; i++) {
            told |= !drive.apply(everythingOn(), Annunciation.DARK).pulseWidths();
        }
        assertTrue(told);
        assertEquals(4096, duty(2));
        assertTrue(drive.apply(everythingOn(), Annunciation.DARK).all());
    }

    @Test
    void theWatchdogMovesOnlyWhenTold() {
        int before = board.edges[WATCHDOG];
        for (int i = 0; i < 20; i++) {
            drive.apply(everythingOn(), Annunciation.DARK);
        }
        assertEquals(before, board.edges[WATCHDOG]);
        assertTrue(drive.pulse());
        assertTrue(drive.pulse());
        assertEquals(before + 2, board.edges[WATCHDOG]);
        board.stuckGpio = WATCHDOG;
        assertFalse(drive.pulse());
    }

    @Test
    void closingPutsEverythingOffAndGivesTheBoardBack() {
        drive.apply(everythingOn(), new Annunciation(true, true, true, true, true));
        hardware.close();
        assertFalse(anythingOn());
        try (Hardware again = Hardware.open(board.context, Wiring.stock(), told::add)) {
            assertTrue(again.drive().apply(off(), Annunciation.DARK).all());
        }
    }

    @Test
    void aContextThatEndsWithoutTheProgramStillPutsTheLinesOff() {
        FakeBoard other = new FakeBoard(Wiring.stock());
        Hardware left = Hardware.open(other.context, Wiring.stock(), told::add);
        left.drive().apply(everythingOn(), Annunciation.DARK);
        other.context.shutdown();
        HOT.forEach(gpio -> assertFalse(other.gpio[gpio], "GPIO " + gpio));
    }

    @Test
    void closingWithADeadBusStillPutsTheLinesOff() {
        drive.apply(everythingOn(), Annunciation.DARK);
        board.busGone = true;
        hardware.close();
        HOT.forEach(gpio -> assertFalse(board.gpio[gpio], "GPIO " + gpio));
    }

    @Test
    void outputsForAnotherLineAreAMistakeOfTheProgram() {
        assertThrows(
                IllegalArgumentException.class,
                () -> drive.apply(AllowedOutputs.off(2), Annunciation.DARK));
    }

    @Test
    void aContextWithoutExactlyOneProviderOfEachKindIsRefused() {
        Context empty = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook().build();
        IllegalStateException refused =
                assertThrows(
                        IllegalStateException.class, () -> Hardware.open(empty, Wiring.stock()));
        assertTrue(
                String.valueOf(refused.getMessage()).contains("exactly one"), refused::getMessage);
        empty.shutdown();
    }

    @Test
    void aWiringThatDoesNotFitTogetherIsRefusedWithAllItsProblems() {
        Wiring stock = Wiring.stock();
        Wiring.Oven oven = stock.ovens().getFirst();
        Wiring twice =
                new Wiring(
                        stock.i2cBus(),
                        stock.spi(),
                        stock.thermometers(),
                        stock.muxes(),
                        stock.expanders(),
                        stock.pwm(),
                        stock.line(),
                        stock.steamer(),
                        List.of(oven, oven));
        IllegalArgumentException refused =
                assertThrows(
                        IllegalArgumentException.class, () -> Hardware.open(board.context, twice));
        assertTrue(String.valueOf(refused.getMessage()).contains("GPIO 13"), refused::getMessage);
        assertTrue(String.valueOf(refused.getMessage()).contains("damper"), refused::getMessage);
    }
}
