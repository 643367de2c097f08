package steamleaf.monitor.notice;

import java.net.URI;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;

/**
 * Who is told when and how.
 *
 * @param page address of the pages as people reach them, ends with a slash; put into notices
 * @param leastPriority alarms below it are not told: high, medium or low
 * @param perHour most notices to one person by one way within an hour
 * @param trust file of certificates (PEM) that are trusted besides the usual ones
 */
public record NoticeSettings(
        String page,
        String leastPriority,
        int perHour,
        List<Person> people,
        List<Step> steps,
        @Nullable MailServer mail,
        List<Hook> webhooks,
        @Nullable PushSender push,
        @Nullable Path trust) {
    /** In a step: whoever has the watch, everyone while nobody has it. */
    public static final String ON_WATCH = "on-watch";

    /** In a step: all people. */
    public static final String EVERYONE = "everyone";

    public NoticeSettings {
        people = List.copyOf(people);
        steps = List.copyOf(steps);
        webhooks = List.copyOf(webhooks);
    }

    /**
     * @param push whether this person's phones, once registered, are sent to
     */
    public record Person(String name, @Nullable String mail, boolean push, Language language) {}

    /**
     * @param afterS since the alarm was raised, or since it was told again
     * @param tell names, {@link #ON_WATCH} or {@link #EVERYONE}
     */
    public record Step(double afterS, List<String> tell) {
        public Step {
            tell = List.copyOf(tell);
        }
    }

    /**
     * @param tls from the first byte; otherwise STARTTLS, which is then required
     */
    public record MailServer(
            String host,
            int port,
            boolean tls,
            @Nullable String user,
            @Nullable String password,
            String from) {
        /** Without the password: settings may end up in a log. */
        @Override
        public String toString() {
            return "MailServer[" + host + ":" + port + "]";
        }
    }

    public record Hook(String name, URI url, String secret) {
        /** Without the secret, and without the address, which may hold one. */
        @Override
        public String toString() {
            return "Hook[" + name + "]";
        }
    }

    /**
     * @param contact {@code mailto:} or {@code https:}, for the push service's operator (RFC 8292)
     */
    public record PushSender(String contact, Path keyFile) {}
}
