package steamleaf.bench;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Command-line options of the form {@code --name value} and {@code --flag}; every mistake is named,
 * all at once.
 */
public final class Options {
    private final Map<String, String> values = new LinkedHashMap<>();
    private final java.util.List<String> mistakes = new java.util.ArrayList<>();

    /**
     * @param names options that take a value
     * @param flags options that take none
     */
    public Options(String[] args, List<String> names, List<String> flags) {
        for (int i = 0; i < args.length; i++) {
            String name = args[i].startsWith("--") ? args[i].substring(2) : "";
            if (flags.contains(name)) {
                values.put(name, "true");
            } else if (!names.contains(name)) {
                mistakes.add("\"" + args[i] + "\" is not known, allowed: " + allowed(names, flags));
            } else if (i + 1 == args.length || args[i + 1].startsWith("--")) {
                mistakes.add("--" + name + " needs a value");
            } else if (values.containsKey(name)) {
                mistakes.add("--" + name + " is given twice");
                i++;
            } else {
                values.put(name, args[++i]);
            }
        }
    }

    private static String allowed(List<String> names, List<String> flags) {
        StringBuilder out = new StringBuilder();
        names.forEach(
                name ->
                        out.append(out.isEmpty() ? "" : ", ")
                                .append("--")
                                .append(name)
                                .append(" VALUE"));
        flags.forEach(flag -> out.append(out.isEmpty() ? "" : ", ").append("--").append(flag));
        return out.toString();
    }

    public boolean has(String name) {
        return values.containsKey(name);
    }

    public @Nullable String text(String name) {
        return values.get(name);
    }

    public String text(String name, String otherwise) {
        return values.getOrDefault(name, otherwise);
    }

    /** The value, or a noted mistake and an empty text. */
    public String required(String name, String what) {
        String value = values.get(name);
        if (value == null) {
            mistakes.add("--" + name + " is missing: " + what);
            return "";
        }
        return value;
    }

    /** A folder that is there or can be made, or a noted mistake and an empty text. */
    public String folder(String name, String what) {
        String value = required(name, what);
        Path there = Path.of(value).toAbsolutePath();
        while (there != null && !Files.exists(there)) {
            there = there.getParent();
        }
        if (there == null || !Files.isDirectory(there) || !Files.isWritable(there)) {
            mistakes.add(
                    "--"
                            + name
                            + " = "
                            + value
                            + ", allowed: a folder that can be written to or made; "
                            + there
                            + " is none");
            return "";
        }
        return value;
    }

    public long whole(String name, long otherwise, long least, long most) {
        String value = values.get(name);
        if (value == null) {
            return otherwise;
        }
        try {
            long number = Long.parseLong(value);
            if (number >= least && number <= most) {
                return number;
            }
        } catch (NumberFormatException e) {
            // said below, like a number out of range
        }
        mistakes.add(
                "--"
                        + name
                        + " = "
                        + value
                        + ", allowed: a whole number from "
                        + least
                        + " to "
                        + most);
        return otherwise;
    }

    public void mistake(String what) {
        mistakes.add(what);
    }

    public List<String> mistakes() {
        return mistakes;
    }
}
