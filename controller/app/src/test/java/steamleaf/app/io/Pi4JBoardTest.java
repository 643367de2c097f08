package steamleaf.app.io;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.pi4j.context.Context;
import java.util.Set;
import org.junit.jupiter.api.Test;

class Pi4JBoardTest {
    /**
     * Only the context is opened, no line and no bus: this test may run on a machine that has some.
     */
    @Test
    void theRealBoardHasTheThreeNamedProvidersAndNoOther() {
        Context pi4j = Pi4JBoard.open();
        assertEquals(
                Set.of("linuxfs-i2c", "linuxfs-spi", "gpiod-digital-output"),
                pi4j.providers().all().keySet());
        pi4j.shutdown();
    }
}
