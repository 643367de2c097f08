package steamleaf.sim.board;

import com.pi4j.io.exception.IOException;
import com.pi4j.io.gpio.digital.DigitalInput;
import com.pi4j.io.gpio.digital.DigitalInputBase;
import com.pi4j.io.gpio.digital.DigitalInputConfig;
import com.pi4j.io.gpio.digital.DigitalInputProvider;
import com.pi4j.io.gpio.digital.DigitalInputProviderBase;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.gpio.digital.PullResistance;

/**
 * Input pins of a circuit, for asking. They send no events: nothing happens on its own while time
 * is handed in.
 */
final class BoardDigitalInputProvider extends DigitalInputProviderBase
        implements DigitalInputProvider {
    private final Ends board;

    BoardDigitalInputProvider(Ends board) {
        super("steamleaf-simulated-digital-input", "Input pins of the simulated board");
        this.board = board;
    }

    @Override
    public DigitalInput create(DigitalInputConfig config) {
        int pin = config.address();
        if (pin < 0 || pin >= Gpio.PINS) {
            throw new IOException("the board has no pin " + pin + ", only 0 to " + (Gpio.PINS - 1));
        }
        Ends.Pins gpio = board.gpio();
        if (config.pull() == PullResistance.PULL_UP || config.pull() == PullResistance.PULL_DOWN) {
            gpio.pull(pin, config.pull() == PullResistance.PULL_UP);
        }
        Pin input = new Pin(gpio, this, config, pin);
        context.registry().add(input);
        return input;
    }

    private static final class Pin extends DigitalInputBase implements DigitalInput {
        private final Ends.Pins gpio;
        private final int pin;

        Pin(Ends.Pins gpio, DigitalInputProvider provider, DigitalInputConfig config, int pin) {
            super(provider, config);
            this.gpio = gpio;
            this.pin = pin;
        }

        @Override
        public DigitalState state() {
            return gpio.level(pin) ? DigitalState.HIGH : DigitalState.LOW;
        }
    }
}
