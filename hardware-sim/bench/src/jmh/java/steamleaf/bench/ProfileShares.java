package steamleaf.bench;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import jdk.jfr.consumer.RecordedEvent;
import jdk.jfr.consumer.RecordedFrame;
import jdk.jfr.consumer.RecordedStackTrace;
import jdk.jfr.consumer.RecordingFile;

/**
 * Shares of a flight recording's CPU-time samples by part of the program: a sample counts for the
 * innermost of our own frames, so what the JDK does for a part is that part's.
 *
 * <p>Run from source: {@code java ProfileShares.java RECORDING [SHARE_TO_SKIP]}: the
 * first share of the recording's time, in 0 to 1, is left out as warming.
 */
public final class ProfileShares {
    /** A part of the program: what it is called, and how its classes' names begin. */
    private record Part(String label, List<String> prefixes) {}

    /** The first part that fits counts. */
    private static final List<Part> PARTS =
            List.of(
                    new Part("moisture estimate", List.of("steamleaf.core.estimate.")),
                    new Part("science (called by the estimate)", List.of("steamleaf.core.science.")),
                    new Part("guard", List.of("steamleaf.core.interlock.")),
                    new Part("alarms", List.of("steamleaf.core.alarm.")),
                    new Part("batch", List.of("steamleaf.core.batch.")),
                    new Part("loops", List.of("steamleaf.core.loop.")),
                    new Part("cycle, readings", List.of("steamleaf.core.")),
                    new Part("chip drivers", List.of("steamleaf.app.driver.")),
                    new Part("scan and drive", List.of("steamleaf.app.io.")),
                    new Part("record: translate", List.of("steamleaf.app.translate.", "steamleaf.contract.")),
                    new Part("record: journal", List.of("steamleaf.app.journal.")),
                    new Part("controller, rest", List.of("steamleaf.app.")),
                    new Part("simulated plant", List.of("steamleaf.sim.plant.", "steamleaf.sim.fault.")),
                    new Part("simulated chips and board", List.of("steamleaf.sim.chip.", "steamleaf.sim.board.")),
                    new Part("trace of the truth", List.of("steamleaf.sim.TraceWriter")),
                    new Part("simulation, rest", List.of("steamleaf.sim.")),
                    new Part("bench and hands", List.of("steamleaf.bench.")));

    private static final String SAMPLE = "jdk.CPUTimeSample";
    private static final String ELSEWHERE = "none of ours on the stack";

    private ProfileShares() {}

    public static void main(String[] args) throws IOException {
        Path recording = Path.of(args[0]);
        double skip = args.length > 1 ? Double.parseDouble(args[1]) : 0.0;
        List<RecordedEvent> samples =
                RecordingFile.readAllEvents(recording).stream()
                        .filter(event -> event.getEventType().getName().equals(SAMPLE))
                        .sorted(Comparator.comparing(RecordedEvent::getStartTime))
                        .toList();
        if (samples.isEmpty()) {
            System.out.println("no " + SAMPLE + " in " + recording + "; were they enabled?");
            return;
        }
        Instant first = samples.getFirst().getStartTime();
        Duration length = Duration.between(first, samples.getLast().getStartTime());
        Instant from = first.plusMillis(Math.round(skip * length.toMillis()));
        Map<String, Integer> byPart = new HashMap<>();
        Map<String, Integer> byMethod = new HashMap<>();
        int all = 0;
        for (RecordedEvent sample : samples) {
            if (sample.getStartTime().isBefore(from)) {
                continue;
            }
            String own = innermostOfOurs(sample.getStackTrace());
            byPart.merge(partOf(own), 1, Integer::sum);
            byMethod.merge(own, 1, Integer::sum);
            all++;
        }
        print("part", byPart, all, Integer.MAX_VALUE);
        print("method (with what the JDK does for it)", byMethod, all, 25);
    }

    private static void print(String title, Map<String, Integer> counts, int all, int most) {
        System.out.printf(Locale.ROOT, "%n%s, of %d samples%n", title, all);
        counts.entrySet().stream()
                .sorted(Map.Entry.<String, Integer>comparingByValue(Comparator.reverseOrder()))
                .limit(most)
                .forEach(
                        entry ->
                                System.out.printf(
                                        Locale.ROOT,
                                        "%6.1f %%  %s%n",
                                        100.0 * entry.getValue() / all,
                                        entry.getKey()));
    }

    private static String innermostOfOurs(RecordedStackTrace trace) {
        if (trace == null) {
            return ELSEWHERE;
        }
        for (RecordedFrame frame : trace.getFrames()) {
            String type = frame.getMethod().getType().getName();
            if (type.startsWith("steamleaf.")) {
                return type + "." + frame.getMethod().getName();
            }
        }
        return ELSEWHERE;
    }

    private static String partOf(String own) {
        for (Part part : PARTS) {
            if (part.prefixes().stream().anyMatch(own::startsWith)) {
                return part.label();
            }
        }
        return ELSEWHERE;
    }
}
