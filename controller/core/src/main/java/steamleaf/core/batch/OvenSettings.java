package steamleaf.core.batch;

/**
 * One oven, as built.
 *
 * @param maxAirC what its heater and casing are rated for
 * @param heaterW rated power
 * @param flowM3PerH airflow with the damper fully open
 * @param trayTareKg all trays together, empty
 * @param mostLeafKg fresh leaf its trays take
 * @param scaleFitted whether there is a tray scale
 */
public record OvenSettings(
        double maxAirC,
        double heaterW,
        double flowM3PerH,
        double trayTareKg,
        double mostLeafKg,
        boolean scaleFitted) {}
