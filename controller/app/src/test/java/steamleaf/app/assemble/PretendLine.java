package steamleaf.app.assemble;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.app.io.Drive;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.reading.Quality;
import steamleaf.core.reading.Quantity;
import steamleaf.core.reading.Readings;
import steamleaf.core.reading.UnitId;

/** A line that is cold, healthy and has nobody at it; tells what was done to it, in order. */
final class PretendLine implements Pins {
    final List<String> done = new ArrayList<>();
    private final int ovens;
    private final Readings.Collector collector;
    @Nullable String failing;

    PretendLine(int ovens) {
        this.ovens = ovens;
        collector = new Readings.Collector(ovens);
        for (Quantity contact :
                List.of(
                        Quantity.EMERGENCY_STOP_HEALTHY,
                        Quantity.PERMIT_KEY_ON,
                        Quantity.SUPPLY_HEALTHY,
                        Quantity.SMOKE_HEALTHY)) {
            collector.set(UnitId.LINE, contact, true);
        }
        for (Quantity contact :
                List.of(
                        Quantity.START_BUTTON,
                        Quantity.RESET_BUTTON,
                        Quantity.CONFIRM_BUTTON,
                        Quantity.SILENCE_BUTTON,
                        Quantity.CONTACTOR_CLOSED)) {
            collector.set(UnitId.LINE, contact, false);
        }
        set(UnitId.LINE, Quantity.ROOM_C, 21.987);
        set(UnitId.LINE, Quantity.ROOM_RH, 0.6);
        set(UnitId.LINE, Quantity.ROOM_PRESSURE_KPA, 100.1);
        set(UnitId.STEAMER, Quantity.CHEST_A_C, 22.0);
        set(UnitId.STEAMER, Quantity.CHEST_B_C, 22.1);
        set(UnitId.STEAMER, Quantity.BELT_MM_PER_S, 0.0);
        for (Quantity contact :
                List.of(
                        Quantity.HOOD_CLOSED,
                        Quantity.HOOD_LOCKED,
                        Quantity.STEAM_AVAILABLE,
                        Quantity.OVER_PRESSURE_HEALTHY)) {
            collector.set(UnitId.STEAMER, contact, true);
        }
        collector.set(UnitId.STEAMER, Quantity.EXTRACTOR_PROVEN, false);
        for (int n = 1; n <= ovens; n++) {
            UnitId oven = UnitId.oven(n);
            set(oven, Quantity.AIR_C, 22.04);
            set(oven, Quantity.EXHAUST_C, 22.3);
            set(oven, Quantity.EXHAUST_RH, 0.6125);
            set(oven, Quantity.SCALE_KG, 6.0);
            collector.set(oven, Quantity.DOOR_CLOSED, true);
            collector.set(oven, Quantity.HIGH_LIMIT_HEALTHY, true);
            collector.set(oven, Quantity.AIRFLOW_PROVEN, false);
            collector.set(oven, Quantity.HEATER_CURRENT, false);
        }
    }

    void set(UnitId unit, Quantity quantity, double value) {
        collector.set(unit, quantity, value, Quality.GOOD);
    }

    void keyOff() {
        collector.set(UnitId.LINE, Quantity.PERMIT_KEY_ON, false);
    }

    void bad(UnitId unit, Quantity quantity) {
        collector.set(unit, quantity, Double.NaN, Quality.FAULT);
    }

    /** What the hardware says it took. */
    Drive.Taken taken = Drive.Taken.ALL;

    private void doing(String what) {
        done.add(what);
        if (what.equals(failing)) {
            throw new IllegalStateException("broken on purpose: " + what);
        }
    }

    @Override
    public Readings scan(long cycle) {
        doing("scan");
        if ("step".equals(failing)) {
            return new Readings.Collector(ovens - 1).build(); // the step misses the last oven
        }
        return collector.build();
    }

    @Override
    public Drive.Taken drive(AllowedOutputs outputs, Annunciation annunciation) {
        doing("drive");
        return taken;
    }

    @Override
    public void allOff() {
        done.add("all off");
    }

    @Override
    public void pulse() {
        doing("pulse");
    }

    int ovens() {
        return ovens;
    }
}
