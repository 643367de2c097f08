package steamleaf.sim.plant;

/**
 * How leaf really is; a mutable view, filled anew each time it is asked for. Moistures are wet
 * basis, 0 to 1.
 */
public final class LeafTruth {
    public boolean present;
    public double temperatureC;
    public double waterKg;
    public double dryKg;
    public double moistureWb;

    /** Standard deviation of moisture over blades and stems of all trays, weighted by dry mass. */
    public double spreadWb;

    /** Lowest and highest mean of a part: the blades, or the stems, of one tray. */
    public double driestWb;

    public double wettestWb;
    public double bladeWb;
    public double stemWb;

    /** Lowest and highest mean of a tray. */
    public double driestTrayWb;

    public double wettestTrayWb;

    /** Share of the peroxidase still active after steaming; 1 before. */
    public double enzymeLeft;

    /** Mean time in the steam, s. */
    public double dwellS;

    void clear() {
        present = false;
        temperatureC = Double.NaN;
        waterKg = 0;
        dryKg = 0;
        moistureWb = Double.NaN;
        spreadWb = Double.NaN;
        driestWb = Double.NaN;
        wettestWb = Double.NaN;
        bladeWb = Double.NaN;
        stemWb = Double.NaN;
        driestTrayWb = Double.NaN;
        wettestTrayWb = Double.NaN;
        enzymeLeft = Double.NaN;
        dwellS = Double.NaN;
    }

    void fill(Charge charge) {
        clear();
        present = true;
        double heat = 0;
        double capacity = 0;
        double bladeWater = 0;
        double bladeDry = 0;
        double stemWater = 0;
        double stemDry = 0;
        double squares = 0;
        driestWb = 1;
        wettestWb = 0;
        driestTrayWb = 1;
        wettestTrayWb = 0;
        for (Leaf leaf : charge.portions) {
            double c = leaf.heatCapacityJPerK();
            capacity += c;
            heat += c * leaf.temperatureC;
            double blade = wetBasis(leaf.blade.mean());
            double stem = wetBasis(leaf.stem.mean());
            bladeWater += leaf.blade.waterKg();
            bladeDry += leaf.blade.dryKg;
            stemWater += leaf.stem.waterKg();
            stemDry += leaf.stem.dryKg;
            double tray = leaf.waterKg() / (leaf.waterKg() + leaf.dryKg());
            driestTrayWb = Math.min(driestTrayWb, tray);
            wettestTrayWb = Math.max(wettestTrayWb, tray);
            driestWb = Math.min(driestWb, blade);
            wettestWb = Math.max(wettestWb, blade);
            if (leaf.stem.dryKg > 0) {
                driestWb = Math.min(driestWb, stem);
                wettestWb = Math.max(wettestWb, stem);
            }
            squares += leaf.blade.dryKg * blade * blade + leaf.stem.dryKg * stem * stem;
        }
        waterKg = bladeWater + stemWater;
        dryKg = bladeDry + stemDry;
        temperatureC = heat / capacity;
        moistureWb = waterKg / (waterKg + dryKg);
        bladeWb = bladeWater / (bladeWater + bladeDry);
        stemWb = stemDry > 0 ? stemWater / (stemWater + stemDry) : Double.NaN;
        double mean = 0;
        for (Leaf leaf : charge.portions) {
            mean +=
                    leaf.blade.dryKg * wetBasis(leaf.blade.mean())
                            + leaf.stem.dryKg * wetBasis(leaf.stem.mean());
        }
        mean /= dryKg;
        spreadWb = Math.sqrt(Math.max(0, squares / dryKg - mean * mean));
        enzymeLeft = charge.enzymeLeft;
        dwellS = charge.dwellS;
    }

    static double wetBasis(double dryBasis) {
        return dryBasis / (1 + dryBasis);
    }
}
