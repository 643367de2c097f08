package steamleaf.app.io;

import com.pi4j.Pi4J;
import com.pi4j.context.Context;
import com.pi4j.plugin.gpiod.provider.gpio.digital.GpioDDigitalOutputProvider;
import com.pi4j.plugin.linuxfs.provider.i2c.LinuxFsI2CProvider;
import com.pi4j.plugin.linuxfs.provider.spi.LinuxFsSpiProvider;

/**
 * The real board: I2C and SPI by the kernel's device files, GPIO by its character device.
 *
 * <p>The three providers are named one by one and nothing is detected: on a board that Pi4J does
 * not recognise, detection would let a mock provider take the place of the real pins without a
 * word. Pi4J's own shutdown hook is off, because the program ends in its own order, outputs first.
 */
public final class Pi4JBoard {
    private Pi4JBoard() {}

    /** Opens the board; throws what Pi4J throws where there is none. */
    public static Context open() {
        return Pi4J.newContextBuilder()
                .noAutoDetect()
                .disableShutdownHook()
                .add(
                        LinuxFsI2CProvider.newInstance(),
                        LinuxFsSpiProvider.newInstance(),
                        GpioDDigitalOutputProvider.newInstance())
                .build();
    }
}
