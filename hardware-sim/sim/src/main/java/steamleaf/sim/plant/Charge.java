package steamleaf.sim.plant;

/**
 * A parcel of leaf that wanders through the line, divided into as many portions as an oven has
 * trays.
 */
final class Charge {
    final int id;
    final Leaf[] portions;
    Place place = Place.STEAMER;
    double workLeftS;
    double enzymeLeft = 1;
    double ripeness = 0.5;
    double dwellS;

    /** Air between the leaves while they lie outside an oven. */
    private double heapC;

    private double heapHumidity;

    Charge(int id, PlantSettings settings) {
        this.id = id;
        portions = new Leaf[settings.oven().trays()];
        for (int i = 0; i < portions.length; i++) {
            portions[i] = new Leaf(settings.leaf());
        }
    }

    Charge(Charge other) {
        this(other, other.id);
    }

    Charge(Charge other, int id) {
        this.id = id;
        portions = new Leaf[other.portions.length];
        for (int i = 0; i < portions.length; i++) {
            portions[i] = new Leaf(other.portions[i]);
        }
        place = other.place;
        workLeftS = other.workLeftS;
        enzymeLeft = other.enzymeLeft;
        ripeness = other.ripeness;
        dwellS = other.dwellS;
        heapC = other.heapC;
        heapHumidity = other.heapHumidity;
    }

    /** Fills the portions evenly with steamed leaf. */
    void fill(
            PlantSettings.Leaf numbers,
            double ripeness,
            double dryKg,
            double waterKg,
            double celsius) {
        this.ripeness = ripeness;
        double off = ripeness - 0.5;
        double stems =
                Math.clamp(numbers.stemShare() + numbers.stemSharePerRipeness() * off, 0, 0.6);
        double thick = 1 + numbers.thicknessPerRipeness() * off;
        for (Leaf leaf : portions) {
            leaf.blade.halfThicknessM = numbers.bladeHalfThicknessM() * thick;
            leaf.stem.halfThicknessM = numbers.stemHalfThicknessM() * thick;
            leaf.blade.dryKg = dryKg * (1 - stems) / portions.length;
            leaf.stem.dryKg = dryKg * stems / portions.length;
            leaf.blade.fill(waterKg / dryKg);
            leaf.stem.fill(waterKg / dryKg);
            leaf.temperatureC = celsius;
        }
        heapC = celsius;
    }

    double dryKg() {
        double sum = 0;
        for (Leaf leaf : portions) {
            sum += leaf.dryKg();
        }
        return sum;
    }

    double waterKg() {
        double sum = 0;
        for (Leaf leaf : portions) {
            sum += leaf.waterKg();
        }
        return sum;
    }

    double massKg() {
        return dryKg() + waterKg();
    }

    double enthalpyJ() {
        double sum = 0;
        for (Leaf leaf : portions) {
            sum += leaf.enthalpyJ();
        }
        return sum;
    }

    /**
     * One step outside the ovens: leaf gives vapour and heat to the air between the leaves, which
     * the room exchanges. That air is taken as quasi-steady, so blades, stems and portions also
     * even out through it.
     */
    void stepOutside(double elapsedS, PlantSettings settings, Room room, Gab gab, Ledger ledger) {
        PlantSettings.Bench bench = settings.bench();
        double film =
                place == Place.COOLING_TABLE ? bench.coolingFilmWPerKgK() : bench.filmWPerKgK();
        double airPerS =
                switch (place) {
                    case COOLING_TABLE -> bench.coolingAirPerS();
                    case RESTING -> bench.coveredAirPerS();
                    case BENCH, ROLLING, SHAPING -> bench.openAirPerS();
                    case STEAMER, OVEN, PACKED, MERGED -> 0;
                };
        double lossWPerKgK =
                place == Place.RESTING ? bench.coveredLossWPerKgK() : bench.openLossWPerKgK();
        airBetween(film, airPerS, lossWPerKgK, room, gab);
        for (Leaf leaf : portions) {
            leaf.step(elapsedS, gab, film * leaf.dryKg(), heapC, heapHumidity, room.pressurePa);
            ledger.water(-elapsedS * leaf.vapourKgPerS);
            ledger.energy(-elapsedS * (leaf.vapourW - leaf.heatW));
        }
        if (place == Place.ROLLING || place == Place.SHAPING) {
            work(elapsedS, settings.rolling(), ledger);
        }
    }

    private void airBetween(
            double filmWPerKgK, double airPerS, double lossWPerKgK, Room room, Gab gab) {
        double filmPerS = filmWPerKgK / (MoistAir.DRY_AIR_J_PER_KG_K * MoistAir.LEWIS_TWO_THIRDS);
        double heat = airPerS * MoistAir.DRY_AIR_J_PER_KG_K + lossWPerKgK;
        double dry = dryKg();
        double vapour = airPerS * room.humidity * dry;
        double warmth = heat * room.temperatureC * dry;
        for (Leaf leaf : portions) {
            double saturationPa = Steam.saturationPa(leaf.temperatureC);
            gab.temperature(leaf.temperatureC);
            gab.at(leaf.blade.surface);
            vapour +=
                    leaf.blade.dryKg
                            * filmPerS
                            * MoistAir.humidityKgPerKg(gab.activity, saturationPa, room.pressurePa);
            gab.at(leaf.stem.surface);
            vapour +=
                    leaf.stem.dryKg
                            * filmPerS
                            * MoistAir.humidityKgPerKg(gab.activity, saturationPa, room.pressurePa);
            warmth += leaf.dryKg() * filmWPerKgK * leaf.temperatureC;
        }
        heapHumidity = vapour / ((filmPerS + airPerS) * dry);
        heapC = warmth / ((filmWPerKgK + heat) * dry);
    }

