package steamleaf.core.science;

/**
 * Moisture on wet basis (kg water per kg moist leaf, 0 to 1) and dry basis (kg water per kg dry
 * leaf).
 *
 * <p>Definitions; wet basis is what ISO 1573:1980 (Tea, loss in mass at 103 °C) reports. Wet basis
 * 0 to 0.99, dry basis 0 to 99 kg/kg.
 */
public final class MoistureBasis {
    public static final Range WET_BASIS = new Range("moisture, wet basis", "kg/kg", 0.0, 0.99);
    public static final Range DRY_BASIS = new Range("moisture, dry basis", "kg/kg", 0.0, 99.0);
    public static final Range MASS_KG = new Range("mass of leaf", "kg", 0.0, 1.0e6);

    private MoistureBasis() {}

    /** X = w/(1 − w). */
    public static double dryBasis(double moistureWetBasis) {
        return WET_BASIS.holds(moistureWetBasis)
                ? moistureWetBasis / (1.0 - moistureWetBasis)
                : Double.NaN;
    }

    /** w = X/(1 + X). */
    public static double wetBasis(double moistureKgPerKg) {
        return DRY_BASIS.holds(moistureKgPerKg)
                ? moistureKgPerKg / (1.0 + moistureKgPerKg)
                : Double.NaN;
    }

    /**
     * Water that left when {@code massKg} dried from one wet-basis moisture to another, dry matter
     * conserved; below zero where water was taken up.
     */
    public static double waterLostKg(double massKg, double fromWetBasis, double toWetBasis) {
        if (!(MASS_KG.holds(massKg)
                && WET_BASIS.holds(fromWetBasis)
                && WET_BASIS.holds(toWetBasis))) {
            return Double.NaN;
        }
        return massKg - massKg * (1.0 - fromWetBasis) / (1.0 - toWetBasis);
    }

    /** Wet-basis moisture after a share of the mass evaporated: w = 1 − (1 − w0)/(1 − loss). */
    public static double wetBasisAfterLoss(double wetBasis, double lostShareOfMass) {
        boolean known =
                WET_BASIS.holds(wetBasis) && lostShareOfMass >= 0.0 && lostShareOfMass <= wetBasis;
        return known ? 1.0 - (1.0 - wetBasis) / (1.0 - lostShareOfMass) : Double.NaN;
    }
}
