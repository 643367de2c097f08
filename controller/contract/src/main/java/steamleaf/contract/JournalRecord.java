package steamleaf.contract;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;

/**
 * One numbered record as it stands in the journal and crosses the wire. Bodies by kind are the
 * records of {@link Bodies}; an unknown kind keeps its raw body.
 *
 * @param n from 1, without gaps within a journal
 * @param at line time, a label only; {@code cycle} orders things
 * @param doubtful the wall clock had not been set when {@code at} was written
 */
public record JournalRecord(
        String journal,
        long n,
        long cycle,
        Instant at,
        boolean doubtful,
        String kind,
        JsonNode body) {}
