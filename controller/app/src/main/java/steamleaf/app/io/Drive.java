package steamleaf.app.io;

import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import steamleaf.app.driver.pca9685.Pca9685;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.interlock.OvenOutputs;

/**
 * Puts allowed outputs on the pins; nothing else in the program writes one.
 *
 * <p>Written is what changed; what failed is written again in the next cycle, and once a second
 * every direct line is. The expanders' latches are written and read back by the scan in every
 * cycle, the pulse-width chip is read back here once a second. Of the direct lines, those that go
 * off go before those that go on. From the opening on, before any cycle, everything is off.
 */
public final class Drive {
    /**
     * Direct lines are written again, and the pulse-width chip is checked, every so many cycles.
     */
    private static final int REFRESH_CYCLES = 10;

    /** Steps of a pulse-width duty; smaller changes are not written. */
    private static final int DUTY_STEPS = 4096;

    private static final int UNSURE = -1;

    /**
     * Which outputs the hardware took. The watchdog edge belongs only after a cycle that is {@link
     * #safe}.
     *
     * @param lines contactor, steam valves, heaters
     * @param belt the belt is wanted, or its expander has shown that it lets go of it
     * @param expanders fans, extractor, belt, hood lock, horn, lamps
     * @param pulseWidths dampers, belt speed
     */
    public record Taken(boolean lines, boolean belt, boolean expanders, boolean pulseWidths) {
        public static final Taken ALL = new Taken(true, true, true, true);

        /**
         * Heat, steam and belt are as allowed. If not, the watchdog relay must do what the pins did
         * not: it opens the contactor and takes the belt's speed away.
         */
        public boolean safe() {
            return lines && belt;
        }

        public boolean all() {
            return lines && expanders && pulseWidths;
        }
    }

    /** The direct lines as opened, low. */
    record Lines(
            DigitalOutput contactor,
            DigitalOutput steamValve,
            DigitalOutput secondSteamValve,
            List<DigitalOutput> heaters,
            DigitalOutput watchdog) {}

    /** One direct line and what is known of it. */
    private static final class Line {
        final DigitalOutput output;
        final ChipHealth health;
        boolean wanted;
        boolean written;
        boolean sure;

        Line(DigitalOutput output, Function<String, ChipHealth> health) {
            this.output = output;
            this.health = health.apply(output.id());
        }

        boolean write(boolean refresh) {
            if (sure && written == wanted && !refresh) {
                return true;
            }
            written = wanted;
            try {
                output.state(wanted ? DigitalState.HIGH : DigitalState.LOW);
                sure = true;
                health.answeredWell();
            } catch (
                    RuntimeException
                            failure) { // whatever a provider throws, it is the line's failure, not
                // ours
                sure = false;
                health.silent("cannot be written: " + failure.getMessage());
            }
            return sure;
        }
    }

    /** One bit of one expander. */
    private record Bit(int expander, int mask) {}

    private final Line contactor;
    private final Line steamValve;
    private final Line secondSteamValve;
    private final Line[] heaters;
    private final Line[] lines;
    private final Line watchdog;

    private final Parts.Expander[] expanders;
    private final int[] words;
    private final boolean[] wordSure;
    private final Bit horn;
    private final Bit lampRed;
    private final Bit lampYellow;
    private final Bit lampGreen;
    private final Bit lampBlue;
    private final Bit extractor;
    private final Bit beltRun;
    private final Bit hoodUnlock;
    private final Bit[] fans;

    private final Pca9685 pwm;
    private final ChipHealth pwmHealth;
    private final int beltSpeed;
    private final int[] dampers;
    private final int[] steps = new int[Pca9685.CHANNELS];
    private long applied;

    /** The belt was driven, or nobody knows, and its expander has not shown yet that it stands. */
    private boolean beltMayRun = true;

    Drive(Wiring wiring, Lines opened, Parts parts, Function<String, ChipHealth> health) {
        contactor = new Line(opened.contactor, health);
        steamValve = new Line(opened.steamValve, health);
        secondSteamValve = new Line(opened.secondSteamValve, health);
        heaters = opened.heaters.stream().map(line -> new Line(line, health)).toArray(Line[]::new);
        lines = Arrays.copyOf(heaters, heaters.length + 3);
        lines[heaters.length] = steamValve;
        lines[heaters.length + 1] = secondSteamValve;
        lines[heaters.length + 2] = contactor;
        watchdog = new Line(opened.watchdog, health);

        expanders = parts.expanders.toArray(Parts.Expander[]::new);
        words = new int[expanders.length];
        wordSure = new boolean[expanders.length];
        Wiring.Line line = wiring.line();
        horn = bit(line.horn());
        lampRed = bit(line.lampRed());
        lampYellow = bit(line.lampYellow());
        lampGreen = bit(line.lampGreen());
        lampBlue = bit(line.lampBlue());
        extractor = bit(wiring.steamer().extractor());
        beltRun = bit(wiring.steamer().beltRun());
        hoodUnlock = bit(wiring.steamer().hoodUnlock());
        fans = wiring.ovens().stream().map(oven -> bit(oven.fan())).toArray(Bit[]::new);

        pwm = parts.pwm;
        pwmHealth = parts.pwmHealth;
        beltSpeed = wiring.steamer().beltSpeed();
        dampers = wiring.ovens().stream().mapToInt(Wiring.Oven::damper).toArray();

        for (Parts.Expander expander : expanders) {
            expander.chip().setUp(); // outputs off, then directions
        }
        pwm.setUp();
        allOff();
    }

