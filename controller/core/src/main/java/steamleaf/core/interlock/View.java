package steamleaf.core.interlock;

import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/**
 * What the rules look at in one cycle: this cycle's readings, what the last cycle drove, and what
 * the watches remember. Lives for one step only.
 */
final class View {
    final GuardSettings settings;
    final GuardInput in;
    final Readings readings;
    final WantedOutputs driven;
    final ContactorWatch contactor;
    final SteamerWatch steamer;
    final OvenWatch[] ovens;
    final boolean late;
    final int restartsWithinHour;
    final int started;
    final WarmingTurn turn;
    final double nowS;

    View(
            GuardSettings settings,
            GuardInput in,
            WantedOutputs driven,
            ContactorWatch contactor,
            SteamerWatch steamer,
            OvenWatch[] ovens,
            boolean late,
            int restartsWithinHour,
            int started,
            WarmingTurn turn,
            double nowS) {
        this.settings = settings;
        this.in = in;
        this.readings = in.readings();
        this.driven = driven;
        this.contactor = contactor;
        this.steamer = steamer;
        this.ovens = ovens;
        this.late = late;
        this.restartsWithinHour = restartsWithinHour;
        this.started = started;
        this.turn = turn;
        this.nowS = nowS;
    }

    boolean on(UnitId unit, Quantity quantity) {
        return readings.isOn(unit, quantity);
    }

    boolean off(UnitId unit, Quantity quantity) {
        return readings.isOff(unit, quantity);
    }

    double good(UnitId unit, Quantity quantity) {
        return readings.good(unit, quantity);
    }

    boolean isGood(UnitId unit, Quantity quantity) {
        return !Double.isNaN(readings.good(unit, quantity));
    }

    OvenWatch oven(UnitId unit) {
        return ovens[unit.number() - 1];
    }

    OvenOutputs drivenOven(UnitId unit) {
        return driven.ovens().get(unit.number() - 1);
    }

    OvenLimits limits(UnitId unit) {
        return in.limits().ovens().get(unit.number() - 1);
    }

    GuardSettings.Oven built(UnitId unit) {
        return settings.ovens().get(unit.number() - 1);
    }

    boolean steamDriven() {
        return driven.steamValve() || driven.secondSteamValve();
    }
}
