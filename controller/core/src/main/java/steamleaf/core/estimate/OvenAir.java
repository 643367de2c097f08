package steamleaf.core.estimate;

/**
 * What the air around the leaf was during one step, as measured. A value that can't be trusted is
 * NaN; the filter then goes on with the last good one, skips what depends on it and widens.
 *
 * @param airC before the trays
 * @param exhaustC at the humidity sensor
 * @param exhaustRh 0 to 1
 * @param roomC air that comes in
 * @param roomRh 0 to 1
 * @param pressureKPa absolute
 * @param freshAirM3PerH nominal exchange with the room, at room density: fan and damper
 *     characteristic handed in
 * @param fanShare air over the trays relative to the fan running with a clean filter, 0 to 1
 * @param doorOpen anything not provably closed is open
 * @param scaleKg tray scale, trays included; NaN if there is none
 * @param tareKg trays alone
 */
public record OvenAir(
        double airC,
        double exhaustC,
        double exhaustRh,
        double roomC,
        double roomRh,
        double pressureKPa,
        double freshAirM3PerH,
        double fanShare,
        boolean doorOpen,
        double scaleKg,
        double tareKg) {

    private static final double BENCH_M3_PER_H = 10_000.0;

    /** Still air, leaf spread or covered; engineering choice. */
    private static final double BENCH_FAN_SHARE = 0.08;

    /** Leaf in the open, on the bench: room air all around, no sensor on it. */
    public static OvenAir bench(double roomC, double roomRh, double pressureKPa) {
        return new OvenAir(
                roomC,
                Double.NaN,
                Double.NaN,
                roomC,
                roomRh,
                pressureKPa,
                BENCH_M3_PER_H,
                BENCH_FAN_SHARE,
                false,
                Double.NaN,
                0.0);
    }

    /** Leaf in the open. */
    boolean onBench() {
        return freshAirM3PerH == BENCH_M3_PER_H;
    }

    /** The same air without any measurement of the leaf: for looking ahead. */
    public OvenAir unmeasured() {
        return new OvenAir(
                airC,
                Double.NaN,
                Double.NaN,
                roomC,
                roomRh,
                pressureKPa,
                freshAirM3PerH,
                fanShare,
                doorOpen,
                Double.NaN,
                tareKg);
    }

    /**
     * The same oven when its door is shut and its air has come to {@code settledAirC}: for looking
     * ahead.
     */
    public OvenAir settled(double settledAirC) {
        return new OvenAir(
                settledAirC,
                Double.NaN,
                Double.NaN,
                roomC,
                roomRh,
                pressureKPa,
                freshAirM3PerH,
                fanShare,
                false,
                Double.NaN,
                tareKg);
    }

    /** Another air temperature and exchange: for planning. */
    public OvenAir with(double otherAirC, double otherFreshAirM3PerH) {
        return new OvenAir(
                otherAirC,
                exhaustC,
                exhaustRh,
                roomC,
                roomRh,
                pressureKPa,
                otherFreshAirM3PerH,
                fanShare,
                doorOpen,
                scaleKg,
                tareKg);
    }
}
