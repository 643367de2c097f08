package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A newcomer at the page, the two real processes behind it, from the intake of a lot to the
 * finished record. Everything is clicked and typed; what to do next is read from the page.
 */
final class BrowserJourneyTest {
    private static final long LONGEST_NS = TimeUnit.MINUTES.toNanos(12);

    /** What the simulated helper says once the physical part of a prompt is done. */
    private static final Map<String, Pattern> DONE =
            Map.of(
                    "feed", Pattern.compile("last of the leaf is on the belt"),
                    "cool-and-load", Pattern.compile("scale show(?:s|ed) ([0-9.]+) kg"),
                    "turn", Pattern.compile("turned and swapped"),
                    "take-out", Pattern.compile("out of oven|rolled|shaped|rests"),
                    "put-back", Pattern.compile("scale show(?:s|ed) ([0-9.]+) kg"),
                    "hand-sample", Pattern.compile("meter shows ([0-9.]+) %"),
                    "weigh", Pattern.compile("scale show(?:s|ed) ([0-9.]+) kg"),
                    "pack", Pattern.compile("scale show(?:s|ed) ([0-9.]+) kg"));

    private final List<String> done = new ArrayList<>();

    /** What was answered, by the prompt's name. */
    private final Map<String, String> answered = new TreeMap<>();

    private String sampled = "";

    /** What was asked for last, and what kept the newcomer from answering. */
    private String lastLook = "";

    @Test
    @Timeout(value = 15, unit = TimeUnit.MINUTES)
    void aNewcomerTakesALotFromIntakeToTheFinishedRecord(@TempDir Path folder) throws Exception {
        try (DemoProcess demo =
                new DemoProcess(folder.resolve("demo"), "--empty", "--speed", "600")) {
            String address = demo.address();
            try (Visitor visitor = new Visitor(address, folder.resolve("profile"))) {
                try {
                    walk(visitor);
                } catch (AssertionError | RuntimeException e) {
                    throw new AssertionError(
                            e.getMessage()
                                    + "\ndone: "
                                    + done
                                    + "\nthe page:\n"
                                    + visitor.path()
                                    + "\n"
                                    + visitor.text()
                                    + "\ndemo:\n"
                                    + demo.story(),
                            e);
                }
            }
        }
    }

    private void walk(Visitor visitor) {
        sayWho(visitor);
        takeIn(visitor);
        plan(visitor);
        start(visitor);
        runToTheEnd(visitor);
        readTheRecord(visitor);
    }

    private void sayWho(Visitor visitor) {
        visitor.open("");
        visitor.page("Who are you?");
        visitor.type("main form.fields input[name=by]", "Ren");
        visitor.click("main form.fields button");
        visitor.await("the way back to the panel", _ -> visitor.path().isEmpty());
    }

    private void takeIn(Visitor visitor) {
        visitor.page("Leaf");
        visitor.awaitText("No leaf waits.");
        visitor.type("input[name=label]", "77");
        visitor.type("input[name=massKg]", "4.3");
        visitor.type("input[name=pluckedAgoH]", "1.5");
        visitor.type("input[name=field]", "Pond terrace");
        visitor.type("input[name=cultivar]", "seedling");
        visitor.click("form[action='/do/take-in-lot'] button.go");
        visitor.awaitText("4.30 kg of leaf waits in one lot");
        note("lot");
    }

    private void plan(Visitor visitor) {
        visitor.click("a.unit[href='/unit/oven-1']");
        visitor.follow("Plan a batch for Oven 1");
        visitor.awaitText("The door of Oven 1 is shut.");
        assertTrue(visitor.text().contains("The emergency stop is released."), "permissives");
        visitor.type("input[name^='kg.']", "5");
        visitor.click("form[action='/do/plan-batch'] button.go");
        visitor.awaitAnswer("Lot 77 has 4.3 kg left; 5 kg were asked for");
        visitor.type("input[name^='kg.']", "4");
        visitor.click("form[action='/do/plan-batch'] button.go");
        visitor.await("the start page", _ -> visitor.path().startsWith("unit/oven-1/start"));
        note("plan");
    }

