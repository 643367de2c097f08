package steamleaf.core.alarm;

import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.UnitKind;

/** One row of the alarm table while it is written down. */
final class Def {
    final Priority priority;
    final Source source;
    final Set<UnitKind> scope;
    boolean trip;
    boolean evacuates;
    boolean onlyInUse;
    @Nullable String hiddenBy;
    double onS;
    double offS;
    double respondS;
    String consequence = "";
    List<Quantity> bad = List.of();
    List<Quantity> pressed = List.of();
    @Nullable Quantity value;
    double limit = Double.NaN;
    double deadBand = Double.NaN;

    Def(Priority priority, Source source, UnitKind first, UnitKind... more) {
        this.priority = priority;
        this.source = source;
        this.scope = EnumSet.of(first, more);
    }

    Def trip() {
        trip = true;
        return this;
    }

    Def evacuates() {
        evacuates = true;
        return this;
    }

    Def onlyInUse() {
        onlyInUse = true;
        return this;
    }

    /** By name, since rows further down do not exist yet. */
    Def hiddenBy(String other) {
        hiddenBy = other;
        return this;
    }

    Def on(double delayS) {
        onS = delayS;
        return this;
    }

    Def off(double delayS) {
        offS = delayS;
        return this;
    }

    Def respond(double s) {
        respondS = s;
        return this;
    }

    Def means(String what) {
        consequence = what;
        return this;
    }

    Def quantities(Quantity... which) {
        bad = List.of(which);
        return this;
    }

    Def pressed(Quantity... which) {
        pressed = List.of(which);
        return this;
    }

    Def above(Quantity which, double above, double band) {
        value = which;
        limit = above;
        deadBand = band;
        return this;
    }
}
