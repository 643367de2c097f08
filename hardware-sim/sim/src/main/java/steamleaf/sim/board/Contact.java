package steamleaf.sim.board;

import java.util.function.Predicate;
import steamleaf.sim.plant.Sensing;

/**
 * A contact of the plant on the wire to an input pin: closed pulls the pin high, an open wire reads
 * low.
 */
public final class Contact {
    private final String name;
    private final Predicate<Sensing> place;
    private boolean open;
    private boolean stuckOn;
    private boolean frozen;
    private boolean last;

    Contact(String name, Predicate<Sensing> place) {
        this.name = name;
        this.place = place;
    }

    public String name() {
        return name;
    }

    /** A broken wire, or a contact that does not close any more. */
    public void open(boolean open) {
        this.open = open;
    }

    /** Welded, or bridged. */
    public void stuckOn(boolean stuckOn) {
        this.stuckOn = stuckOn;
    }

    /** Stays as it is. */
    public void frozen(boolean frozen) {
        this.frozen = frozen;
    }

    boolean level(Sensing sensing) {
        if (!frozen) {
            last = place.test(sensing);
        }
        return !open && (stuckOn || last);
    }
}
