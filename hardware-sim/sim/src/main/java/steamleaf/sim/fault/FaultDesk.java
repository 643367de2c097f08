package steamleaf.sim.fault;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.PriorityQueue;
import org.jspecify.annotations.Nullable;

/** Breaks things at their time and mends them at theirs. For the thread that steps the line. */
public final class FaultDesk {
    private static final double TINY_S = 1e-9;

    private final FaultCatalogue catalogue;
    private final List<Fault> planned = new ArrayList<>();
    private final PriorityQueue<Fault> active =
            new PriorityQueue<>(Comparator.comparingDouble(Fault::endS));
    private final List<String> story = new ArrayList<>();
    private int next;
    private double nowS;

    public FaultDesk(FaultCatalogue catalogue) {
        this.catalogue = catalogue;
    }

    public FaultCatalogue catalogue() {
        return catalogue;
    }

    /** Adds what is to come; what lies in the past comes at once. */
    public void plan(FaultTimeline timeline) {
        List<Fault> rest = new ArrayList<>(planned.subList(next, planned.size()));
        rest.addAll(timeline.faults());
        rest.sort(Comparator.comparingDouble(Fault::atS));
        planned.clear();
        planned.addAll(rest);
        next = 0;
    }

    /**
     * Breaks something now. A fault of that component and kind that stands already is replaced.
     *
     * @param durationS infinite: for the rest
     * @param size in the unit that the catalogue states; anything where it states none
     * @param with the other component of an exchange, null otherwise
     */
    public Fault inject(
            String component,
            FaultKind kind,
            double durationS,
            double size,
            @Nullable String with) {
        FaultCase what = catalogue.find(component, kind);
        if (what == null) {
            throw new IllegalArgumentException(
                    component
                            + " does not know "
                            + kind.word()
                            + "; allowed: "
                            + catalogue.kinds(component).stream().map(FaultKind::word).toList());
        }
        if (kind == FaultKind.SWAPPED && (with == null || !what.partners().contains(with))) {
            throw new IllegalArgumentException(component + " cannot be exchanged with " + with);
        }
        FaultCase.Size bounds = what.size();
        if (bounds != null && !(size >= bounds.from() && size <= bounds.to())) {
            throw new IllegalArgumentException(
                    what
                            + ": size "
                            + size
                            + ", allowed: "
                            + bounds.from()
                            + " to "
                            + bounds.to()
                            + " "
                            + bounds.unit());
        }
        Fault fault = new Fault(nowS, what, durationS, bounds == null ? 0 : size, with);
        begin(fault);
        return fault;
    }

    /** A fault without size or partner. */
    public Fault inject(String component, FaultKind kind, double durationS) {
        return inject(component, kind, durationS, 0, null);
    }

    /** Mends it; nothing happens when it is whole. */
    public void mend(String component, FaultKind kind) {
        for (Fault fault : List.copyOf(active)) {
            if (fault.what().component().equals(component) && fault.what().kind() == kind) {
                active.remove(fault);
                end(fault);
            }
        }
    }

    public void mendAll() {
        for (Fault fault : List.copyOf(active)) {
            active.remove(fault);
            end(fault);
        }
    }

    /** What is broken now, the one that ends first ahead. */
    public List<Fault> active() {
        return active.stream().sorted(active.comparator()).toList();
    }

    /** What is planned and has not begun yet. */
    public List<Fault> toCome() {
        return List.copyOf(planned.subList(next, planned.size()));
    }

    /** What broke and was mended, in order. */
    public List<String> story() {
        return List.copyOf(story);
    }

    /** Brings everything to the state it has at {@code timeS}. */
    public void at(double timeS) {
        nowS = timeS;
        Fault ending = active.peek();
        while (ending != null && ending.endS() <= timeS + TINY_S) {
            active.remove(ending);
            end(ending);
            ending = active.peek();
        }
        while (next < planned.size() && planned.get(next).atS() <= timeS + TINY_S) {
            begin(planned.get(next++));
        }
    }

    private void begin(Fault fault) {
        mend(fault.what().component(), fault.what().kind());
        catalogue.set(fault, true);
        active.add(fault);
        story.add(String.format(java.util.Locale.ROOT, "%.1f s: %s begins", nowS, fault));
    }

    private void end(Fault fault) {
        catalogue.set(fault, false);
        story.add(String.format(java.util.Locale.ROOT, "%.1f s: %s ends", nowS, fault));
    }
}