    private void start(Visitor visitor) {
        visitor.awaitText("Everything is good. Hold the button, then press start at the machine.");
        visitor.hold("[data-hold]", "Press start at the machine within");
        note("armed");
        visitor.click("button[data-press=start]");
        visitor.await("the start", _ -> !visitor.sees("[data-hold]"));
        note("started");
        visitor.click("a.unit[href='/unit/oven-1']");
    }

    /** Does whatever the page asks, until the oven is empty again. */
    private void runToTheEnd(Visitor visitor) {
        long untilNs = System.nanoTime() + LONGEST_NS;
        while (System.nanoTime() < untilNs) {
            if (answered.containsValue("pack") && visitor.text("h1").contains("Oven 1 is empty")) {
                return;
            }
            if (!doesWhatIsAsked(visitor)) {
                visitor.moment();
            }
        }
        throw new AssertionError("the batch did not end in time; last look: " + lastLook);
    }

    /** Whether something was done; what was there a moment ago may be gone when it is clicked. */
    private boolean doesWhatIsAsked(Visitor visitor) {
        String press = wantedPress(visitor);
        if (press != null && visitor.clicked(".say button[data-press='" + press + "']")) {
            note("press " + press);
            visitor.linger(() -> press.equals(wantedPress(visitor)));
            return true;
        }
        String kind = visitor.attribute("button[data-prompt]", "data-prompt");
        String prompt = askedPrompt(visitor);
        if (kind != null && prompt != null) {
            return answersPrompt(visitor, kind, prompt);
        }
        return visitor.clicked("a.must-do.other")
                || (!visitor.path().equals("unit/oven-1")
                        && visitor.clicked("a.unit[href='/unit/oven-1']"));
    }

    private static @Nullable String wantedPress(Visitor visitor) {
        return visitor.attribute(".say button[data-press]", "data-press");
    }

    private static @Nullable String askedPrompt(Visitor visitor) {
        return visitor.attribute("form[action='/do/answer-prompt'] [name=prompt]", "value");
    }

    private boolean answersPrompt(Visitor visitor, String kind, String prompt) {
        Pattern wanted = DONE.get(kind);
        assertTrue(wanted != null, "nobody told the newcomer about " + kind);
        String says = visitor.textOrNothing("[data-helper]");
        lastLook = kind + ", " + prompt + ", " + says;
        Matcher helper = wanted.matcher(says);
        if (!helper.find()) {
            return false; // not done yet
        }
        if (kind.equals("cool-and-load") && !done.contains("judged")) {
            visitor.click(".judge button[value=right]");
            visitor.awaitAnswer("Done");
            note("judged");
        }
        if (kind.equals("put-back") && !done.contains("wanted a time")) {
            assertFalse(visitor.sees(".acts a[href$='/weigh']"), "the mass goes with the answer");
            fitsOnEveryScreen(visitor);
            wantsATime(visitor);
            return true;
        }
        if (kind.equals("hand-sample")) {
            handSample(visitor, helper.group(1));
            answered.put(prompt, kind);
            return true;
        }
        if (helper.groupCount() > 0 && !visitor.typed("[name=massKg]", helper.group(1))) {
            lastLook += ", not typed";
            return false;
        }
        if (visitor.clicked("button[data-prompt='" + kind + "']")) {
            note(kind);
            answered.put(prompt, kind);
            visitor.linger(() -> prompt.equals(askedPrompt(visitor)));
            return true;
        }
        lastLook += ", not clicked";
        return false;
    }

