package steamleaf.app.link;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import steamleaf.contract.CommandMessage;

/**
 * Commands on their way to the next cycle: bounded, filled by any thread, emptied by the cycle.
 * Stops have a place of their own, one for each unit, which is never full: a further stop of the
 * same unit takes the place of the one before, and means the same.
 */
public final class Inbox {
    /** Commands other than stop that may wait for one cycle. Engineering choice. */
    public static final int MOST = 32;

    private final ArrayDeque<CommandMessage> waiting = new ArrayDeque<>();
    private final Map<String, CommandMessage> stops = new LinkedHashMap<>();

    /** What is waiting, so that the cycle takes no lock when nothing is. */
    private final AtomicInteger count = new AtomicInteger();

    /** False when it is full, which a stop never sees. */
    public synchronized boolean offer(CommandMessage command) {
        if (command.kind().equals(Gate.STOP)) {
            stops.put(command.unit(), command);
        } else if (waiting.size() >= MOST) {
            return false;
        } else {
            waiting.add(command);
        }
        count.set(waiting.size() + stops.size());
        return true;
    }

    /** Everything that came, stops first; empties the inbox. */
    public List<CommandMessage> take() {
        return count.get() == 0 ? List.of() : takeAll();
    }

    private synchronized List<CommandMessage> takeAll() {
        List<CommandMessage> all = new ArrayList<>(stops.values());
        all.addAll(waiting);
        stops.clear();
        waiting.clear();
        count.set(0);
        return all;
    }
}
