package steamleaf.sim.plant;

/**
 * What crossed the border of the line since it was built: water, dry leaf, energy, in and out. With
 * the stock inside, each must balance; a difference is a mistake in the equations.
 */
public final class Ledger {
    public double waterInKg;
    public double waterOutKg;
    public double dryInKg;
    public double dryOutKg;
    public double energyInJ;
    public double energyOutJ;

    /** Electrical work, a part of {@link #energyInJ}: heaters and fans. */
    public double electricJ;

    /** Steam supplied, a part of {@link #waterInKg}. */
    public double steamKg;

    void copyFrom(Ledger other) {
        waterInKg = other.waterInKg;
        waterOutKg = other.waterOutKg;
        dryInKg = other.dryInKg;
        dryOutKg = other.dryOutKg;
        energyInJ = other.energyInJ;
        energyOutJ = other.energyOutJ;
        electricJ = other.electricJ;
        steamKg = other.steamKg;
    }

    void water(double kg) {
        if (kg >= 0) {
            waterInKg += kg;
        } else {
            waterOutKg -= kg;
        }
    }

    void energy(double joule) {
        if (joule >= 0) {
            energyInJ += joule;
        } else {
            energyOutJ -= joule;
        }
    }
}