    /** Also where the panel has all its buttons: the leaf is rolled and to be put back. */
    private static void fitsOnEveryScreen(Visitor visitor) {
        for (String language : List.of("en", "ja")) {
            visitor.await(
                    "a page in " + language, _ -> visitor.sees("html[lang=" + language + "]"));
            for (int[] screen : new int[][] {{360, 740}, {800, 480}, {1024, 600}, {1440, 900}}) {
                visitor.screen(screen[0], screen[1]);
                assertEquals("", visitor.misfits(), language + ", " + screen[0] + " wide");
            }
            visitor.click(".menu summary");
            visitor.click(".menu form[action='/language'] button");
        }
        visitor.await("a page in English", _ -> visitor.sees("html[lang=en]"));
        visitor.screen(1024, 700);
    }

    /**
     * Asks with a button for the third half hour, takes what is offered, and thinks better of it.
     */
    private void wantsATime(Visitor visitor) {
        visitor.click(".acts a[href='/unit/oven-1/finish']");
        visitor.await("times to choose from", _ -> visitor.sees(".times"));
        fitsOnEveryScreen(visitor);
        String time = visitor.text(".times button:nth-of-type(3)");
        visitor.click(".times button:nth-of-type(3)");
        visitor.await("what comes of " + time, _ -> visitor.text(".finish").contains(time));
        visitor.click("form[action='/do/accept-finish'] button");
        visitor.awaitText("Accepted: done at");
        visitor.click("form[action='/do/discard-finish'] button");
        visitor.await("the recipe's own air", _ -> !visitor.sees(".finish"));
        note("wanted a time");
    }

    private void handSample(Visitor visitor, String percent) {
        visitor.follow("Oven 1: hand sample");
        visitor.click("form[action='/do/sample-taken'] button.go");
        visitor.type("form[action='/do/sample-value'] input[name=moisture]", percent);
        visitor.click("form[action='/do/sample-value'] input[value=meter]");
        visitor.click("form[action='/do/sample-value'] button.go");
        visitor.awaitText("moisture meter, wet basis");
        note("hand sample");
        sampled = percent;
        visitor.follow("Back to Oven 1");
    }

    private void note(String what) {
        System.err.println(what);
        done.add(what);
    }

    private void readTheRecord(Visitor visitor) {
        assertEquals(
                List.of(), DONE.keySet().stream().filter(k -> !answered.containsValue(k)).toList());
        assertTrue(done.containsAll(List.of("press reset", "press confirm")), "presses");
        visitor.page("Batches");
        visitor.awaitText("One batch");
        visitor.follow("Lot 77");
        visitor.await("the record", _ -> visitor.text("h1").contains("Lot 77 landed at"));
        String sentence = visitor.text("h1");
        Matcher end = Pattern.compile("landed at ([0-9.]+) %").matcher(sentence);
        assertTrue(end.find(), sentence);
        double percent = Double.parseDouble(end.group(1));
        assertTrue(percent >= 4 && percent <= 7, sentence);
        assertFalse(sentence.contains("outside"), sentence);

        assertTrue(visitor.sees("figure.curve svg rect.band"), "the 4–7 % band");
        assertTrue(visitor.count("figure.curve .pic900 rect.stage") >= 6, "stages");
        assertTrue(visitor.sees("figure.curve svg circle.ring"), "the hand sample's ring");
        String told = visitor.text("table.told");
        for (String words :
                List.of(
                        "Planned with recipe standard",
                        "Started.",
                        "The steaming of 77 was right",
                        "50 s under steam",
                        "Cooling.",
                        "Drying.",
                        "Rolling.",
                        "Shaping.",
                        "Resting.",
                        "Weighing.",
                        "Packing.",
                        "Hand sample taken",
                        "Complete.",
                        "by Ren")) {
            assertTrue(told.contains(words), words + " in what happened");
        }
        String record = visitor.text("main");
        for (String words : List.of("Pond terrace", sampled, "moisture meter", "4.00 kg")) {
            assertTrue(record.contains(words), words + " in the record");
        }
        assertFalse(
                Pattern.compile("\\b(phase|prompt|event|opening|doing)\\.[a-z]")
                        .matcher(record)
                        .find(),
                "a text without a translation");
    }
}
