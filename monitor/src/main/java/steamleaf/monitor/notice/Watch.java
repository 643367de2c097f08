package steamleaf.monitor.notice;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.Because;
import steamleaf.monitor.alarm.AlarmOrder;

/**
 * Decides who is told what when: a value in, a value out, time handed in as seconds that go on over
 * a restart.
 *
 * <p>An unacknowledged alarm goes up the steps. An acknowledgement pauses it, whoever gave it and
 * wherever, until the alarm's time to respond has passed; those who had been told hear who has it.
 * If it then still stands, the steps begin again. When it goes, those who had been told hear that.
 */
public final class Watch {
    /**
     * What comes with the first cause goes into the same notice. Engineering choice: long enough
     * for a storm of one power failure, short against any time to respond.
     */
    static final double GATHER_S = 2;

    /**
     * An alarm is over when it has stayed away this long, and three of its comings within it are
     * chattering (ISA-18.2 as recalled): one that comes and goes is one call, not many.
     */
    static final double CALM_S = 60;

    private static final int CHATTERS_FROM = 3;

    private final NoticeSettings settings;

    public Watch(NoticeSettings settings) {
        this.settings = settings;
    }

    /**
     * One alarm that is being told.
     *
     * @param baseS when the steps began
     * @param stepsDone how many steps have been told
     * @param by who has it or had it last
     * @param heldS since when somebody has it; null: nobody, it goes up the steps
     * @param told names of those who were told
     * @param goneS since when it does not stand; null while it stands
     * @param cameS when it came, as far back as counts for chattering
     */
    public record Case(
            String id,
            String unit,
            String priority,
            Because what,
            double respondS,
            Instant since,
            long cycle,
            double openedS,
            double baseS,
            int stepsDone,
            @Nullable String by,
            @Nullable Double heldS,
            List<String> told,
            @Nullable Double goneS,
            List<Double> cameS) {
        public Case {
            told = List.copyOf(told);
            // states kept by an older monitor have none
            cameS = cameS == null ? List.of() : List.copyOf(cameS);
        }

        Case held(String who, double nowS) {
            return new Case(
                    id, unit, priority, what, respondS, since, cycle, openedS, baseS, stepsDone,
                    who, nowS, told, null, cameS);
        }

        /** The steps begin again. */
        Case again(double nowS, boolean raised, AlarmLive alarm) {
            return new Case(
                    id,
                    unit,
                    priority,
                    what,
                    respondS,
                    raised ? alarm.since() : since,
                    alarm.cycle(),
                    raised ? nowS : openedS,
                    nowS,
                    0,
                    raised ? null : by,
                    null,
                    told,
                    null,
                    cameS);
        }

        Case told(Collection<String> more, int done) {
            Set<String> all = new LinkedHashSet<>(told);
            all.addAll(more);
            return new Case(
                    id,
                    unit,
                    priority,
                    what,
                    respondS,
                    since,
                    cycle,
                    openedS,
                    baseS,
                    done,
                    by,
                    heldS,
                    List.copyOf(all),
                    goneS,
                    cameS);
        }

        /** It does not stand any more; whether that lasts is to be seen. */
        Case gone(double nowS) {
            return goneS != null
                    ? this
                    : new Case(
                            id, unit, priority, what, respondS, since, cycle, openedS, baseS,
                            stepsDone, by, heldS, told, nowS, cameS);
        }

        /** It stands, or stands again. */
        Case here(AlarmLive alarm, double nowS) {
            boolean cameNow = goneS != null || alarm.cycle() != cycle;
            if (!cameNow) {
                return this;
            }
            List<Double> came = new ArrayList<>(cameS);
            came.removeIf(at -> nowS - at >= CALM_S);
            came.add(nowS);
            return new Case(
                    id,
                    unit,
                    priority,
                    what,
                    respondS,
                    since,
                    alarm.cycle(),
                    openedS,
                    baseS,
                    stepsDone,
                    by,
                    heldS,
                    told,
                    null,
                    came);
        }

        boolean chatters() {
            return cameS.size() >= CHATTERS_FROM;
        }

        /** Acknowledged once, time to respond over, and it still stands. */
        public boolean overdue() {
            return by != null && heldS == null;
        }

        public boolean isHigh() {
            return priority.equals("high");
        }
    }

