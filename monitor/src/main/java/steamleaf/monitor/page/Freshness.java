package steamleaf.monitor.page;

import java.time.Instant;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.monitor.live.Live;

/**
 * Whether what is known of a unit may be shown as what is. Figures that are not fresh are shown as
 * a dash and the reason.
 *
 * @param why empty when fresh
 * @param last line time of the last news, null when there never was any
 */
public record Freshness(boolean fresh, String why, @Nullable Instant last) {
    /** The controller tells of each unit at least once a second. Engineering choice. */
    static final long LIMIT_NS = TimeUnit.SECONDS.toNanos(5);

    static Freshness of(Live.Now now, String unit, long nowNs, Language language) {
        Live.Heard heard = now.units().get(unit);
        Instant last = heard == null ? null : heard.live().at();
        if (!now.brokerUp()) {
            return stale(Words.say(language, "fresh.broker-down"), last);
        }
        if (!now.controllerUp()) {
            return stale(Words.say(language, "fresh.controller-down"), last);
        }
        if (heard == null) {
            return stale(Words.say(language, "fresh.never"), null);
        }
        Long arrived = heard.arrivedNs();
        if (arrived == null) {
            return stale(Words.say(language, "fresh.kept"), last);
        }
        long ageNs = nowNs - arrived;
        if (ageNs > LIMIT_NS) {
            return stale(
                    Words.say(language, "fresh.silent", TimeUnit.NANOSECONDS.toSeconds(ageNs)),
                    last);
        }
        return new Freshness(true, "", last);
    }

    private static Freshness stale(String why, @Nullable Instant last) {
        return new Freshness(false, why, last);
    }
}
