package steamleaf.bench.journey;

import java.io.BufferedReader;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import steamleaf.bench.Demo;

/** The demo as a person starts it: a process with its own child, ended with everything below it. */
final class DemoProcess implements AutoCloseable {
    private static final Pattern ADDRESS =
            Pattern.compile("http://127\\.0\\.0\\.1:[0-9]+/(?!metrics)");

    private final Process process;
    private final BufferedWriter words;
    private final BlockingQueue<String> said = new LinkedBlockingQueue<>();
    private final List<String> all = new ArrayList<>();

    DemoProcess(Path folder, String... options) throws IOException {
        List<String> command =
                new ArrayList<>(
                        List.of(
                                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                                "--enable-native-access=ALL-UNNAMED",
                                "--sun-misc-unsafe-memory-access=allow",
                                "-XX:+UseSerialGC",
                                "-Xmx512m",
                                "-cp",
                                System.getProperty(
                                        "surefire.test.class.path",
                                        System.getProperty("java.class.path")),
                                Demo.class.getName(),
                                "--folder",
                                folder.toString()));
        command.addAll(List.of(options));
        process = new ProcessBuilder(command).redirectErrorStream(true).start();
        words = process.outputWriter(StandardCharsets.UTF_8);
        Thread.ofPlatform().daemon().name("demo-output").start(this::read);
    }

    private void read() {
        try (BufferedReader lines = process.inputReader(StandardCharsets.UTF_8)) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                synchronized (all) {
                    all.add(line);
                }
                said.add(line);
            }
        } catch (IOException e) {
            said.add("its output ended: " + e);
        }
    }

    /** The address it invites to. */
    String address(long withinS) throws InterruptedException {
        long untilNs = System.nanoTime() + TimeUnit.SECONDS.toNanos(withinS);
        while (System.nanoTime() < untilNs) {
            String line = said.poll(1, TimeUnit.SECONDS);
            @Nullable Matcher found = line == null ? null : ADDRESS.matcher(line);
            if (found != null && line != null && line.contains("Open") && found.find()) {
                return found.group();
            }
            if (!process.isAlive() && said.isEmpty()) {
                break;
            }
        }
        throw new IllegalStateException("the demo gave no address:\n" + story());
    }

    /** One line of words, as typed in its terminal. */
    void type(String line) {
        try {
            words.write(line);
            words.newLine();
            words.flush();
        } catch (IOException e) {
            throw new UncheckedIOException(story(), e);
        }
    }

    String story() {
        synchronized (all) {
            return String.join("\n", all);
        }
    }

    @Override
    public void close() {
        List<ProcessHandle> below = process.descendants().toList();
        process.destroy();
        try {
            if (!process.waitFor(20, TimeUnit.SECONDS)) {
                process.destroyForcibly();
            }
        } catch (InterruptedException e) {
            process.destroyForcibly();
            Thread.currentThread().interrupt();
        }
        below.forEach(ProcessHandle::destroyForcibly);
    }
}
