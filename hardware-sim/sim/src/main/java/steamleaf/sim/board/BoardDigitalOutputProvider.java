package steamleaf.sim.board;

import com.pi4j.context.Context;
import com.pi4j.exception.InitializeException;
import com.pi4j.io.exception.IOException;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalOutputBase;
import com.pi4j.io.gpio.digital.DigitalOutputConfig;
import com.pi4j.io.gpio.digital.DigitalOutputProvider;
import com.pi4j.io.gpio.digital.DigitalOutputProviderBase;
import com.pi4j.io.gpio.digital.DigitalState;

/**
 * Output pins of a board. Made an output, a pin goes low; left alone, it keeps its last level, also
 * after shutdown.
 */
final class BoardDigitalOutputProvider extends DigitalOutputProviderBase
        implements DigitalOutputProvider {
    private final Ends board;

    BoardDigitalOutputProvider(Ends board) {
        super("steamleaf-simulated-digital-output", "Output pins of the simulated board");
        this.board = board;
    }

    @Override
    public DigitalOutput create(DigitalOutputConfig config) {
        int pin = config.address();
        if (pin < 0 || pin >= Gpio.PINS) {
            throw new IOException("the board has no pin " + pin + ", only 0 to " + (Gpio.PINS - 1));
        }
        Pin output = new Pin(board.gpio(), this, config, pin);
        context.registry().add(output);
        return output;
    }

    private static final class Pin extends DigitalOutputBase implements DigitalOutput {
        private final Ends.Pins gpio;
        private final int pin;

        Pin(Ends.Pins gpio, DigitalOutputProvider provider, DigitalOutputConfig config, int pin) {
            super(provider, config);
            this.gpio = gpio;
            this.pin = pin;
        }

        /** The kernel's "out" means out and low. */
        @Override
        public DigitalOutput initialize(Context context) throws InitializeException {
            gpio.drive(pin, false);
            state = DigitalState.LOW;
            return super.initialize(context);
        }

        @Override
        public DigitalOutput state(DigitalState state) {
            if (state != DigitalState.UNKNOWN) {
                gpio.drive(pin, state == DigitalState.HIGH);
            }
            return super.state(state);
        }

        @Override
        public DigitalState state() {
            return gpio.level(pin) ? DigitalState.HIGH : DigitalState.LOW;
        }
    }
}
