package steamleaf.bench.campaign;

import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.Phase;

/** Parts of a batch that differ in what is hot, open or moving. */
enum Stage {
    WARMING(1, 560),
    STEAMING(1, 420),
    LOADING(1, 430),
    FIRST_DRYING(5, 6_000),
    WORKING(4, 4_200),
    MIDDLE_DRYING(5, 6_000),
    LAST_DRYING(2, 2_300),
    COOLING(1, 240),
    PACKING(1, 70);

    /** How often pairs come up here: long stages more often, short ones not never. */
    private final int weight;

    /** How long it lasts on a good day of the stock line, all parts of it; measured. */
    final double lastsS;

    Stage(int weight, double lastsS) {
        this.weight = weight;
        this.lastsS = lastsS;
    }

    static Stage drawn(SplittableRandom random) {
        Stage[] all = values();
        int weights = 0;
        for (Stage stage : all) {
            weights += stage.weight;
        }
        int left = random.nextInt(weights);
        int i = 0;
        while (left >= all[i].weight) {
            left -= all[i++].weight;
        }
        return all[i];
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
