package steamleaf.app.link;

import java.util.Map;

/**
 * What the link has done since the start.
 *
 * @param stores what each store has
 * @param resent records sent more than once
 * @param ignored messages nobody could be answered for
 */
public record LinkCounts(
        boolean connected,
        long connects,
        long recordsSent,
        long resent,
        long taken,
        long refused,
        long ignored,
        long answersDropped,
        Map<String, Long> stores) {}