    /** What is being told. */
    public record State(List<Case> cases) {
        public static final State NOTHING = new State(List.of());

        public State {
            cases = List.copyOf(cases);
        }

        public @Nullable Case find(String id) {
            return cases.stream().filter(c -> c.id().equals(id)).findFirst().orElse(null);
        }
    }

    /** Why somebody is told. */
    public enum Kind {
        RAISED,
        /** Acknowledged, the time to respond is over, and it still stands. */
        STILL,
        /** Somebody has it. */
        TAKEN,
        /** Somebody put it aside: shelved or out of service. */
        ASIDE,
        OVER
    }

    /**
     * @param people names, not empty
     */
    public record Due(Kind kind, Case about, List<String> people) {}

    public record Step(State state, List<Due> due) {}

    /**
     * @param settled the line has been heard long enough that an alarm it does not tell of is gone
     * @param onWatch null: nobody
     */
    public Step step(
            State before,
            Map<String, AlarmLive> alarms,
            boolean settled,
            double nowS,
            @Nullable String onWatch) {
        Map<String, Case> cases = new TreeMap<>();
        before.cases().forEach(c -> cases.put(c.id(), c));
        List<Due> due = new ArrayList<>();
        for (AlarmLive alarm : alarms.values()) {
            follow(cases, alarm, nowS, due);
        }
        for (Case known : List.copyOf(cases.values())) {
            boolean missing = settled && !alarms.containsKey(known.id());
            Case now = missing ? known.gone(nowS) : known;
            Double goneS = now.goneS();
            if (goneS != null && nowS - goneS >= calmS(now)) {
                close(cases, now, Kind.OVER, due);
            } else {
                cases.put(now.id(), now);
            }
        }
        for (Case open : List.copyOf(cases.values())) {
            if (open.heldS() == null && open.goneS() == null) {
                cases.put(open.id(), climb(open, nowS, onWatch, due));
            }
        }
        List<String> order =
                AlarmOrder.of(alarms.values()).stream().map(p -> p.alarm().id()).toList();
        due.sort(
                Comparator.comparing((Due d) -> d.kind())
                        .thenComparingInt(d -> place(order, d.about().id()))
                        .thenComparingInt(d -> AlarmOrder.urgency(d.about().priority()))
                        .thenComparingLong(d -> d.about().cycle())
                        .thenComparing(d -> d.about().id()));
        return new Step(new State(List.copyOf(cases.values())), due);
    }

    static int place(List<String> order, String id) {
        int at = order.indexOf(id);
        return at < 0 ? order.size() : at;
    }

    /** The monitor's own alarm does not chatter: it has waited long before it came. */
    private static double calmS(Case gone) {
        return gone.id().equals(Notices.NOT_HEARD) ? 0 : CALM_S;
    }

