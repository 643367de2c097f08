package steamleaf.monitor.page;

import java.time.ZoneId;
import java.util.List;
import steamleaf.contract.Because;
import steamleaf.contract.Language;
import steamleaf.monitor.notice.Notices;
import steamleaf.monitor.notice.Watch;
import steamleaf.monitor.notice.Wording;

/** The words of notices, from the same tables as the pages. */
public final class NoticeWords implements Wording {
    /** More than a few are read on the page. */
    private static final int MOST = 5;

    private final ZoneId zone;

    public NoticeWords(ZoneId zone) {
        this.zone = zone;
    }

    /** What an alarm leads to if nobody acts, empty when nobody wrote it down. */
    static String leadsTo(Language language, Because what) {
        String key = "leads." + what.key();
        return Words.has(key) ? Words.say(language, key) : "";
    }

    /** What happened, with the unit where the sentence does not name it. */
    static String what(Language language, String id, String unit, Because what) {
        if (id.equals(Notices.NOT_HEARD)) {
            return Words.say(language, "notice.not-heard");
        }
        String sentence = Words.reason(language, what);
        String name = Words.unit(language, unit);
        return sentence.contains(name) ? sentence : name + ": " + sentence;
    }

    @Override
    public Text of(Language language, Watch.Kind kind, List<Watch.Case> about, String page) {
        Watch.Case first = about.getFirst();
        String what = what(language, first.id(), first.unit(), first.what());
        String by = first.by() == null ? "" : first.by();
        String title =
                switch (kind) {
                    case RAISED ->
                            Words.say(
                                    language,
                                    "notice.raised",
                                    Story.capital(
                                            Words.say(language, "priority." + first.priority())),
                                    what);
                    case STILL -> Words.say(language, "notice.still", what, by);
                    case TAKEN -> Words.say(language, "notice.taken", by, what);
                    case ASIDE -> Words.say(language, "notice.aside", by, what);
                    case OVER -> Words.say(language, "notice.over", what);
                };
        StringBuilder text = new StringBuilder();
        boolean calls = kind == Watch.Kind.RAISED || kind == Watch.Kind.STILL;
        if (about.size() == 1) { // the title has said what; a phone shows few lines of the text
            text.append(
                            Story.capital(
                                    Words.say(
                                            language,
                                            "alarms.since",
                                            Figures.clock(first.since(), zone))))
                    .append(language == Language.JAPANESE ? "。" : ".")
                    .append('\n');
            details(text, language, first, calls);
        } else {
            about.stream().limit(MOST).forEach(c -> paragraph(text, language, c, calls));
        }
        if (about.size() > MOST) {
            text.append(Words.say(language, "notice.more", about.size() - MOST)).append("\n\n");
        }
        if (kind == Watch.Kind.TAKEN) {
            text.append(
                            Words.say(
                                    language,
                                    "notice.paused",
                                    by,
                                    Figures.duration(language, first.respondS())))
                    .append("\n\n");
        }
        if (calls) {
            text.append(Words.say(language, "notice.look", page + "phone")).append('\n');
        }
        text.append(Words.say(language, "notice.best-effort")).append('\n');
        return new Text(
                about.size() > 1
                        ? Words.say(language, "notice.and", title, about.size() - 1)
                        : title,
                text.toString());
    }

    private void paragraph(
            StringBuilder text, Language language, Watch.Case about, boolean withWhatToDo) {
        text.append(what(language, about.id(), about.unit(), about.what()));
        text.append(" (").append(Figures.clock(about.since(), zone)).append(")\n");
        details(text, language, about, withWhatToDo);
    }

    private static void details(
            StringBuilder text, Language language, Watch.Case about, boolean withWhatToDo) {
        if (withWhatToDo) {
            String leads = leadsTo(language, about.what());
            if (!leads.isEmpty()) {
                text.append(Words.say(language, "notice.leads", leads)).append('\n');
            }
            String todo =
                    about.id().equals(Notices.NOT_HEARD)
                            ? Words.say(language, "notice.not-heard-do")
                            : Words.whatToDo(language, about.what());
            if (!todo.isEmpty()) {
                text.append(todo).append('\n');
            }
            text.append(
                            Words.say(
                                    language,
                                    "alarms.within",
                                    Figures.duration(language, about.respondS())))
                    .append('\n');
        }
        text.append('\n');
    }
}