    /**
     * Rolling and shaping: losses, mixing of portions, kneading of each piece, water between blade
     * and stem.
     */
    private void work(double elapsedS, PlantSettings.Rolling numbers, Ledger ledger) {
        double share =
                elapsedS
                        / (numbers.referenceMin() * 60)
                        * (place == Place.SHAPING ? numbers.shapingLoss() : 1);
        double dryLost = -Math.expm1(share * Math.log1p(-numbers.dryLoss()));
        double waterLost = -Math.expm1(share * Math.log1p(-numbers.waterLoss()));
        for (Leaf leaf : portions) {
            lose(leaf, dryLost, waterLost, ledger);
        }
        mix(-Math.expm1(-elapsedS / numbers.mixingS()));
        double knead = -Math.expm1(-elapsedS / numbers.kneadingS());
        double even = -Math.expm1(-elapsedS / numbers.bladeToStemS());
        for (Leaf leaf : portions) {
            double blade = leaf.blade.mean();
            double stem = leaf.stem.mean();
            leaf.blade.towards(blade, knead);
            leaf.stem.towards(stem, knead);
            double mean = leaf.waterKg() / leaf.dryKg();
            leaf.blade.add(even * (mean - leaf.blade.mean()));
            if (leaf.stem.dryKg > 0) {
                leaf.stem.add(even * (mean - leaf.stem.mean()));
            }
            leaf.lyingS = 0;
        }
        workLeftS -= elapsedS;
        if (workLeftS <= 1e-9) {
            workLeftS = 0;
            place = Place.BENCH;
        }
    }

    /** Dry matter goes with the water in it; pressed-out juice is water alone. */
    private static void lose(Leaf leaf, double dryShare, double waterShare, Ledger ledger) {
        double dryBefore = leaf.dryKg();
        double waterBefore = leaf.waterKg();
        double heatBefore = leaf.enthalpyJ();
        leaf.blade.dryKg *= 1 - dryShare;
        leaf.stem.dryKg *= 1 - dryShare;
        leaf.blade.scale(1 - waterShare);
        leaf.stem.scale(1 - waterShare);
        ledger.dryOutKg += dryBefore - leaf.dryKg();
        ledger.waterOutKg += waterBefore - leaf.waterKg();
        ledger.energy(leaf.enthalpyJ() - heatBefore);
    }

    /** Moves every portion towards the charge's mean profile; water, dry matter and heat stay. */
    private void mix(double share) {
        double bladeDry = 0;
        double stemDry = 0;
        double heat = 0;
        for (Leaf leaf : portions) {
            bladeDry += leaf.blade.dryKg;
            stemDry += leaf.stem.dryKg;
            heat += leaf.enthalpyJ();
        }
        int cells = portions[0].blade.moisture.length;
        for (int cell = 0; cell < cells; cell++) {
            double blade = 0;
            double stem = 0;
            for (Leaf leaf : portions) {
                blade += leaf.blade.dryKg * leaf.blade.moisture[cell];
                stem += leaf.stem.dryKg * leaf.stem.moisture[cell];
            }
            for (Leaf leaf : portions) {
                leaf.blade.moisture[cell] += share * (blade / bladeDry - leaf.blade.moisture[cell]);
                if (stemDry > 0) {
                    leaf.stem.moisture[cell] += share * (stem / stemDry - leaf.stem.moisture[cell]);
                }
            }
        }
        double capacity = 0;
        for (Leaf leaf : portions) {
            capacity += leaf.heatCapacityJPerK();
        }
        double even = heat / capacity;
        for (Leaf leaf : portions) {
            leaf.temperatureC = even;
        }
    }

    /** Takes a share of every portion away. */
    void takeAway(double share) {
        for (Leaf leaf : portions) {
            leaf.blade.dryKg *= 1 - share;
            leaf.stem.dryKg *= 1 - share;
        }
    }

    /**
     * Adds another charge, portion to portion; its leaf is mixed in, water, dry matter and heat are
     * kept.
     */
    void takeIn(Charge other) {
        double mine = dryKg();
        double theirs = other.dryKg();
        for (int i = 0; i < portions.length; i++) {
            Leaf leaf = portions[i];
            Leaf added = other.portions[i];
            double heat = leaf.enthalpyJ() + added.enthalpyJ();
            join(leaf.blade, added.blade);
            join(leaf.stem, added.stem);
            leaf.temperatureC = heat / leaf.heatCapacityJPerK();
        }
        enzymeLeft = (enzymeLeft * mine + other.enzymeLeft * theirs) / (mine + theirs);
        dwellS = (dwellS * mine + other.dwellS * theirs) / (mine + theirs);
        ripeness = (ripeness * mine + other.ripeness * theirs) / (mine + theirs);
    }

    private static void join(Slab slab, Slab added) {
        double total = slab.dryKg + added.dryKg;
        if (total > 0) {
            double share = added.dryKg / total;
            slab.blend(added, share);
            slab.halfThicknessM += share * (added.halfThicknessM - slab.halfThicknessM);
            slab.dryKg = total;
        }
    }

    void turn() {
        for (Leaf leaf : portions) {
            leaf.lyingS = 0;
        }
    }

    void swapTopToBottom() {
        for (int i = 0, j = portions.length - 1; i < j; i++, j--) {
            Leaf leaf = portions[i];
            portions[i] = portions[j];
            portions[j] = leaf;
        }
        turn();
    }
}
