package steamleaf.bench.campaign;

import java.util.List;
import java.util.Locale;
import steamleaf.sim.fault.Fault;

/**
 * Something that must not be.
 *
 * @param atS simulated second in which it had lasted too long
 * @param unit where
 * @param detail what more there is to say; may be empty
 * @param broken what was broken at that moment, component and kind
 */
public record Finding(double atS, Check check, String unit, String detail, List<String> broken) {
    public Finding {
        broken = List.copyOf(broken);
    }

    /** Component and kind; of an exchange both, since each is then in the other's place. */
    static List<String> names(Fault fault) {
        String what = fault.what().toString();
        String with = fault.with();
        return with == null
                ? List.of(what)
                : List.of(what, with + " " + fault.what().kind().word());
    }

    @Override
    public String toString() {
        return String.format(
                Locale.ROOT,
                "%.1f s: %s: %s%s%s",
                atS,
                unit,
                check.words(),
                detail.isEmpty() ? "" : ", " + detail,
                broken.isEmpty() ? "" : " (broken: " + String.join(", ", broken) + ")");
    }
}
