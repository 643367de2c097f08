package steamleaf.monitor;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Language;
import steamleaf.monitor.notice.NoticeSettings;

/**
 * Everything the monitor is told at start.
 *
 * @param site whose line it follows, as in the topics
 * @param store the name under which it acknowledges records, one per store
 * @param storeFile the SQLite file
 * @param httpPort 0 takes a free one
 * @param mqttUser null for a broker without accounts
 * @param zone in which the line's times are written
 * @param people names offered in the chooser before anybody has entered one
 * @param notices who is told elsewhere, null: nobody
 */
public record MonitorSettings(
        String site,
        String store,
        Path storeFile,
        String httpBind,
        int httpPort,
        String mqttHost,
        int mqttPort,
        @Nullable String mqttUser,
        @Nullable String mqttPassword,
        ZoneId zone,
        Language language,
        List<String> people,
        @Nullable NoticeSettings notices) {
    public MonitorSettings {
        people = List.copyOf(people);
    }

    /** Without notices. */
    public MonitorSettings(
            String site,
            String store,
            Path storeFile,
            String httpBind,
            int httpPort,
            String mqttHost,
            int mqttPort,
            @Nullable String mqttUser,
            @Nullable String mqttPassword,
            ZoneId zone,
            Language language,
            List<String> people) {
        this(
                site,
                store,
                storeFile,
                httpBind,
                httpPort,
                mqttHost,
                mqttPort,
                mqttUser,
                mqttPassword,
                zone,
                language,
                people,
                null);
    }

    /** The usual ones: loopback, a free port, the broker on this machine. */
    public static MonitorSettings of(String site, Path storeFile, int mqttPort) {
        return new MonitorSettings(
                site,
                "monitor",
                storeFile,
                "127.0.0.1",
                0,
                "127.0.0.1",
                mqttPort,
                null,
                null,
                ZoneId.systemDefault(),
                Language.ENGLISH,
                List.of());
    }

    public MonitorSettings withHttpPort(int port) {
        return new MonitorSettings(
                site,
                store,
                storeFile,
                httpBind,
                port,
                mqttHost,
                mqttPort,
                mqttUser,
                mqttPassword,
                zone,
                language,
                people,
                notices);
    }

    public MonitorSettings withZone(ZoneId newZone) {
        return new MonitorSettings(
                site,
                store,
                storeFile,
                httpBind,
                httpPort,
                mqttHost,
                mqttPort,
                mqttUser,
                mqttPassword,
                newZone,
                language,
                people,
                notices);
    }

    public MonitorSettings withPeople(List<String> names) {
        return new MonitorSettings(
                site,
                store,
                storeFile,
                httpBind,
                httpPort,
                mqttHost,
                mqttPort,
                mqttUser,
                mqttPassword,
                zone,
                language,
                names,
                notices);
    }

    public MonitorSettings withNotices(NoticeSettings newNotices) {
        return new MonitorSettings(
                site,
                store,
                storeFile,
                httpBind,
                httpPort,
                mqttHost,
                mqttPort,
                mqttUser,
                mqttPassword,
                zone,
                language,
                people,
                newNotices);
    }
}
