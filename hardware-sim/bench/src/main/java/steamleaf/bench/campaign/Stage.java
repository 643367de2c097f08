package steamleaf.bench.campaign;

import java.util.List;
import java.util.Locale;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.Phase;

/** Parts of a batch that differ in what is hot, open or moving. */
enum Stage {
    WARMING(1),
    STEAMING(1),
    LOADING(1),
    FIRST_DRYING(2),
    WORKING(2),
    MIDDLE_DRYING(3),
    LAST_DRYING(2),
    COOLING(1),
    PACKING(1);

    /** Windows that one batch has room for here. */
    final int windows;

    Stage(int windows) {
        this.windows = windows;
    }

    String word() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    static Stage of(Batch batch) {
        return switch (batch.phase()) {
            case Phase.Waiting _, Phase.Warming _, Phase.AwaitingPerson _ -> WARMING;
            case Phase.HeatingChest _, Phase.Feeding _, Phase.Steaming _ -> STEAMING;
            case Phase.Spreading _ -> LOADING;
            case Phase.Drying _, Phase.Turning _ -> drying(batch);
            case Phase.TakingOut _, Phase.Working _, Phase.PuttingBack _ -> WORKING;
            case Phase.CoolingInOven _ -> COOLING;
            case Phase.Weighing _, Phase.Packing _ -> PACKING;
        };
    }

    private static Stage drying(Batch batch) {
        List<Operation> procedure = batch.recipe().procedure();
        int now = batch.procedure().operation();
        int dryingsBefore = 0;
        int dryingsAfter = 0;
        for (int i = 0; i < procedure.size(); i++) {
            if (procedure.get(i) instanceof Operation.Dry && i != now) {
                dryingsBefore += i < now ? 1 : 0;
                dryingsAfter += i > now ? 1 : 0;
            }
        }
        return dryingsBefore == 0 ? FIRST_DRYING : dryingsAfter == 0 ? LAST_DRYING : MIDDLE_DRYING;
    }
}
