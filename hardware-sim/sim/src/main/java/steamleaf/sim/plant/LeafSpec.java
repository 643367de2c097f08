package steamleaf.sim.plant;

/**
 * The leaf of one lot as it lies before the steamer.
 *
 * @param ripeness 0 bud to 1 coarse leaf
 * @param moistureWb moisture inside the leaf, wet basis, 0 to 1
 * @param rainKgPerKg rain water clinging to it, per kilogram of leaf without it
 * @param temperatureC its temperature
 */
public record LeafSpec(
        double ripeness, double moistureWb, double rainKgPerKg, double temperatureC) {
    public static LeafSpec of(PlantSettings.Leaf leaf) {
        return new LeafSpec(
                leaf.ripeness(), leaf.initialMoistureWb(), leaf.rainKgPerKg(), leaf.temperatureC());
    }
}
