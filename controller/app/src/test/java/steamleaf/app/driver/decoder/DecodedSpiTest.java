package steamleaf.app.driver.decoder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.mockito.ArgumentMatchers.any;
import static org.mockito.ArgumentMatchers.anyInt;
import static org.mockito.Mockito.doThrow;
import static org.mockito.Mockito.inOrder;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.never;
import static org.mockito.Mockito.verify;
import static org.mockito.Mockito.when;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.spi.Spi;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DecodedSpiTest {
    private final Spi spi = mock(Spi.class);
    private final DigitalOutput a0 = mock(DigitalOutput.class);
    private final DigitalOutput a1 = mock(DigitalOutput.class);
    private final DigitalOutput a2 = mock(DigitalOutput.class);
    private final DecodedSpi decoded = new DecodedSpi(spi, a0, a1, a2);

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7})
    void theLinesSpellTheOutputBeforeTheTransfer(int output) {
        when(spi.transfer(any(byte[].class), anyInt(), any(byte[].class), anyInt(), anyInt()))
                .thenReturn(4);
        byte[] write = new byte[4];
        byte[] read = new byte[4];

        assertEquals(4, decoded.transfer(output, write, read));

        var order = inOrder(a0, a1, a2, spi);
        order.verify(a0).state((output & 1) != 0 ? DigitalState.HIGH : DigitalState.LOW);
        order.verify(a1).state((output & 2) != 0 ? DigitalState.HIGH : DigitalState.LOW);
        order.verify(a2).state((output & 4) != 0 ? DigitalState.HIGH : DigitalState.LOW);
        order.verify(spi).transfer(write, 0, read, 0, 4);
    }

    @Test
    void aLineThatCannotBeSetMeansNoTransfer() {
        doThrow(new IOException("no line")).when(a2).state(any());
        assertThrows(IOException.class, () -> decoded.transfer(5, new byte[2], new byte[2]));
        verify(spi, never())
                .transfer(any(byte[].class), anyInt(), any(byte[].class), anyInt(), anyInt());
    }
}
