package steamleaf.bench.journey;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * A newcomer at the page, the two real processes behind it, from the intake of a lot to the
 * finished record.
 */
final class BrowserJourneyTest {
    private static final long LONGEST_NS = TimeUnit.MINUTES.toNanos(12);
    private static final Pattern SCALE = Pattern.compile("scale show(?:s|ed) ([0-9.]+) kg");
    private static final Pattern METER = Pattern.compile("meter shows ([0-9.]+) %");

    private final List<String> done = new ArrayList<>();

    @Test
    @Timeout(value = 15, unit = TimeUnit.MINUTES)
    void aNewcomerTakesALotFromIntakeToTheFinishedRecord(@TempDir Path folder) throws Exception {
        try (DemoProcess demo =
                new DemoProcess(folder.resolve("demo"), "--empty", "--speed", "600")) {
            String address = demo.address(120);
            try (Visitor visitor = new Visitor(address, folder.resolve("profile"))) {
                walk(visitor);
            } catch (AssertionError | RuntimeException e) {
                throw new AssertionError(
                        e.getMessage() + "\ndone: " + done + "\ndemo:\n" + demo.story(), e);
            }
        }
    }

    private void walk(Visitor visitor) {
        visitor.open("who");
        visitor.type("main input[name=by][required]", "Ren");
        visitor.click("main form.fields button");
        takeIn(visitor);
        plan(visitor);
        start(visitor);
        runToTheEnd(visitor);
        readTheRecord(visitor);
    }

    private void takeIn(Visitor visitor) {
        visitor.open("lots");
        visitor.type("input[name=label]", "77");
        visitor.type("input[name=massKg]", "4.3");
        visitor.type("input[name=pluckedAgoH]", "1.5");
        visitor.type("input[name=field]", "Pond terrace");
        visitor.type("input[name=cultivar]", "seedling");
        visitor.click("form[action='/do/take-in-lot'] button.go");
        visitor.awaitText("4.30 kg of leaf waits");
        done.add("lot");
    }

    private void plan(Visitor visitor) {
        visitor.open("unit/oven-1");
        visitor.follow("Plan a batch for Oven 1");
        visitor.awaitText("good");
        assertTrue(
                visitor.text().contains("Emergency stop")
                        || visitor.text().contains("emergency stop"),
                "permissives are shown");
        visitor.type("input[name^='kg.']", "9");
        visitor.click("form[action='/do/plan-batch'] button.go");
        visitor.await(
                "a refusal that says how much there is",
                driver -> visitor.text("#answer").contains("4.3"));
        visitor.type("input[name^='kg.']", "4");
        visitor.click("form[action='/do/plan-batch'] button.go");
        visitor.await("the start page", _ -> visitor.path().startsWith("unit/oven-1/start"));
        done.add("plan");
    }

    private void start(Visitor visitor) {
        visitor.hold("[data-hold]", "Press start at the machine");
        done.add("armed");
        visitor.click("button[data-press=start]");
        visitor.await("the start", _ -> !visitor.sees("[data-hold]"));
        done.add("started");
    }

    /** Does whatever the page asks, until the oven is empty again. */
    private void runToTheEnd(Visitor visitor) {
        long untilNs = System.nanoTime() + LONGEST_NS;
        visitor.open("unit/oven-1");
        boolean ran = false;
        while (System.nanoTime() < untilNs) {
            String opening = visitor.text("h1");
            ran |= opening.contains("drying") || opening.contains("wanted");
            if (ran && opening.contains("Oven 1 is empty")) {
                return;
            }
            if (!answered(visitor)) {
                visitor.moment();
            }
        }
        throw new AssertionError("the batch did not end in time:\n" + visitor.text());
    }

    private boolean answered(Visitor visitor) {
        if (visitor.sees("a.must-do.other")) {
            return elsewhere(visitor);
        }
        String press = visitor.attribute(".say button[data-press]", "data-press");
        if (press != null && !press.equals("start")) {
            if (visitor.clicked(".say button[data-press=" + press + "]")) {
                note("press " + press);
                visitor.moment();
            }
            return true;
        }
        String prompt = visitor.attribute("button[data-prompt]", "data-prompt");
        if (prompt == null) {
            return false;
        }
        if (prompt.equals("hand-sample")) {
            return handSample(visitor);
        }
        if (visitor.sees("input[name=massKg]")) {
            Matcher scale =
                    SCALE.matcher(
                            visitor.sees("[data-helper]") ? visitor.text("[data-helper]") : "");
            if (!scale.find()) {
                return false; // the helper has not weighed yet
            }
            if (!visitor.typed("input[name=massKg]", scale.group(1))) {
                return true;
            }
        }
        if (!visitor.clicked("button[data-prompt=" + prompt + "]")) {
            return true;
        }
        visitor.await("an answer", _ -> !visitor.text("#answer").isEmpty());
        if (visitor.text("#answer").startsWith("Done")) {
            note(prompt);
        }
        return true;
    }

    /** Another unit waits for somebody: go there, answer, come back. */
    private boolean elsewhere(Visitor visitor) {
        if (!visitor.clicked("a.must-do.other")) {
            return true;
        }
        visitor.await("the other unit", _ -> !visitor.path().equals("unit/oven-1"));
        boolean answered = !visitor.sees("a.must-do.other") && answered(visitor);
        if (!answered) {
            visitor.moment();
        }
        visitor.open("unit/oven-1");
        return answered;
    }

    private boolean handSample(Visitor visitor) {
        Matcher meter =
                METER.matcher(visitor.sees("[data-helper]") ? visitor.text("[data-helper]") : "");
        if (!meter.find()) {
            return false; // the helper has not taken it yet
        }
        visitor.open("unit/oven-1/sample");
        visitor.click("form[action='/do/sample-taken'] button.go");
        visitor.type("form[action='/do/sample-value'] input[name=moisture]", meter.group(1));
        visitor.click("form[action='/do/sample-value'] input[value=meter]");
        visitor.click("form[action='/do/sample-value'] button.go");
        visitor.await("the value", _ -> visitor.text("#answer").startsWith("Done"));
        note("hand sample");
        visitor.open("unit/oven-1");
        return true;
    }

    private void note(String what) {
        done.add(what);
    }

    private void readTheRecord(Visitor visitor) {
        for (String kind : List.of("press reset", "press confirm", "hand sample")) {
            assertTrue(done.contains(kind), "was asked for " + kind + ": " + done);
        }
        visitor.open("batches");
        visitor.follow("Lot 77");
        visitor.await("the record", _ -> visitor.text("h1").contains("landed at"));
        String record = visitor.text();
        for (String words :
                List.of(
                        "steam",
                        "roll",
                        "shape",
                        "rest",
                        "What happened",
                        "Hand samples",
                        "Pond terrace",
                        "by Ren")) {
            assertTrue(record.contains(words), words + " in:\n" + record);
        }
        assertTrue(visitor.sees("figure svg path"), "the curve");
        Matcher end = Pattern.compile("landed at ([0-9.]+) %").matcher(visitor.text("h1"));
        assertTrue(end.find(), visitor.text("h1"));
        double percent = Double.parseDouble(end.group(1));
        assertTrue(percent >= 4 && percent <= 7, visitor.text("h1"));
        assertFalse(record.contains("phase."), record);
    }
}
