package steamleaf.app.driver.tca9548a;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.mockito.ArgumentMatchers.any;
import static org.mockito.ArgumentMatchers.anyInt;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.when;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.i2c.I2C;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import steamleaf.app.driver.ReferenceRow;
import steamleaf.app.driver.tca9548a.Tca9548a.Answer;

class Tca9548aTest {
    private final I2C i2c = mock(I2C.class);
    private final Tca9548a driver = new Tca9548a(i2c);
    private int control;

    @BeforeEach
    void connect() {
        when(i2c.write(any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            control = ((byte[]) call.getArgument(0))[0] & 0xFF;
                            return 1;
                        });
        when(i2c.read(any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            ((byte[]) call.getArgument(0))[0] = (byte) control;
                            return 1;
                        });
    }

    static List<ReferenceRow> selections() {
        return ReferenceRow.of("sensors.csv", "TCA9548A", "select");
    }

    @ParameterizedTest
    @MethodSource("selections")
    void theControlByteIsThePublishedOne(ReferenceRow row) {
        Answer answer = driver.select((int) row.number("channel"));
        assertEquals(new Answer.Selected(Integer.decode(row.expected())), answer, row::toString);
        assertEquals(Integer.decode(row.expected()), control, row::toString);
    }

    @Test
    void eachChannelHasItsOwnBit() {
        for (int channel = 0; channel < 8; channel++) {
            assertEquals(new Answer.Selected(1 << channel), driver.select(channel));
            assertEquals(1 << channel, control);
        }
        assertEquals(new Answer.Selected(0), driver.closeAll());
        assertEquals(0, control);
    }

    @Test
    void aSwitchThatStaysWhereItWasIsNoticed() {
        driver.select(3);
        when(i2c.write(any(byte[].class), anyInt(), anyInt()))
                .thenReturn(1); // acknowledged, and nothing happened
        assertEquals(new Answer.NotSelected(0x08), driver.select(4));
    }

    @Test
    void aReadThatLeavesTheBufferAloneDoesNotLookRight() {
        when(i2c.read(any(byte[].class), anyInt(), anyInt())).thenReturn(1);
        assertInstanceOf(Answer.NotSelected.class, driver.select(0));
    }

    @Test
    void aBusThatThrowsOrMovesTooLittleIsAValue() {
        when(i2c.read(any(byte[].class), anyInt(), anyInt())).thenReturn(0);
        assertInstanceOf(Answer.NoAnswer.class, driver.select(1));
        when(i2c.write(any(byte[].class), anyInt(), anyInt())).thenReturn(0);
        assertInstanceOf(Answer.NoAnswer.class, driver.select(1));
        when(i2c.write(any(byte[].class), anyInt(), anyInt())).thenThrow(new IOException("stuck"));
        assertEquals(new Answer.NoAnswer("I2C failed: stuck"), driver.select(1));
    }
}
