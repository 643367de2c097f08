package steamleaf.core.loop;

/**
 * What an oven's air costs in heat before any of it is missed: fresh air that has to be warmed, and
 * water that takes its heat of evaporation with it. Fed forward, so that a charge just loaded does
 * not have to pull the air down first.
 *
 * <pre>
 *   duty = β·(G·c·(T − Troom) + E·r)/P      β = 0.7
 * </pre>
 *
 * G fresh air and E evaporation in kg/s, c in J/(kg·K), r in J/kg, temperatures in °C, P the
 * heater's rated power in W. Balance of heat, textbook; β below 1 (engineering choice): airflow and
 * evaporation are only believed, and what is fed too much would be overshoot, while what is missing
 * the integral brings.
 */
public final class HeatLoad {
    private static final double BELIEVED = 0.7;

    /**
     * Moist air of ordinary humidity, J/(kg·K). Engineering choice: 1006 and a hundredth of 1860.
     */
    private static final double AIR_J_PER_KG_K = 1_025.0;

    /** Water at leaf temperature, J/kg: 2,430 kJ/kg at 30 °C, 2,360 at 60 (steam tables). */
    private static final double EVAPORATION_J_PER_KG = 2_400_000.0;

    /** Fresh air as the room has it, kg/m³. Engineering choice; a tenth less in the mountains. */
    private static final double ROOM_AIR_KG_PER_M3 = 1.15;

    private HeatLoad() {}

    /**
     * @param freshAirM3PerH exchange with the room, at room density
     * @param targetC the air the loop holds
     * @param evaporationKgPerS not a number where there is no leaf
     * @return 0 to 1; 0 when it can't be told: feeding forward is a help, not a need
     */
    public static double duty(
            double freshAirM3PerH,
            double roomC,
            double targetC,
            double evaporationKgPerS,
            double heaterW) {
        if (!(heaterW > 0.0)) {
            return 0.0;
        }
        double freshKgPerS = freshAirM3PerH * ROOM_AIR_KG_PER_M3 / 3600.0;
        double airW = freshKgPerS * AIR_J_PER_KG_K * Math.max(0.0, targetC - roomC);
        double leafW = evaporationKgPerS > 0.0 ? evaporationKgPerS * EVAPORATION_J_PER_KG : 0.0;
        double duty = BELIEVED * (airW + leafW) / heaterW;
        return duty >= 0.0 ? Math.min(duty, 1.0) : 0.0; // said positively: NaN feeds nothing
    }
}