    /**
     * Writes what is allowed.
     *
     * @return what the hardware took of it; the rest is tried again by the next call
     */
    public Taken apply(AllowedOutputs outputs, Annunciation annunciation) {
        List<OvenOutputs> ovens = outputs.ovens();
        if (ovens.size() != heaters.length) {
            throw new IllegalArgumentException(
                    ovens.size() + " ovens allowed, " + heaters.length + " wired");
        }
        contactor.wanted = outputs.contactor();
        steamValve.wanted = outputs.steamValve();
        secondSteamValve.wanted = outputs.secondSteamValve();
        Arrays.fill(words, 0);
        word(horn, annunciation.horn());
        word(lampRed, annunciation.lampRed());
        word(lampYellow, annunciation.lampYellow());
        word(lampGreen, annunciation.lampGreen());
        word(lampBlue, annunciation.lampBlue());
        word(extractor, outputs.extractor());
        word(beltRun, outputs.beltRun());
        word(hoodUnlock, outputs.hoodUnlock());
        for (int i = 0; i < heaters.length; i++) {
            heaters[i].wanted = ovens.get(i).heater();
            word(fans[i], ovens.get(i).fan());
        }
        boolean refresh = applied % REFRESH_CYCLES == 0;
        boolean linesTaken = writeLines(false, refresh);
        linesTaken &= writeLines(true, refresh);
        boolean wordsTaken = writeWords();
        boolean dutiesTaken = writeDuties(outputs, refresh) && pwmHealth.isWell();
        boolean beltTaken = outputs.beltRun() || beltStands();
        beltMayRun = outputs.beltRun() || !beltTaken;
        applied++;
        return linesTaken && beltTaken && wordsTaken && dutiesTaken
                ? Taken.ALL
                : new Taken(linesTaken, beltTaken, wordsTaken, dutiesTaken);
    }

    /** Taken by the bus is not enough: a chip whose pins froze takes everything. */
    private boolean beltStands() {
        int at = beltRun.expander;
        return !beltMayRun || (wordSure[at] && expanders[at].chip().follows());
    }

    /** Everything off, the watchdog left as it is. */
    public Taken allOff() {
        for (Line line : lines) {
            line.sure = false; // write it, whatever is believed
        }
        Arrays.fill(wordSure, false);
        Arrays.fill(steps, UNSURE);
        return apply(AllowedOutputs.off(heaters.length), Annunciation.DARK);
    }

    /**
     * One edge on the watchdog line. The cycle gives it at its end, if the guard consents and
     * everything went well.
     *
     * @return whether the line took it
     */
    public boolean pulse() {
        watchdog.wanted = !watchdog.wanted;
        return watchdog.write(true);
    }

    private boolean writeLines(boolean level, boolean refresh) {
        boolean taken = true;
        for (Line line : lines) {
            if (line.wanted == level) {
                taken &= line.write(refresh);
            }
        }
        return taken;
    }

    private boolean writeWords() {
        boolean taken = true;
        for (int i = 0; i < expanders.length; i++) {
            Parts.Expander expander = expanders[i];
            if (wordSure[i] && expander.chip().outputs() == words[i]) {
                continue;
            }
            if (expander.health().mayAsk(applied)) {
                wordSure[i] = expander.chip().write(words[i]);
            } else {
                expander.chip().want(words[i]); // its next exchange writes it
                wordSure[i] = false;
            }
            taken &= wordSure[i];
        }
        return taken;
    }

    private boolean writeDuties(AllowedOutputs outputs, boolean check) {
        if (!pwmHealth.mayAsk(applied)) {
            return false;
        }
        boolean taken = writeDuty(beltSpeed, outputs.beltSpeed());
        for (int i = 0; i < dampers.length; i++) {
            taken &= writeDuty(dampers[i], outputs.ovens().get(i).damper());
        }
        if (!taken) {
            pwmHealth.silent("duty not taken");
            return false;
        }
        // a chip that rests is asked in cycles of its own, so it is looked at whenever it may be
        return !(check || !pwmHealth.isWell()) || checkDuties();
    }

    private boolean writeDuty(int channel, double duty) {
        int step =
                (int)
                        Math.round(
                                Math.clamp(Double.isNaN(duty) ? 0.0 : duty, 0.0, 1.0) * DUTY_STEPS);
        if (steps[channel] != step) {
            steps[channel] = pwm.set(channel, duty) ? step : UNSURE;
        }
        return steps[channel] == step;
    }

    private boolean checkDuties() {
        return switch (pwm.check()) {
            case Pca9685.Answer.AsWritten _ -> {
                pwmHealth.answeredWell();
                yield true;
            }
            case Pca9685.Answer.Misconfigured found -> {
                pwmHealth.notBelieved(
                        "register "
                                + Integer.toHexString(found.register())
                                + " reads "
                                + Integer.toHexString(found.found()));
                yield false;
            }
            case Pca9685.Answer.NoAnswer silence -> {
                pwmHealth.silent(silence.why());
                yield false;
            }
        };
    }

    private void word(Bit bit, boolean on) {
        if (on) {
            words[bit.expander] |= bit.mask;
        }
    }

    private Bit bit(Wiring.Pin pin) {
        for (int i = 0; i < expanders.length; i++) {
            if (expanders[i].address() == pin.expander()) {
                return new Bit(i, 1 << pin.pin());
            }
        }
        throw new IllegalArgumentException("no expander for " + pin);
    }
}
