package steamleaf.app.assemble;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.function.Supplier;
import steamleaf.app.config.Config;
import steamleaf.app.journal.Disk;
import steamleaf.app.journal.Durability;
import steamleaf.app.journal.Journal;
import steamleaf.app.journal.LostLine;
import steamleaf.app.translate.Lines;
import steamleaf.contract.Bodies;
import steamleaf.contract.Kinds;

/** Opens the journal with the contract's words for what it could not keep. */
public final class Journals {
    private static final long QUEUE_BYTES = 8L << 20;

    private Journals() {}

    /**
     * @param newId asked only when the folder has no journal yet
     */
    public static Journal open(
            Path folder, Supplier<String> newId, Durability durability, Config.JournalPlace place)
            throws IOException {
        return Journal.open(folder, settings(newId, durability, place));
    }

    /** On something else than a real folder, where nothing has to survive. */
    public static Journal open(Disk disk, String id, Config.JournalPlace place) throws IOException {
        return Journal.open(disk, settings(() -> id, Durability.WRITTEN, place));
    }

    private static Journal.Settings settings(
            Supplier<String> newId, Durability durability, Config.JournalPlace place) {
        return new Journal.Settings(newId, durability, lost(), place.keepFreeBytes(), QUEUE_BYTES);
    }

    /** Such a record has no cycle of its own, and knows its time to the hour only. */
    private static LostLine lost() {
        return (what, count, hour) ->
                new Lines()
                        .event(
                                0,
                                Instant.ofEpochSecond(hour * 3600),
                                true,
                                Kinds.LOST,
                                new Bodies.Lost(what, count));
    }
}
