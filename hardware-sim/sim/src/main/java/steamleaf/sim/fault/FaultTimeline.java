package steamleaf.sim.fault;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.text.Entry;
import steamleaf.sim.text.FileMistakes;
import steamleaf.sim.text.Mistakes;

/** Faults by time, as read from a fault file. */
public final class FaultTimeline {
    private static final List<String> KEYS =
            List.of("at", "component", "kind", "duration", "size", "with");
    private static final double LONGEST_S = 30 * 86_400;
    private static final String REST = "rest";

    private final List<Fault> faults;

    private FaultTimeline(List<Fault> faults) {
        this.faults = List.copyOf(faults);
    }

    /** By beginning; those of one moment in the order of the file. */
    public List<Fault> faults() {
        return faults;
    }

    /**
     * Reads a fault file for the line that {@code catalogue} describes.
     *
     * @throws FileMistakes naming everything wrong with the file at once
     */
    public static FaultTimeline read(Path file, FaultCatalogue catalogue) throws IOException {
        return parse(String.valueOf(file.getFileName()), Files.readString(file), catalogue);
    }

    /**
     * Reads the text of a fault file; {@code fileName} is how its mistakes name it.
     *
     * @throws FileMistakes naming everything wrong with the text at once
     */
    public static FaultTimeline parse(String fileName, String text, FaultCatalogue catalogue) {
        Mistakes mistakes = new Mistakes(fileName);
        List<Fault> faults = new ArrayList<>();
        for (Entry item : Entry.read(text, mistakes).items()) {
            int before = mistakes.count();
            Fault fault = fault(item, catalogue);
            if (fault != null && mistakes.count() == before) { // else its times may be stand-ins
                Fault other = overlapping(faults, fault);
                if (other != null) {
                    mistakes.add(item.line(), item.path(), overlap(fault, other), allowed(other));
                }
                faults.add(fault);
            }
        }
        mistakes.throwIfAny();
        faults.sort(Comparator.comparingDouble(Fault::atS));
        return new FaultTimeline(faults);
    }

    private static String overlap(Fault fault, Fault other) {
        return fault.what()
                + " at "
                + Entry.plain(fault.atS())
                + " s, broken that way already from "
                + Entry.plain(other.atS())
                + " s on";
    }

    private static String allowed(Fault other) {
        String ended = "over at " + Entry.plain(other.atS()) + " s";
        return Double.isFinite(other.durationS())
                ? ended + ", or not before " + Entry.plain(other.endS()) + " s"
                : ended + ": the other one lasts for the rest";
    }

    private static @Nullable Fault overlapping(List<Fault> faults, Fault fault) {
        for (Fault other : faults) {
            boolean same = other.what().equals(fault.what());
            if (same && other.atS() < fault.endS() && fault.atS() < other.endS()) {
                return other;
            }
        }
        return null;
    }

    private static @Nullable Fault fault(Entry item, FaultCatalogue catalogue) {
        Map<String, Entry> members = item.members(KEYS);
        if (!item.isMapping()) {
            return null;
        }
        double atS = item.need(members, "at").timeS(0, LONGEST_S);
        Entry duration = item.need(members, "duration");
        boolean rest = duration.says(REST);
        double durationS = rest ? Double.POSITIVE_INFINITY : duration.timeS(0.1, LONGEST_S);
        String component = item.need(members, "component").oneOf(catalogue.components());
        Entry kindEntry = item.need(members, "kind");
        FaultKind kind =
                kind(
                        kindEntry,
                        component == null
                                ? List.of(FaultKind.values())
                                : catalogue.kinds(component));
        FaultCase what = component == null || kind == null ? null : catalogue.find(component, kind);
        if (what == null) {
            return null;
        }
        double size = size(item, members, what);
        String with = with(item, members, what);
        return new Fault(atS, what, durationS, size, with);
    }

    private static @Nullable FaultKind kind(Entry entry, List<FaultKind> known) {
        String word =
                entry.isPresent()
                        ? entry.oneOf(known.stream().map(FaultKind::word).toList())
                        : null;
        return known.stream().filter(kind -> kind.word().equals(word)).findFirst().orElse(null);
    }

    private static double size(Entry item, Map<String, Entry> members, FaultCase what) {
        FaultCase.Size size = what.size();
        Entry entry = members.get("size");
        if (size == null) {
            if (entry != null) {
                entry.refuse("no size, " + what + " has none");
            }
            return 0;
        }
        Entry needed = item.need(members, "size");
        return size.unit().equals("1")
                ? needed.number(size.from(), size.to())
                : needed.quantity(size.unit(), size.from(), size.to());
    }

    private static @Nullable String with(Entry item, Map<String, Entry> members, FaultCase what) {
        Entry entry = members.get("with");
        if (what.kind() != FaultKind.SWAPPED) {
            if (entry != null) {
                entry.refuse("no partner, " + what + " has none");
            }
            return null;
        }
        return item.need(members, "with").oneOf(what.partners());
    }
}
