package steamleaf.bench.journey;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import steamleaf.bench.Demo;

/** The demo as a person starts it: a process with its own child, ended with everything below it. */
final class DemoProcess implements AutoCloseable {
    private static final Pattern ADDRESS =
            Pattern.compile("Open  (http://127\\.0\\.0\\.1:[0-9]+/)");

    private final Child process;

    DemoProcess(Path folder, String... options) {
        List<String> arguments = new ArrayList<>(List.of("--folder", folder.toString()));
        arguments.addAll(List.of(options));
        process = Child.java(Demo.class.getName(), arguments);
    }

    /** The address it invites to. */
    String address() {
        String line = process.awaitLine("  Open  ");
        Matcher found = ADDRESS.matcher(line);
        if (!found.find()) {
            throw new AssertionError("the demo gave no address: " + line);
        }
        return found.group(1);
    }

    /** One line of words, as typed in its terminal. */
    void type(String line) {
        process.say(line);
    }

    String story() {
        return String.join("\n", process.said().all());
    }

    @Override
    public void close() {
        process.close();
    }
}
