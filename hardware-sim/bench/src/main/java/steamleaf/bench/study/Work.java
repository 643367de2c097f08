package steamleaf.bench.study;

import steamleaf.core.cycle.OvenLeaf;

/**
 * What is done to leaf between the dryings, and how the filter is told of it: as the controller
 * does.
 */
enum Work {
    ROLL(
            OvenLeaf.ROLL_DRY_LOSS,
            OvenLeaf.ROLL_DRY_LOSS_SD,
            OvenLeaf.ROLL_WATER_LOSS,
            OvenLeaf.ROLL_WATER_LOSS_SD,
            OvenLeaf.ROLL_EVENING),
    SHAPE(
            OvenLeaf.SHAPE_DRY_LOSS,
            OvenLeaf.SHAPE_DRY_LOSS_SD,
            OvenLeaf.SHAPE_DRY_LOSS,
            OvenLeaf.SHAPE_DRY_LOSS_SD,
            OvenLeaf.SHAPE_EVENING),
    REST(0.0, 0.0, 0.0, 0.0, 0.0);

    final double dryLoss;
    final double dryLossSd;
    final double waterLoss;
    final double waterLossSd;
    final double evening;

    Work(double dryLoss, double dryLossSd, double waterLoss, double waterLossSd, double evening) {
        this.dryLoss = dryLoss;
        this.dryLossSd = dryLossSd;
        this.waterLoss = waterLoss;
        this.waterLossSd = waterLossSd;
        this.evening = evening;
    }
}
