package steamleaf.bench.campaign;

import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import steamleaf.sim.fault.FaultCase;
import steamleaf.sim.fault.FaultKind;

/**
 * What happens in one window: one fault or several, by the time since the window began.
 *
 * @param moment when in its stage it begins, as a share of what the stage usually lasts
 */
record Story(Stage stage, double moment, List<Draw> draws) {
    Story {
        draws = List.copyOf(draws);
    }

    /** Begins as soon as its stage does. */
    Story(Stage stage, List<Draw> draws) {
        this(stage, 0, draws);
    }

    /** After how long in its stage it begins. */
    double momentS() {
        return moment * stage.lastsS;
    }

    /** For another batch, when the stage was over before the moment came. */
    Story earlier() {
        return new Story(stage, moment / 2, draws);
    }

    /** Component, kind and stage of a story with one fault. */
    String cell() {
        return stage.word() + ": " + draws.getFirst().what();
    }

    /**
     * One fault.
     *
     * @param size in the unit of the case; 0 where there is none
     */
    record Draw(
            FaultCase what, double afterS, double durationS, double size, @Nullable String with) {
        String entry(double beginS) {
            StringBuilder text = new StringBuilder("- {at: ").append(tenths(beginS + afterS));
            text.append(" s, component: ").append(what.component());
            text.append(", kind: ").append(what.kind().word());
            text.append(", duration: ").append(tenths(durationS)).append(" s");
            FaultCase.Size unit = what.size();
            if (unit != null) {
                text.append(", size: ").append(plain(size));
                text.append(unit.unit().equals("1") ? "" : " " + unit.unit());
            }
            if (with != null) {
                text.append(", with: ").append(with);
            }
            return text.append("}\n").toString();
        }

        @Override
        public String toString() {
            FaultCase.Size unit = what.size();
            return what
                    + (unit == null ? "" : " " + plain(size) + " " + unit.unit())
                    + (with == null ? "" : " with " + with)
                    + " for "
                    + tenths(durationS)
                    + " s";
        }
    }

    private static String tenths(double s) {
        return String.format(Locale.ROOT, "%.1f", s);
    }

    private static String plain(double size) {
        return String.format(Locale.ROOT, "%.3f", size);
    }

    double lastS() {
        return draws.stream().mapToDouble(d -> d.afterS() + d.durationS()).max().orElse(0);
    }

    /** How many begin later than so many seconds after the window did. */
    long beginningAfter(double sinceS) {
        return draws.stream().filter(draw -> draw.afterS() > sinceS).count();
    }

    /** As entries of a fault file. */
    String entries(double beginS) {
        StringBuilder text = new StringBuilder();
        draws.forEach(draw -> text.append(draw.entry(beginS)));
        return text.toString();
    }

    @Override
    public String toString() {
        return stage.word()
                + ": "
                + (draws.isEmpty()
                        ? "nothing broken"
                        : String.join(" and ", draws.stream().map(Draw::toString).toList()));
    }

    static Draw draw(FaultCase what, double latestS, SplittableRandom random) {
        double chance = random.nextDouble();
        double durationS =
                chance < 0.35
                        ? random.nextDouble(0.2, 30)
                        : chance < 0.75 ? random.nextDouble(30, 300) : random.nextDouble(300, 720);
        String with =
                what.kind() == FaultKind.SWAPPED
                        ? what.partners().get(random.nextInt(what.partners().size()))
                        : null;
        return new Draw(
                what,
                Math.round(random.nextDouble(2, latestS) * 10) / 10.0,
                Math.max(0.1, Math.round(durationS * 10) / 10.0),
                size(what, random),
                with);
    }

    /** Small and large errors alike: by their logarithm, either sign; shares evenly. */
    private static double size(FaultCase what, SplittableRandom random) {
        FaultCase.Size size = what.size();
        if (size == null) {
            return 0;
        }
        if (size.from() >= 0) {
            return Math.round(1000 * random.nextDouble(size.from(), size.to())) / 1000.0;
        }
        double magnitude = size.to() * Math.exp(-random.nextDouble(0, 5));
        return Math.round(1000 * (random.nextBoolean() ? magnitude : -magnitude)) / 1000.0;
    }
}
