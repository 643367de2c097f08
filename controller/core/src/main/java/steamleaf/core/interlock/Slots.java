package steamleaf.core.interlock;

import steamleaf.core.reading.UnitId;
import steamleaf.core.reading.UnitKind;

/** Numbers each rule at each unit: the line's rules, the steamer's, then oven by oven. */
final class Slots {
    private final Rule[] rules;
    private final UnitId[] units;

    Slots(int ovens) {
        int line = Rule.count(UnitKind.LINE);
        int steamer = Rule.count(UnitKind.STEAMER);
        int oven = Rule.count(UnitKind.OVEN);
        rules = new Rule[line + steamer + ovens * oven];
        units = new UnitId[rules.length];
        int at = put(0, UnitId.LINE);
        at = put(at, UnitId.STEAMER);
        for (int n = 1; n <= ovens; n++) {
            at = put(at, UnitId.oven(n));
        }
    }

    private int put(int from, UnitId unit) {
        int at = from;
        for (Rule rule : Rule.rules(unit.kind())) {
            rules[at] = rule;
            units[at] = unit;
            at++;
        }
        return at;
    }

    int count() {
        return rules.length;
    }

    Rule rule(int slot) {
        return rules[slot];
    }

    UnitId unit(int slot) {
        return units[slot];
    }
}