    private void follow(Map<String, Case> cases, AlarmLive alarm, double nowS, List<Due> due) {
        Case known = cases.get(alarm.id());
        switch (alarm.state()) {
            case "unacknowledged" -> {
                if (known == null) {
                    if (isWanted(alarm)) {
                        cases.put(alarm.id(), opened(alarm, nowS));
                    }
                    return;
                }
                Case here = known.here(alarm, nowS);
                boolean came = here != known;
                boolean newCall = known.by() != null && came && !here.chatters();
                boolean late = here.heldS() != null && nowS - here.heldS() >= here.respondS();
                cases.put(alarm.id(), newCall || late ? here.again(nowS, newCall, alarm) : here);
            }
            case "acknowledged" -> {
                String by = alarm.by() == null ? "?" : alarm.by();
                if (known == null) {
                    if (isWanted(alarm)) {
                        cases.put(alarm.id(), opened(alarm, nowS).held(by, nowS));
                    }
                } else if (known.by() == null) {
                    take(cases, known, by, nowS, due);
                } else if (known.heldS() != null && nowS - known.heldS() >= known.respondS()) {
                    cases.put(alarm.id(), known.again(nowS, false, alarm));
                }
            }
            case "shelved", "out-of-service" -> {
                if (known != null) {
                    String by = alarm.by() == null ? "?" : alarm.by();
                    close(cases, known.held(by, nowS), Kind.ASIDE, due);
                }
            }
            default -> {
                if (known != null) {
                    cases.put(alarm.id(), known.gone(nowS));
                }
            }
        }
    }

    private boolean isWanted(AlarmLive alarm) {
        return AlarmOrder.urgency(alarm.priority()) <= AlarmOrder.urgency(settings.leastPriority());
    }

    private static Case opened(AlarmLive alarm, double nowS) {
        return new Case(
                alarm.id(),
                alarm.unit(),
                alarm.priority(),
                alarm.what(),
                alarm.respondS(),
                alarm.since(),
                alarm.cycle(),
                nowS,
                nowS,
                0,
                null,
                null,
                List.of(),
                null,
                List.of(nowS));
    }

    /** Somebody says that they have it, although it had been acknowledged before. */
    public Step taken(State before, String id, String by, double nowS) {
        Map<String, Case> cases = new TreeMap<>();
        before.cases().forEach(c -> cases.put(c.id(), c));
        List<Due> due = new ArrayList<>();
        Case known = cases.get(id);
        if (known != null && (known.by() != null || id.equals(Notices.NOT_HEARD))) {
            take(cases, known, by, nowS, due);
        }
        return new Step(new State(List.copyOf(cases.values())), due);
    }

    private static void take(
            Map<String, Case> cases, Case known, String by, double nowS, List<Due> due) {
        Case held = known.held(by, nowS);
        cases.put(known.id(), held);
        if (!held.told().isEmpty()) {
            due.add(new Due(Kind.TAKEN, held, held.told()));
        }
    }

    private static void close(Map<String, Case> cases, Case gone, Kind why, List<Due> due) {
        cases.remove(gone.id());
        if (!gone.told().isEmpty()) {
            due.add(new Due(why, gone, gone.told()));
        }
    }

    private Case climb(Case open, double nowS, @Nullable String onWatch, List<Due> due) {
        Case now = open;
        Set<String> people = new LinkedHashSet<>();
        while (now.stepsDone() < settings.steps().size()) {
            NoticeSettings.Step step = settings.steps().get(now.stepsDone());
            if (nowS < now.baseS() + Math.max(GATHER_S, step.afterS())) {
                break;
            }
            List<String> names = names(step, onWatch);
            people.addAll(names);
            now = now.told(names, now.stepsDone() + 1);
        }
        if (!people.isEmpty()) {
            due.add(new Due(now.overdue() ? Kind.STILL : Kind.RAISED, now, List.copyOf(people)));
        }
        return now;
    }

    /** Nobody on watch: then everyone is. */
    private List<String> names(NoticeSettings.Step step, @Nullable String onWatch) {
        List<String> everyone =
                settings.people().stream().map(NoticeSettings.Person::name).toList();
        Set<String> names = new LinkedHashSet<>();
        for (String who : step.tell()) {
            switch (who) {
                case NoticeSettings.EVERYONE -> names.addAll(everyone);
                case NoticeSettings.ON_WATCH ->
                        names.addAll(
                                onWatch != null && everyone.contains(onWatch)
                                        ? List.of(onWatch)
                                        : everyone);
                default -> names.add(who);
            }
        }
        return List.copyOf(names);
    }
}
