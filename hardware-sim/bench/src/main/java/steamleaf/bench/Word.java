package steamleaf.bench;

import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.plant.Button;

/** What the demo's terminal understands: plain words, one line each. */
sealed interface Word {
    record Press(Button button) implements Word {}

    record EmergencyStop(boolean pressed) implements Word {}

    record Key(boolean on) implements Word {}

    record Door(int oven, boolean open) implements Word {}

    record Hood(boolean open) implements Word {}

    /**
     * @param kind a word of the fault catalogue
     * @param size in the catalogue's unit, NaN when not given
     * @param forS infinite when not given
     */
    record Break(String component, String kind, double size, double forS) implements Word {}

    /**
     * @param component null: everything
     */
    record Mend(@Nullable String component, @Nullable String kind) implements Word {}

    record Network(boolean there) implements Word {}

    record HandsAre(boolean on) implements Word {}

    record Pace(long times) implements Word {}

    record What() implements Word {}

    record Faults() implements Word {}

    record Help() implements Word {}

    record End() implements Word {}

    /** Not a word; says what is. */
    record Misunderstood(String why) implements Word {}

    String HELP =
            """
            press start | reset | confirm | silence     a button at the simulated machine
            press emergency stop · release emergency stop
            turn key on | off
            open door N · close door N · open hood · close hood
            short oven N · unplug oven N · burn fan N   things break: thermometer shorted, wire off, fan dead
            stick heater N · jam damper N · cut steam · smoke
            break COMPONENT KIND [SIZE] [for SECONDS]   anything of the fault catalogue; "faults" lists it
            mend all · mend COMPONENT KIND
            cut network · mend network                  the broker goes and comes back
            hands on | off                              the simulated helper also answers and presses, or only carries
            pace N                                      times real time while nobody is waited for, 1 to 600
            what                                        what is going on
            stop                                        end everything""";

    /** Reads one line. */
    static Word of(String line) {
        String text = line.strip().toLowerCase(Locale.ROOT).replaceAll("\\s+", " ");
        for (Form form : FORMS) {
            Matcher matcher = form.pattern.matcher(text);
            if (matcher.matches()) {
                return form.make.apply(matcher);
            }
        }
        return new Misunderstood("\"" + line.strip() + "\" is not understood. There are:\n" + HELP);
    }

    /** One form of words and what it means. */
    record Form(Pattern pattern, java.util.function.Function<Matcher, Word> make) {
        static Form of(String regex, java.util.function.Function<Matcher, Word> make) {
            return new Form(Pattern.compile(regex), make);
        }

        /** {@code words N}: a thing that happens to oven N. */
        static Form oven(String words, String component, String kind) {
            return of(
                    words + " ([1-8])",
                    m ->
                            new Break(
                                    "oven-" + m.group(1) + "." + component,
                                    kind,
                                    Double.NaN,
                                    Double.POSITIVE_INFINITY));
        }

        static Form line(String words, String component, String kind) {
            return of(words, _ -> new Break(component, kind, Double.NaN, Double.POSITIVE_INFINITY));
        }
    }

    List<Form> FORMS =
            List.of(
                    Form.of("press emergency stop", _ -> new EmergencyStop(true)),
                    Form.of("release emergency stop", _ -> new EmergencyStop(false)),
                    Form.of(
                            "press (start|reset|confirm|silence)",
                            m -> new Press(Button.valueOf(m.group(1).toUpperCase(Locale.ROOT)))),
                    Form.of("turn key (on|off)", m -> new Key(m.group(1).equals("on"))),
                    Form.of(
                            "(open|close) door ([1-8])",
                            m -> new Door(Integer.parseInt(m.group(2)), m.group(1).equals("open"))),
                    Form.of("(open|close) hood", m -> new Hood(m.group(1).equals("open"))),
                    Form.oven("short oven", "air", "short"),
                    Form.oven("unplug oven", "air", "open"),
                    Form.oven("burn fan", "fan", "lost"),
                    Form.oven("stick heater", "heater-relay", "stuck-on"),
                    Form.oven("jam damper", "damper", "stuck-at"),
                    Form.line("cut steam", "steam", "lost"),
                    Form.line("smoke", "smoke", "present"),
                    Form.of("(cut|mend) network", m -> new Network(m.group(1).equals("mend"))),
                    Form.of("mend( all)?", _ -> new Mend(null, null)),
                    Form.of("mend (\\S+) (\\S+)", m -> new Mend(m.group(1), m.group(2))),
                    Form.of(
                            "break (\\S+) ([a-z-]+)( -?[0-9.]+)?( for ([0-9.]+))?",
                            m ->
                                    new Break(
                                            m.group(1),
                                            m.group(2),
                                            number(m.group(3), Double.NaN),
                                            number(m.group(5), Double.POSITIVE_INFINITY))),
                    Form.of("hands (on|off)", m -> new HandsAre(m.group(1).equals("on"))),
                    Form.of("pace ([0-9]{1,3})", m -> paced(Long.parseLong(m.group(1)))),
                    Form.of("what", _ -> new What()),
                    Form.of("faults", _ -> new Faults()),
                    Form.of("help|\\?", _ -> new Help()),
                    Form.of("stop|quit|exit", _ -> new End()));

    private static Word paced(long times) {
        return times >= 1 && times <= 600
                ? new Pace(times)
                : new Misunderstood("pace " + times + ", allowed: 1 to 600 times real time");
    }

    private static double number(@Nullable String text, double otherwise) {
        if (text == null) {
            return otherwise;
        }
        try {
            return Double.parseDouble(text.strip());
        } catch (NumberFormatException e) {
            return otherwise;
        }
    }
}
