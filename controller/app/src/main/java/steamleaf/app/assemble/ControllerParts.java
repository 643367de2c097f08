package steamleaf.app.assemble;

import java.util.function.BooleanSupplier;
import java.util.function.LongSupplier;
import org.jspecify.annotations.Nullable;
import steamleaf.app.config.Config;
import steamleaf.app.journal.Journal;
import steamleaf.app.link.Inbox;
import steamleaf.app.link.Offers;
import steamleaf.app.recall.Recall;

/**
 * Everything a controller is made of. Nothing in it reads a clock by itself: time comes with each
 * cycle, and {@code nanoClock} is handed in.
 *
 * @param start id of this start; every command names it
 * @param version of the program
 * @param writesItself whether the cycle writes journal and recollection out by itself, as in
 *     handed-in time; otherwise another thread does
 * @param recall null where nothing shall survive
 * @param offers {@link Offers#NONE} without a broker
 * @param nanoClock monotonic, to see how long a cycle took; the clock that {@code cycle} is given
 * @param clockDoubtful whether the wall clock has not been set yet
 */
public record ControllerParts(
        Config config,
        String start,
        String version,
        Pins pins,
        Journal journal,
        boolean writesItself,
        @Nullable Recall recall,
        Inbox inbox,
        Offers offers,
        LongSupplier nanoClock,
        BooleanSupplier clockDoubtful) {}
