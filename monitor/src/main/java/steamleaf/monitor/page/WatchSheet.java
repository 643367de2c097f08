package steamleaf.monitor.page;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.monitor.notice.NoticeSettings;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.notice.Watch;
import steamleaf.monitor.store.Outbox;

/** Who is on watch, what is being told, and what became of it, for one reader. */
public final class WatchSheet {
    private static final int MOST = 60;

    private final Sheet sheet;
    private final @Nullable Notices notices;
    private final Notices.@Nullable View view;

    WatchSheet(Sheet sheet, @Nullable Notices notices) {
        this.sheet = sheet;
        this.notices = notices;
        this.view = notices == null ? null : notices.view();
    }

    public boolean configured() {
        return notices != null;
    }

    public String opening() {
        if (view == null) {
            return sheet.t("watch.none-configured");
        }
        return view.onWatch() == null
                ? sheet.t("watch.nobody")
                : sheet.t("watch.on", view.onWatch(), sheet.when(view.watchSince()));
    }

    /** A person and the ways to reach them. */
    public record Reached(String name, String ways, boolean onWatch, boolean me) {}

    public List<Reached> people() {
        if (notices == null || view == null) {
            return List.of();
        }
        List<Reached> people = new ArrayList<>();
        for (NoticeSettings.Person person : notices.settings().people()) {
            List<String> ways = new ArrayList<>();
            if (person.mail() != null && notices.settings().mail() != null) {
                ways.add(sheet.t("watch.by-mail"));
            }
            long phones =
                    view.phones().stream().filter(p -> p.person().equals(person.name())).count();
            if (person.push() && notices.settings().push() != null) {
                ways.add(phones == 0 ? sheet.t("watch.no-phone") : sheet.t("watch.phones", phones));
            }
            people.add(
                    new Reached(
                            person.name(),
                            ways.isEmpty() ? sheet.t("watch.no-way") : String.join(", ", ways),
                            person.name().equals(view.onWatch()),
                            person.name().equals(sheet.by())));
        }
        return people;
    }

    /** The steps in words. */
    public List<String> steps() {
        if (notices == null) {
            return List.of();
        }
        return notices.settings().steps().stream()
                .map(
                        step ->
                                step.afterS() == 0
                                        ? sheet.t("watch.step-now", names(step))
                                        : sheet.t(
                                                "watch.step",
                                                sheet.duration(step.afterS()),
                                                names(step)))
                .toList();
    }

    private String names(NoticeSettings.Step step) {
        return String.join(
                ", ",
                step.tell().stream()
                        .map(
                                who ->
                                        switch (who) {
                                            case NoticeSettings.ON_WATCH ->
                                                    sheet.t("watch.on-watch");
                                            case NoticeSettings.EVERYONE ->
                                                    sheet.t("watch.everyone");
                                            default -> who;
                                        })
                        .toList());
    }

    /** Where a browser subscribes; empty when this reader can't be pushed to. */
    public String pushKey() {
        String key = notices == null ? null : notices.pushKey();
        boolean wanted =
                notices != null
                        && notices.settings().people().stream()
                                .anyMatch(p -> p.push() && p.name().equals(sheet.by()));
        return key == null || !wanted ? "" : key;
    }

    private Watch.@Nullable Case find(AlarmLive alarm) {
        return view == null ? null : view.find(alarm.id());
    }

    /** Who has it, or that nobody has; empty when it is not being told. */
    public String holder(AlarmLive alarm) {
        Watch.Case told = find(alarm);
        if (told == null || view == null) {
            return alarm.by() == null ? "" : sheet.t("watch.has-it", alarm.by());
        }
        Double held = told.heldS();
        if (told.by() != null && held != null) {
            double leftS = Math.max(0, held + told.respondS() - view.nowS());
            return sheet.t("watch.paused", told.by(), sheet.duration(Math.ceil(leftS / 60) * 60));
        }
        if (told.by() != null) {
            return sheet.t("watch.overdue", told.by());
        }
        return told.told().isEmpty() ? "" : called(told);
    }

    /** Whose notice has arrived and whose has not: to be called is not to be reached. */
    private String called(Watch.Case told) {
        List<String> arrived = notices == null ? List.of() : notices.reached(told);
        List<String> reached = told.told().stream().filter(arrived::contains).toList();
        List<String> not = told.told().stream().filter(n -> !arrived.contains(n)).toList();
        List<String> parts = new ArrayList<>();
        if (!reached.isEmpty()) {
            parts.add(sheet.t("watch.told", String.join(", ", reached)));
        }
        if (!not.isEmpty()) {
            parts.add(sheet.t("watch.not-reached", String.join(", ", not)));
        }
        parts.add(sheet.t("watch.nobody-has-it"));
        return Opening.join(sheet.language(), parts.toArray(String[]::new));
    }

    /** Acknowledged, time over, and it still stands: somebody may say that they have it. */
    public boolean overdue(AlarmLive alarm) {
        Watch.Case told = find(alarm);
        return told != null && told.overdue();
    }

    /** The monitor's own alarm, null when the line is heard. */
    public Watch.@Nullable Case notHeard() {
        return view == null ? null : view.find(Notices.NOT_HEARD);
    }

    /** One notice in the list. */
    public record Line(
            String when, String who, String title, String state, String why, boolean bad) {}

    public List<Line> told() {
        if (notices == null) {
            return List.of();
        }
        List<Line> lines = new ArrayList<>();
        for (Outbox.Told told : notices.told(MOST)) {
            boolean bad =
                    told.state().equals("given-up")
                            || (told.state().equals("waiting") && told.attempts() > 0);
            lines.add(
                    new Line(
                            sheet.when(told.at()),
                            told.person() + ", " + sheet.t("watch.by-" + told.channel()),
                            told.title(),
                            sheet.t("watch.state-" + told.state()),
                            told.why() == null || told.state().equals("delivered")
                                    ? ""
                                    : sheet.t("watch.attempts", told.attempts(), told.why()),
                            bad));
        }
        return lines;
    }

    /** How many of the shown notices did not arrive. */
    public long failing() {
        return told().stream().filter(Line::bad).count();
    }
}
