package steamleaf.app.io;

import com.pi4j.context.Context;
import com.pi4j.io.IO;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalOutputProvider;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.i2c.I2C;
import com.pi4j.io.i2c.I2CProvider;
import com.pi4j.io.spi.Spi;
import com.pi4j.io.spi.SpiMode;
import com.pi4j.io.spi.SpiProvider;
import com.pi4j.provider.Provider;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import steamleaf.app.driver.decoder.DecodedSpi;
import steamleaf.app.driver.max31865.Max31865;

/**
 * The opened board: buses, lines and chips as the wiring says, everything off from the first
 * moment. Gives one {@link Scan} and one {@link Drive}.
 */
public final class Hardware implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Hardware.class);

    private final Context pi4j;
    private final Providers providers;
    private final Wiring wiring;
    private final List<IO<?, ?, ?>> opened = new ArrayList<>();
    private final List<ChipHealth> health = new ArrayList<>();
    private final Map<Integer, I2C> i2c = new HashMap<>();
    private final Map<Integer, DecodedSpi> spi = new HashMap<>();
    private final Scan scan;
    private final Drive drive;

    /** Identifiers of the one provider of each kind. */
    private record Providers(String i2c, String spi, String digitalOutput) {}

    private Hardware(Context pi4j, Wiring wiring, Consumer<String> tell) {
        this.pi4j = pi4j;
        this.wiring = wiring;
        providers =
                new Providers(
                        only(pi4j, I2CProvider.class),
                        only(pi4j, SpiProvider.class),
                        only(pi4j, DigitalOutputProvider.class));
        try {
            Drive.Lines lines = lines(); // first of all, and low
            Parts parts = new Parts(this, wiring, tell);
            drive =
                    new Drive(
                            wiring,
                            lines,
                            parts,
                            name -> health(name, ChipHealth.REST_CYCLES, tell));
            scan = new Scan(wiring, parts);
        } catch (RuntimeException e) {
            release();
            throw e;
        }
    }

    /**
     * Opens everything and puts all outputs to off.
     *
     * @param pi4j a context with exactly one provider each for I2C, SPI and digital outputs
     * @throws IllegalArgumentException naming every problem of the wiring
     * @throws IllegalStateException naming the line or chip that cannot be opened
     */
    public static Hardware open(Context pi4j, Wiring wiring) {
        return open(pi4j, wiring, LOG::warn);
    }

    /**
     * As above; {@code tell} hears one line when a chip turns bad and one when it is well again.
     */
    public static Hardware open(Context pi4j, Wiring wiring, Consumer<String> tell) {
        List<String> problems = wiring.problems();
        if (!problems.isEmpty()) {
            throw new IllegalArgumentException("wiring: " + String.join("; ", problems));
        }
        return new Hardware(pi4j, wiring, tell);
    }

    public Scan scan() {
        return scan;
    }

    public Drive drive() {
        return drive;
    }

    /** Counts of all chips and direct lines since the start. */
    public List<ChipCounts> counts() {
        return health.stream().map(ChipHealth::counts).toList();
    }

    /** All outputs off, as far as they can be reached, and everything given back. */
    @Override
    public void close() {
        try {
            drive.allOff();
        } finally {
            release();
        }
    }

    private void release() {
        for (IO<?, ?, ?> io : opened.reversed()) {
            try {
                pi4j.shutdown(io.id());
            } catch (RuntimeException e) { // the others must still be given back
                LOG.warn("{} cannot be closed: {}", io.id(), e.getMessage());
            }
        }
        opened.clear();
    }

    ChipHealth health(String chip, int rest, Consumer<String> tell) {
        ChipHealth made = new ChipHealth(chip, health.size(), rest, tell);
        health.add(made);
        return made;
    }

    /** One Pi4J device per address: chips behind different channels of a mux share it. */
    I2C i2c(int address) {
        return i2c.computeIfAbsent(address, this::openI2c);
    }

    private I2C openI2c(int address) {
        String id = "i2c-" + wiring.i2cBus() + "-0x" + Integer.toHexString(address);
        return keep(
                id,
                () ->
                        pi4j.create(
                                I2C.newConfigBuilder(pi4j)
                                        .id(id)
                                        .bus(wiring.i2cBus())
                                        .device(address)
                                        .provider(providers.i2c)
                                        .build()));
    }

    /** A thermometer's way to its chip. */
    Max31865.Link link(Wiring.Thermometer thermometer) {
        DecodedSpi decoded = spi.get(thermometer.chipSelect());
        if (decoded == null) {
            throw new IllegalStateException(
                    "chip select " + thermometer.chipSelect() + " was not opened");
        }
        int output = thermometer.output();
        return (write, read) -> decoded.transfer(output, write, read);
    }

    private Drive.Lines lines() {
        Wiring.SpiSelect select = wiring.spi();
        Drive.Lines lines =
                new Drive.Lines(
                        line("contactor", wiring.line().contactor()),
                        line("steam-valve", wiring.steamer().steamValve()),
                        line("second-steam-valve", wiring.steamer().secondSteamValve()),
                        heaters(),
                        line("watchdog", wiring.line().watchdog()));
        DigitalOutput a0 = line("select-a0", select.gpioA0());
        DigitalOutput a1 = line("select-a1", select.gpioA1());
        DigitalOutput a2 = line("select-a2", select.gpioA2());
        for (int chipSelect = 0; chipSelect < 2; chipSelect++) {
            if (used(chipSelect)) {
                spi.put(chipSelect, new DecodedSpi(openSpi(chipSelect), a0, a1, a2));
            }
        }
        return lines;
    }

    private List<DigitalOutput> heaters() {
        List<DigitalOutput> heaters = new ArrayList<>();
        for (int i = 0; i < wiring.ovens().size(); i++) {
            heaters.add(line("oven-" + (i + 1) + "-heater", wiring.ovens().get(i).heater()));
        }
        return heaters;
    }

    private boolean used(int chipSelect) {
        return wiring.steamer().chestA().chipSelect() == chipSelect
                || wiring.steamer().chestB().chipSelect() == chipSelect
                || wiring.ovens().stream().anyMatch(oven -> oven.air().chipSelect() == chipSelect);
    }

    private Spi openSpi(int chipSelect) {
        String id = "spi-" + wiring.spi().bus() + "-" + chipSelect;
        return keep(
                id,
                () ->
                        pi4j.create(
                                Spi.newConfigBuilder(pi4j)
                                        .id(id)
                                        .bus(wiring.spi().bus())
                                        .address(chipSelect)
                                        .mode(SpiMode.MODE_1) // MAX31865 datasheet: modes 1 and 3
                                        .baud(wiring.spi().baudHz())
                                        .provider(providers.spi)
                                        .build()));
    }

    /** Low when opened and low when given back. */
    private DigitalOutput line(String name, int gpio) {
        return keep(
                "gpio-" + gpio + "-" + name,
                () ->
                        pi4j.create(
                                DigitalOutput.newConfigBuilder(pi4j)
                                        .id("gpio-" + gpio + "-" + name)
                                        .address(gpio)
                                        .initial(DigitalState.LOW)
                                        .shutdown(DigitalState.LOW)
                                        .provider(providers.digitalOutput)
                                        .build()));
    }

    private <T extends IO<?, ?, ?>> T keep(String id, java.util.function.Supplier<T> create) {
        try {
            T io = create.get();
            opened.add(io);
            return io;
        } catch (RuntimeException e) {
            throw new IllegalStateException(id + " cannot be opened: " + e.getMessage(), e);
        }
    }

    private static <P extends Provider<?, ?, ?>> String only(Context pi4j, Class<P> kind) {
        List<String> ids =
                pi4j.providers().all().values().stream()
                        .filter(kind::isInstance)
                        .map(provider -> String.valueOf(provider.id()))
                        .toList();
        if (ids.size() != 1) {
            throw new IllegalStateException(
                    "Pi4J offers "
                            + (ids.isEmpty() ? "no " : ids + " as ")
                            + kind.getSimpleName()
                            + ", allowed: exactly one, so that no other can take its place");
        }
        return ids.getFirst();
    }
}
