package steamleaf.app.driver;

import static org.mockito.ArgumentMatchers.any;
import static org.mockito.ArgumentMatchers.anyInt;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.when;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.i2c.I2C;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.mockito.Mockito;

/**
 * A register file behind a Pi4J bus: writes go to the pointer in their first byte and on, reads
 * come from there. Subclass or poke {@link #registers} for behaviour. {@link #failing} throws as
 * Pi4J does; {@link #shortBy} cuts reads short.
 */
public class RegisterChip {
    public final int[] registers = new int[256];
    public final List<String> written = new ArrayList<>();
    public boolean failing;
    public int shortBy;

    /** The bus to hand to a driver. */
    public final I2C i2c = mock(I2C.class, Mockito.withSettings().stubOnly());

    @SuppressWarnings("this-escape") // the bus is used only after construction
    public RegisterChip() {
        when(i2c.write(any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            fail();
                            byte[] bytes = call.getArgument(0);
                            int offset = call.getArgument(1);
                            int length = call.getArgument(2);
                            written.add(HexFormat.of().formatHex(bytes, offset, offset + length));
                            int pointer = bytes[offset] & 0xFF;
                            for (int i = 1; i < length; i++) {
                                onWrite((pointer + i - 1) & 0xFF, bytes[offset + i] & 0xFF);
                            }
                            return length;
                        });
        when(i2c.readRegister(anyInt(), any(byte[].class), anyInt(), anyInt()))
                .thenAnswer(
                        call -> {
                            fail();
                            int pointer = call.getArgument(0);
                            byte[] into = call.getArgument(1);
                            int offset = call.getArgument(2);
                            int length = (int) call.getArgument(3) - shortBy;
                            for (int i = 0; i < length; i++) {
                                into[offset + i] = (byte) onRead((pointer + i) & 0xFF);
                            }
                            return length;
                        });
    }

    /** A write reached one register. */
    protected void onWrite(int register, int value) {
        registers[register] = value;
    }

    /** One register is read. */
    protected int onRead(int register) {
        return registers[register];
    }

    private void fail() {
        if (failing) {
            throw new IOException("no acknowledge");
        }
    }
}
