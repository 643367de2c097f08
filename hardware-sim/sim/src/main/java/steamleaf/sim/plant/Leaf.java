package steamleaf.sim.plant;

/**
 * A portion of leaf, as much as lies on one tray: blade and stem as diffusing slabs at one
 * temperature. One step answers with the vapour and the heat that passed between leaf and the air
 * around it.
 */
final class Leaf {
    private static final double REFERENCE_K = 353.15;

    private static final Grid GRID = Grid.six();

    private final PlantSettings.Leaf numbers;
    final Slab blade;
    final Slab stem;
    double temperatureC;

    /** Time since the leaf was last turned, for matting. */
    double lyingS;

    /**
     * Results of the last step: vapour given off, kg/s, the enthalpy it carried, W, and heat taken
     * up from the air, W.
     */
    double vapourKgPerS;

    double vapourW;
    double heatW;

    Leaf(PlantSettings.Leaf numbers) {
        this.numbers = numbers;
        blade = new Slab(GRID);
        stem = new Slab(GRID);
    }

    Leaf(Leaf other) {
        numbers = other.numbers;
        blade = new Slab(other.blade);
        stem = new Slab(other.stem);
        temperatureC = other.temperatureC;
        lyingS = other.lyingS;
        vapourKgPerS = other.vapourKgPerS;
        vapourW = other.vapourW;
        heatW = other.heatW;
    }

    double dryKg() {
        return blade.dryKg + stem.dryKg;
    }

    double waterKg() {
        return blade.waterKg() + stem.waterKg();
    }

    double heatCapacityJPerK() {
        return dryKg() * numbers.dryHeatCapacityJPerKgK() + waterKg() * MoistAir.WATER_J_PER_KG_K;
    }

    double enthalpyJ() {
        return heatCapacityJPerK() * temperatureC;
    }

    /**
     * @param filmWPerK surface film of the whole portion
     * @param airC temperature of the air at the leaf
     * @param humidity its humidity ratio
     */
    void step(
            double elapsedS,
            Gab gab,
            double filmWPerK,
            double airC,
            double humidity,
            double pressurePa) {
        double dryKg = dryKg();
        double capacity = heatCapacityJPerK();
        double saturationPa = Steam.saturationPa(temperatureC);
        gab.temperature(temperatureC);
        double arrhenius =
                Math.exp(
                        -numbers.activationJPerMol()
                                / MoistAir.GAS_J_PER_MOL_K
                                * (1 / (temperatureC + Steam.ZERO_C_K) - 1 / REFERENCE_K));
        double dry = numbers.dryDiffusivityM2PerS() * arrhenius;
        double wet = numbers.wetDiffusivityM2PerS() * arrhenius;
        double moistJPerKgK = MoistAir.DRY_AIR_J_PER_KG_K + humidity * MoistAir.VAPOUR_J_PER_KG_K;
        double filmPerS = filmWPerK / (moistJPerKgK * MoistAir.LEWIS_TWO_THIRDS * dryKg);
        double vapourPa = MoistAir.vapourPa(humidity, pressurePa);
        blade.step(elapsedS, dry, wet, gab, saturationPa, pressurePa, filmPerS, vapourPa);
        stem.step(elapsedS, dry, wet, gab, saturationPa, pressurePa, filmPerS, vapourPa);
        vapourKgPerS = blade.fluxPerS * blade.dryKg + stem.fluxPerS * stem.dryKg;

        // Heat, implicit in the leaf's temperature with the vapour flow as found; vapour leaves at
        // the old temperature.
        vapourW = vapourKgPerS * MoistAir.vapourJPerKg(temperatureC);
        double after = capacity - elapsedS * vapourKgPerS * MoistAir.WATER_J_PER_KG_K;
        double next =
                (capacity * temperatureC + elapsedS * (filmWPerK * airC - vapourW))
                        / (after + elapsedS * filmWPerK);
        heatW = filmWPerK * (airC - next);
        temperatureC = next;
        lyingS += elapsedS;
    }
}
