package steamleaf.bench.journey;

import java.io.BufferedReader;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** A process of its own, ended with the test that started it. */
final class Child implements AutoCloseable {
    /** Generous: several builds may share two cores. */
    static final Duration PATIENCE = Duration.ofSeconds(90);

    private final String name;
    private final Process process;
    private final BufferedWriter words;
    private final Heard<String> said = new Heard<>();
    private final Thread ear;

    private Child(String name, Process process) {
        this.name = name;
        this.process = process;
        words = process.outputWriter(StandardCharsets.UTF_8);
        ear = Thread.ofPlatform().daemon().name("ear of " + name).start(this::listen);
    }

    static Child start(String name, List<String> command) {
        try {
            return new Child(name, new ProcessBuilder(command).redirectErrorStream(true).start());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** A main class of ours with this test's own Java and classes. */
    static Child java(String mainClass, List<String> arguments) {
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
                                mainClass));
        command.addAll(arguments);
        return start(mainClass.substring(mainClass.lastIndexOf('.') + 1), command);
    }

    /** A program of a Debian package. A machine without it fails the test and is told. */
    static String program(String path, String debianPackage) {
        if (!Files.isExecutable(Path.of(path))) {
            throw new AssertionError(
                    path
                            + " is missing: apt-get install "
                            + debianPackage
                            + " (./steamleaf test does it)");
        }
        return path;
    }

    private void listen() {
        try (BufferedReader in = process.inputReader(StandardCharsets.UTF_8)) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                said.add(line);
            }
        } catch (IOException e) {
            said.add("(its output ended: " + e.getMessage() + ")");
        }
    }

    Heard<String> said() {
        return said;
    }

    /** The first line that contains {@code part}. */
    String awaitLine(String part) {
        return awaitLine(part, 0);
    }

    /** The first line behind the first {@code from} ones that contains {@code part}. */
    String awaitLine(String part, int from) {
        return said.await(
                name + " saying \"" + part + "\"",
                PATIENCE,
                lines ->
                        lines.subList(Math.min(from, lines.size()), lines.size()).stream()
                                .filter(line -> line.contains(part))
                                .findFirst()
                                .orElse(null));
    }

    /** One line to its standard input. */
    void say(String word) {
        try {
            words.write(word);
            words.newLine();
            words.flush();
        } catch (IOException e) {
            throw new UncheckedIOException(name + " does not listen; it said " + said.all(), e);
        }
    }

    /** The whole of its standard input. */
    void sayAll(String text) {
        try (words) {
            words.write(text);
        } catch (IOException e) {
            throw new UncheckedIOException(name + " does not listen; it said " + said.all(), e);
        }
    }

    long pid() {
        return process.pid();
    }

    boolean isAlive() {
        return process.isAlive();
    }

    /** As a power cut would: no word, no shutdown hook. */
    void kill() {
        process.destroyForcibly();
        await();
    }

    /** Waits for its own end. */
    int await() {
        try {
            if (!process.waitFor(PATIENCE.toSeconds(), TimeUnit.SECONDS)) {
                throw new AssertionError(name + " does not end; it said " + said.all());
            }
            ear.join(Duration.ofSeconds(10));
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new AssertionError(e);
        }
        return process.exitValue();
    }

    /** Asks it to end, and ends it and whatever it started if it does not. */
    @Override
    public void close() {
        List<ProcessHandle> family = process.descendants().toList();
        process.destroy();
        try {
            if (!process.waitFor(30, TimeUnit.SECONDS)) {
                process.destroyForcibly().waitFor(10, TimeUnit.SECONDS);
            }
        } catch (InterruptedException e) {
            process.destroyForcibly();
            Thread.currentThread().interrupt();
        }
        family.forEach(ProcessHandle::destroyForcibly);
    }
}
