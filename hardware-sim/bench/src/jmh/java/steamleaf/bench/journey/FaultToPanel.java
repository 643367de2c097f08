package steamleaf.bench.journey;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;

/**
 * From a thermometer that is shorted at its chip to the alarm on the panel of a second process, at
 * real time: scan, guard, alarm, durable record, broker, monitor, browser. Beside it the cycle's own
 * period, which a fault waits for half of in the mean. {@code FaultToPanel N DIR}.
 */
public final class FaultToPanel {
    private static final double PERIOD_MS = 100;
    private static final String ALARM = "oven-1.air-sensor-bad";
    private static final String SHOWN =
            """
            (async () => {
              window.shown = [];
              let was = false;
              const look = () => {
                const is = [...document.querySelectorAll('[data-alarm]')]
                  .some(a => a.dataset.alarm === 'oven-1.air-sensor-bad');
                if (is && !was) window.shown.push(performance.timeOrigin + performance.now());
                was = is;
              };
              new MutationObserver(look).observe(document.body, {subtree: true, childList: true});
              return 0;
            })()
            """;

    private FaultToPanel() {}

    public static void main(String[] args) throws Exception {
        int times = Integer.parseInt(args[0]);
        Path folder = Path.of(args[1]);
        Files.createDirectories(folder);
        int port = SimulatedLineProcess.freePort();
        Path lineFolder = Files.createTempDirectory(folder, "line");
        try (Child line = SimulatedLineProcess.start(lineFolder, port);
                Outside outside = new Outside(port, "kei");
                Child monitor =
                        MonitorProcess.start(Files.createTempDirectory(folder, "monitor"), port)) {
            String said = monitor.awaitLine("Steamleaf monitor: http://");
            line.say("pace 1");
            try (Visitor panel =
                    new Visitor(
                            said.substring(said.indexOf("http://")),
                            Files.createTempDirectory(folder, "panel"))) {
                panel.open("alarms");
                panel.script(SHOWN);
                double[] ms = new double[times];
                for (int i = 0; i < times; i++) {
                    ms[i] = once(line, outside, panel, i);
                }
                Arrays.sort(ms);
                for (int percent : new int[] {50, 90, 99}) {
                    double at = ms[Math.min(ms.length - 1, ms.length * percent / 100)];
                    System.out.printf(
                            Locale.ROOT,
                            "p%d of %d: %.0f ms, %.2f cycle periods%n",
                            percent,
                            times,
                            at,
                            at / PERIOD_MS);
                }
            }
        }
    }

    private static double once(Child line, Outside outside, Visitor panel, int i) {
        int heard = outside.now();
        Instant now = Instant.now();
        line.say("short oven 1");
        double shownMs =
                panel.await(
                        "the alarm",
                        _ -> {
                            Object at = panel.script("window.shown[" + i + "]");
                            return at == null ? null : ((Number) at).doubleValue();
                        });
        double ms = shownMs - (now.getEpochSecond() * 1e3 + now.getNano() / 1e6);
        line.say("mend all");
        outside.moved("oven-1", "acknowledge", Map.of("alarm", ALARM));
        outside.await(
                Outside.AT + "alarm/" + ALARM,
                heard,
                Child.PATIENCE,
                a -> a.path("state").asText().equals("acknowledged"));
        while (!state(outside).equals("normal")) {
            outside.moved("line", "arm", Map.of("action", "reset"));
            outside.press("reset");
            panel.linger(() -> !state(outside).equals("normal"));
        }
        panel.await("a quiet page", _ -> !panel.sees("[data-alarm='" + ALARM + "']"));
        return ms;
    }

    private static String state(Outside outside) {
        return Outside.json(
                        Objects.requireNonNull(
                                outside.heard(Outside.AT + "alarm/" + ALARM).getLast().text()))
                .path("state")
                .asText();
    }
}
