package steamleaf.contract;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * Whether the controller is there and what its journal holds.
 *
 * @param up false in the last will and after an orderly stop
 * @param journal id of the journal (a new one with a new card)
 * @param first lowest number still held, 0 when empty
 * @param last highest number written, 0 when empty
 * @param start id of this start of the controller; every command names it
 * @param at line time, null in the last will
 * @param standIn a simulator offers a stand-in for the buttons at the machine on {@link
 *     StandIn#TOPIC_SUFFIX}; never true on a real line
 */
public record Status(
        boolean up,
        String journal,
        long first,
        long last,
        String start,
        @Nullable Instant at,
        boolean standIn) {}
