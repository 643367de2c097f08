package steamleaf.core.batch;

import java.util.List;

/**
 * The leaf of a batch: what it was made of and what is known of it since.
 *
 * @param pluckedAtS of its oldest portion, on the line's time axis
 * @param wetByRain whether any portion was
 * @param freshG what it weighed fresh
 * @param latestKg its last weighing, NaN before the first
 */
public record Charge(
        List<Portion> portions,
        List<String> lotLabels,
        double pluckedAtS,
        boolean wetByRain,
        long freshG,
        Place place,
        double latestKg) {
    public Charge {
        portions = List.copyOf(portions);
        lotLabels = List.copyOf(lotLabels);
    }

    public double freshKg() {
        return freshG / 1000.0;
    }

    Charge at(Place newPlace) {
        return new Charge(portions, lotLabels, pluckedAtS, wetByRain, freshG, newPlace, latestKg);
    }

    Charge weighing(double massKg) {
        return new Charge(portions, lotLabels, pluckedAtS, wetByRain, freshG, place, massKg);
    }
}
