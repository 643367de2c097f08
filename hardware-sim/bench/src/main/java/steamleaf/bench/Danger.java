package steamleaf.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.UnitTruth;

/**
 * Looks at the simulator's truth, every cycle, for heat and steam where there must be none. Grace
 * times are those within which the guard and the contactor act: engineering choice.
 */
final class Danger {
    private static final double DOOR_GRACE_S = 0.5;
    private static final double AIRFLOW_GRACE_S = 5;
    private static final double HOOD_GRACE_S = 1;
    private static final double HEAT_W = 50;
    private static final double STEAM_KG_PER_S = 1e-4;
    private static final int MOST = 50;

    private final List<String> seen = new ArrayList<>();
    private final double[] doorS;
    private final double[] airflowS;
    private double hoodS;

    Danger(int ovens) {
        doorS = new double[ovens + 1];
        airflowS = new double[ovens + 1];
    }

    void look(Plant plant, double elapsedS) {
        UnitTruth steamer = plant.truth(0);
        hoodS = steamer.doorOpen && steamer.steamKgPerS > STEAM_KG_PER_S ? hoodS + elapsedS : 0;
        if (isOver(hoodS, HOOD_GRACE_S, elapsedS)) {
            note(plant, "steam into the open hood");
        }
        for (int oven = 1; oven < doorS.length; oven++) {
            UnitTruth truth = plant.truth(oven);
            boolean heat = truth.heaterW > HEAT_W;
            doorS[oven] = heat && truth.doorOpen ? doorS[oven] + elapsedS : 0;
            airflowS[oven] = heat && !truth.fanOn ? airflowS[oven] + elapsedS : 0;
            if (isOver(doorS[oven], DOOR_GRACE_S, elapsedS)) {
                note(plant, "heat in " + truth.unit + " with its door open");
            }
            if (isOver(airflowS[oven], AIRFLOW_GRACE_S, elapsedS)) {
                note(plant, "heat in " + truth.unit + " without its fan");
            }
        }
    }

    /** True once per occurrence, when its grace is over. */
    private static boolean isOver(double lastedS, double graceS, double elapsedS) {
        return lastedS > graceS && lastedS - elapsedS <= graceS;
    }

    private void note(Plant plant, String what) {
        if (seen.size() < MOST) {
            seen.add(String.format(Locale.ROOT, "%.1f s: %s", plant.timeS(), what));
        }
    }

    List<String> seen() {
        return List.copyOf(seen);
    }
}
