package steamleaf.sim.plant;

import java.util.List;
import steamleaf.sim.plant.Key.Varies;

/**
 * Every number of the simulated line. {@link #stock()} is the plant of the invented site Ridge
 * House; a YAML file overrides single numbers ({@link PlantYaml}), and {@link #varied} draws
 * another plant of the same kind.
 *
 * <p>Numbers without a source in their line are engineering choices, set so that the lumped figures
 * of a four-kilogram charge come out: about 90 min at 80 °C and 200 m³/h to 50 %, 45 min at 70 °C
 * and 150 m³/h to 25 %, 40 min at 60 °C and 120 m³/h to 13 %, 35 min at 75 °C and 60 m³/h to 5 %,
 * 12 to 14 kWh in all.
 */
public record PlantSettings(
        @Key(unit = "1", min = 1, max = 8, what = "number of ovens") int ovens,
        Leaf leaf,
        Sorption sorption,
        Rolling rolling,
        Bench bench,
        Oven oven,
        Steamer steamer,
        Room room,
        Electric electric,
        Sensors sensors) {

    /** The leaf of one plucking, and how water moves in it. */
    public record Leaf(
            @Key(
                            unit = "kg",
                            min = 0.2,
                            max = 50,
                            what = "fresh leaf that people feed for one charge",
                            varies = Varies.PLUS,
                            sd = 0.04)
                    double lotKg,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 1,
                            what =
                                    "ripeness, 0 bud to 1 coarse leaf; 0.5 is the leaf that the other numbers describe",
                            varies = Varies.PLUS,
                            sd = 0.12)
                    double ripeness,
            @Key(
                            unit = "kg/kg w.b.",
                            min = 0.60,
                            max = 0.85,
                            what = "moisture of the fresh leaf",
                            varies = Varies.PLUS,
                            sd = 0.010)
                    double initialMoistureWb,
            @Key(
                            unit = "kg/kg",
                            min = 0,
                            max = 0.3,
                            what = "rain water clinging to the leaf, per kilogram of fresh leaf")
                    double rainKgPerKg,
            @Key(
                            unit = "°C",
                            min = 2,
                            max = 45,
                            what = "temperature of the leaf when it is fed",
                            varies = Varies.PLUS,
                            sd = 1.5)
                    double temperatureC,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.5,
                            what = "share of stems in the dry mass at ripeness 0.5",
                            varies = Varies.PLUS,
                            sd = 0.02)
                    double stemShare,
            @Key(unit = "1", min = 0, max = 0.5, what = "added stem share per unit of ripeness")
                    double stemSharePerRipeness,
            @Key(
                            unit = "m",
                            min = 2e-5,
                            max = 1e-3,
                            what = "half thickness of the blade (twisted leaf) at ripeness 0.5",
                            varies = Varies.TIMES,
                            sd = 0.05)
                    double bladeHalfThicknessM,
            @Key(
                            unit = "m",
                            min = 2e-5,
                            max = 2e-3,
                            what = "half thickness of the stem at ripeness 0.5",
                            varies = Varies.TIMES,
                            sd = 0.05)
                    double stemHalfThicknessM,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 1,
                            what = "relative growth of both thicknesses per unit of ripeness")
                    double thicknessPerRipeness,
            @Key(
                            unit = "m²/s",
                            min = 1e-13,
                            max = 1e-8,
                            what =
                                    "water diffusivity in bone-dry leaf at 80 °C (Panchariya 2002, abstract: 1.14e-11)",
                            varies = Varies.TIMES,
                            sd = 0.12)
                    double dryDiffusivityM2PerS,
            @Key(
                            unit = "m²/s",
                            min = 1e-12,
                            max = 1e-7,
                            what = "water diffusivity in water-rich leaf at 80 °C",
                            varies = Varies.TIMES,
                            sd = 0.15)
                    double wetDiffusivityM2PerS,
            @Key(
                            unit = "J/mol",
                            min = 0,
                            max = 80_000,
                            what =
                                    "activation energy of the diffusivity (Panchariya 2002 recomputed 27.7e3, Botheju 2011 26.6e3)")
                    double activationJPerMol,
            @Key(unit = "J/(kg·K)", min = 800, max = 2_500, what = "heat capacity of the dry leaf")
                    double dryHeatCapacityJPerKgK) {}

    /**
     * Guggenheim–Anderson–de Boer sorption of the leaf; numbers set near the published single
     * points, see {@code Gab}.
     */
    public record Sorption(
            @Key(
                            unit = "kg/kg d.b.",
                            min = 0.005,
                            max = 0.15,
                            what = "monolayer moisture at 50 °C",
                            varies = Varies.TIMES,
                            sd = 0.06)
                    double monolayerKgPerKg,
            @Key(
                            unit = "J/mol",
                            min = -20_000,
                            max = 40_000,
                            what = "heat in the temperature dependence of the monolayer")
                    double monolayerHeatJPerMol,
            @Key(unit = "1", min = 1.5, max = 200, what = "Guggenheim constant C")
                    double guggenheim,
            @Key(
                            unit = "1",
                            min = 0.5,
                            max = 0.98,
                            what = "constant K",
                            varies = Varies.PLUS,
                            sd = 0.01)
                    double k) {}

    /** What rolling and shaping do. */
    public record Rolling(
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.1,
                            what = "dry mass lost in a roll of the reference length",
                            varies = Varies.TIMES,
                            sd = 0.2)
                    double dryLoss,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.2,
                            what =
                                    "share of the water pressed out and lost in a roll of the reference length",
                            varies = Varies.TIMES,
                            sd = 0.3)
                    double waterLoss,
            @Key(unit = "min", min = 1, max = 120, what = "reference length of a roll")
                    double referenceMin,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 1,
                            what = "losses of shaping relative to rolling of the same length")
                    double shapingLoss,
            @Key(
                            unit = "s",
                            min = 10,
                            max = 36_000,
                            what =
                                    "time constant with which rolling evens leaf from different trays")
                    double mixingS,
            @Key(
                            unit = "s",
                            min = 10,
                            max = 36_000,
                            what =
                                    "time constant with which rolling evens the inside of blade and stem")
                    double kneadingS,
            @Key(
                            unit = "s",
                            min = 10,
                            max = 360_000,
                            what = "time constant with which rolling evens blade against stem")
                    double bladeToStemS) {}

    /** Films and air exchange where leaf lies outside the ovens. */
    public record Bench(
            @Key(
                            unit = "W/(kg·K)",
                            min = 0,
                            max = 120,
                            what =
                                    "surface film of leaf lying on the bench, per kilogram of dry leaf")
                    double filmWPerKgK,
            @Key(
                            unit = "kg/(kg·s)",
                            min = 0,
                            max = 0.1,
                            what =
                                    "dry air that passes through leaf on the bench, per kilogram of dry leaf",
                            varies = Varies.TIMES,
                            sd = 0.2)
                    double openAirPerS,
            @Key(
                            unit = "kg/(kg·s)",
                            min = 0,
                            max = 0.1,
                            what = "dry air that passes through a covered, resting heap")
                    double coveredAirPerS,
            @Key(
                            unit = "W/(kg·K)",
                            min = 0,
                            max = 50,
                            what =
                                    "heat from leaf on the bench to the room besides that by air, per kilogram of dry leaf")
                    double openLossWPerKgK,
            @Key(
                            unit = "W/(kg·K)",
                            min = 0,
                            max = 50,
                            what =
                                    "heat from a covered, resting heap to the room, per kilogram of dry leaf")
                    double coveredLossWPerKgK,
            @Key(
                            unit = "kg/(kg·s)",
                            min = 0,
                            max = 1,
                            what =
                                    "dry air that the fan of the cooling table draws through the leaf")
                    double coolingAirPerS,
            @Key(unit = "W/(kg·K)", min = 0, max = 120, what = "surface film on the cooling table")
                    double coolingFilmWPerKgK,
            @Key(
                            unit = "kg",
                            min = 0,
                            max = 0.1,
                            what = "bench scale, standard deviation of a weighing")
                    double scaleSdKg,
            @Key(unit = "kg", min = -0.5, max = 0.5, what = "bench scale, offset")
                    double scaleBiasKg,
            @Key(unit = "kg", min = 0, max = 0.05, what = "leaf used up by a hand sample")
                    double sampleKg,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.05,
                            what = "hand sample, standard deviation of the method in moisture w.b.")
                    double sampleSdWb) {}

    /** One tray oven; all ovens of a line are alike but for what is drawn for each. */
    public record Oven(
            @Key(unit = "1", min = 1, max = 12, what = "trays, in series in the air stream")
                    int trays,
            @Key(unit = "m³", min = 0.05, max = 10, what = "air volume") double volumeM3,
            @Key(
                            unit = "J/K",
                            min = 1_000,
                            max = 1e6,
                            what = "heat capacity of walls and trays",
                            varies = Varies.TIMES,
                            sd = 0.08)
                    double wallJPerK,
            @Key(unit = "W/K", min = 0, max = 500, what = "air to walls, fan running")
                    double airToWallWPerK,
            @Key(
                            unit = "W/K",
                            min = 0,
                            max = 200,
                            what = "walls to room",
                            varies = Varies.TIMES,
                            sd = 0.1)
                    double wallToRoomWPerK,
            @Key(
                            unit = "W",
                            min = 0,
                            max = 50_000,
                            what = "heater at nominal voltage",
                            varies = Varies.TIMES,
                            sd = 0.03)
                    double heaterW,
            @Key(
                            unit = "J/K",
                            min = 50,
                            max = 20_000,
                            what = "heat capacity of the heating elements")
                    double elementJPerK,
            @Key(unit = "W/K", min = 5, max = 2_000, what = "elements to air, fan running")
                    double elementToAirWPerK,
            @Key(
                            unit = "W",
                            min = 0,
                            max = 5_000,
                            what = "fan motor, all of it ending as heat in the air")
                    double fanW,
            @Key(
                            unit = "m³/h",
                            min = 50,
                            max = 20_000,
                            what = "air through the trays with a clean filter",
                            varies = Varies.TIMES,
                            sd = 0.06)
                    double fanFlowM3PerH,
            @Key(
                            unit = "m³/h",
                            min = 1,
                            max = 500,
                            what = "air through the trays by buoyancy, fan standing")
                    double stillFlowM3PerH,
            @Key(
                            unit = "s",
                            min = 0.1,
                            max = 60,
                            what = "time constant of the fan's run-up and run-down")
                    double fanLagS,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.95,
                            what = "share of the flow that a dirty filter takes")
                    double filterBlocked,
            @Key(
                            unit = "m³/h",
                            min = 0,
                            max = 2_000,
                            what = "fresh air with the damper open, at room density",
                            varies = Varies.TIMES,
                            sd = 0.06)
                    double freshOpenM3PerH,
            @Key(
                            unit = "m³/h",
                            min = 0,
                            max = 1_000,
                            what = "fresh air with the damper closed",
                            varies = Varies.TIMES,
                            sd = 0.2)
                    double freshClosedM3PerH,
            @Key(
                            unit = "1",
                            min = 0.3,
                            max = 4,
                            what = "exponent of the damper's flow over its opening")
                    double damperExponent,
            @Key(unit = "s", min = 0.1, max = 300, what = "damper, full stroke by motor")
                    double damperStrokeS,
            @Key(
                            unit = "s",
                            min = 0.1,
                            max = 300,
                            what = "damper, full stroke closed by the spring")
                    double damperSpringS,
            @Key(
                            unit = "m³/h",
                            min = 0,
                            max = 500,
                            what =
                                    "leak: room air that enters past the damper and oven air lost through gaps",
                            varies = Varies.TIMES,
                            sd = 0.35)
                    double leakM3PerH,
            @Key(unit = "m³/h", min = 0, max = 5_000, what = "air exchanged through the open door")
                    double doorM3PerH,
            @Key(
                            unit = "W/(kg·K)",
                            min = 1,
                            max = 120,
                            what =
                                    "surface film on the trays per kilogram of dry leaf, fan running",
                            varies = Varies.TIMES,
                            sd = 0.08)
                    double filmWPerKgK,
            @Key(unit = "1", min = 0, max = 1, what = "exponent of the film over the air flow")
                    double filmExponent,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 0.9,
                            what = "share of the film lost when leaf mats without being turned")
                    double mattingLoss,
            @Key(unit = "s", min = 60, max = 36_000, what = "time constant of matting")
                    double mattingS,
            @Key(
                            unit = "1",
                            min = 0.2,
                            max = 5,
                            what =
                                    "film of each tray relative to the mean, first tray in the air stream first")
                    List<Double> airDistribution,
            @Key(
                            unit = "kg",
                            min = 0,
                            max = 100,
                            what = "trays without leaf, as the tray scale sees them")
                    double tareKg,
            @Key(unit = "°C", min = 40, max = 250, what = "independent high limit, opens above")
                    double highLimitC,
            @Key(unit = "K", min = 1, max = 100, what = "high limit, can be reset this far below")
                    double highLimitDifferenceK,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 1,
                            what =
                                    "high limit's sensor: share of the elements' excess over the air that it sees")
                    double highLimitRadiation,
            @Key(unit = "s", min = 0.1, max = 300, what = "high limit, lag of its sensor")
                    double highLimitLagS,
            @Key(
                            unit = "1",
                            min = 0.05,
                            max = 1,
                            what = "airflow switch closes above this share of the nominal flow")
                    double airflowSwitchShare,
            @Key(unit = "s", min = 0, max = 60, what = "airflow switch, delay")
                    double airflowDelayS) {}

    /** The belt steamer. */
    public record Steamer(
            @Key(unit = "m³", min = 0.005, max = 2, what = "volume of the chest") double volumeM3,
            @Key(
                            unit = "J/K",
                            min = 500,
                            max = 500_000,
                            what = "heat capacity of the chest",
                            varies = Varies.TIMES,
                            sd = 0.1)
                    double metalJPerK,
            @Key(unit = "W/K", min = 1, max = 5_000, what = "steam condensing on the chest")
                    double condensingWPerK,
            @Key(
                            unit = "W/K",
                            min = 0.1,
                            max = 500,
                            what = "air in the chest to the chest, steam off")
                    double airToMetalWPerK,
            @Key(unit = "W/K", min = 0, max = 200, what = "chest to room") double metalToRoomWPerK,
            @Key(
                            unit = "kg/s",
                            min = 1e-4,
                            max = 0.1,
                            what = "steam flow, both valves open",
                            varies = Varies.TIMES,
                            sd = 0.05)
                    double steamKgPerS,
            @Key(
                            unit = "1",
                            min = 0.8,
                            max = 1,
                            what = "dryness of the steam at the supply; the wet part drains")
                    double dryness,
            @Key(unit = "s", min = 0, max = 10, what = "steam valve, opening and closing")
                    double valveS,
            @Key(
                            unit = "m²",
                            min = 1e-4,
                            max = 0.1,
                            what = "openings of the chest at the belt's ends")
                    double openingM2,
            @Key(
                            unit = "m³/s",
                            min = 0,
                            max = 0.2,
                            what =
                                    "air drawn through the chest by the running extractor when steam does not fill it")
                    double purgeM3PerS,
            @Key(
                            unit = "m³/s",
                            min = 0,
                            max = 0.2,
                            what = "air through the chest by draught, extractor standing")
                    double draughtM3PerS,
            @Key(unit = "m³/s", min = 0, max = 1, what = "air exchanged through the open hood")
                    double hoodM3PerS,
            @Key(unit = "s", min = 0, max = 60, what = "extractor airflow switch, delay")
                    double extractorDelayS,
            @Key(unit = "s", min = 0, max = 10, what = "hood bolt, time to release or catch")
                    double boltS,
            @Key(
                            unit = "kPa",
                            min = 0.2,
                            max = 100,
                            what = "over-pressure switch opens, above the air pressure")
                    double overPressureKPa,
            @Key(
                            unit = "kPa",
                            min = 0.3,
                            max = 200,
                            what = "relief valve lifts, above the air pressure")
                    double reliefKPa,
            @Key(unit = "m", min = 0.1, max = 10, what = "belt inside the steam")
                    double beltLengthM,
            @Key(
                            unit = "m/s",
                            min = 0.001,
                            max = 1,
                            what = "belt at full speed",
                            varies = Varies.TIMES,
                            sd = 0.02)
                    double beltFullMPerS,
            @Key(unit = "m", min = 0.001, max = 0.2, what = "belt travel per pulse") double pulseM,
            @Key(
                            unit = "kg/s",
                            min = 1e-4,
                            max = 1,
                            what = "fresh leaf fed while the belt runs",
                            varies = Varies.TIMES,
                            sd = 0.1)
                    double feedKgPerS,
            @Key(
                            unit = "W/(kg·K)",
                            min = 10,
                            max = 5_000,
                            what =
                                    "steam condensing on leaf, per kilogram of fresh leaf; about 450 gives 98 °C after 30 s",
                            varies = Varies.TIMES,
                            sd = 0.08)
                    double leafFilmWPerKgK,
            @Key(
                            unit = "1",
                            min = 0,
                            max = 1,
                            what = "share of the condensate that stays on the leaf",
                            varies = Varies.PLUS,
                            sd = 0.05)
                    double condensateKept,
            @Key(
                            unit = "W/(kg·K)",
                            min = 0,
                            max = 500,
                            what = "leaf to room behind the belt, per kilogram of leaf")
                    double dischargeFilmWPerKgK) {}

    /** The room and the weather. */
    public record Room(
            @Key(
                            unit = "m",
                            min = -100,
                            max = 4_000,
                            what = "altitude (ISO 2533 standard atmosphere)",
                            varies = Varies.NOT)
                    double altitudeM,
            @Key(
                            unit = "kPa",
                            min = -6,
                            max = 6,
                            what = "weather: mean deviation from the standard atmosphere",
                            varies = Varies.PLUS,
                            sd = 0.7)
                    double weatherKPa,
            @Key(unit = "kPa", min = 0, max = 5, what = "weather: amplitude of a slow swing")
                    double weatherSwingKPa,
            @Key(
                            unit = "s",
                            min = 600,
                            max = 1e6,
                            what = "period of the swing of pressure, temperature and humidity")
                    double swingPeriodS,
            @Key(
                            unit = "°C",
                            min = -10,
                            max = 45,
                            what = "room temperature",
                            varies = Varies.PLUS,
                            sd = 2.5)
                    double temperatureC,
            @Key(unit = "K", min = 0, max = 15, what = "amplitude of the room temperature's swing")
                    double temperatureSwingK,
            @Key(
                            unit = "1",
                            min = 0.02,
                            max = 0.98,
                            what = "relative humidity of the room",
                            varies = Varies.PLUS,
                            sd = 0.07)
                    double relativeHumidity,
            @Key(unit = "1", min = 0, max = 0.4, what = "amplitude of the humidity's swing")
                    double humiditySwing) {}

    /** Contactor, heater relays, watchdog relay and supply. */
    public record Electric(
            @Key(unit = "s", min = 0, max = 2, what = "main contactor, pull-in")
                    double contactorPullInS,
            @Key(unit = "s", min = 0, max = 2, what = "main contactor, drop-out")
                    double contactorDropOutS,
            @Key(
                            unit = "s",
                            min = 0.2,
                            max = 10,
                            what = "watchdog relay drops after this time without an edge")
                    double watchdogTimeoutS,
            @Key(
                            unit = "s",
                            min = 0,
                            max = 60,
                            what = "watchdog relay wants edges for this long before a reset counts")
                    double watchdogSteadyS,
            @Key(
                            unit = "1",
                            min = 0.5,
                            max = 1.2,
                            what = "supply voltage relative to nominal",
                            varies = Varies.PLUS,
                            sd = 0.015)
                    double voltage,
            @Key(unit = "1", min = 0.3, max = 1, what = "supply reads healthy above this voltage")
                    double voltageHealthy) {}

    /** Sensing elements; what the chips add is not here. */
    public record Sensors(
            Element chest,
            Element air,
            Element exhaustTemperature,
            Element exhaustHumidity,
            Element roomTemperature,
            Element roomHumidity,
            Pressure pressure,
            Scale scale) {}

    /** A temperature element in °C or a humidity element as a ratio. */
    public record Element(
            @Key(unit = "K or 1", min = -50, max = 50, what = "offset of every such element")
                    double bias,
            @Key(
                            unit = "K or 1",
                            min = 0,
                            max = 10,
                            what = "standard deviation of the offset from element to element")
                    double biasSd,
            @Key(
                            unit = "K or 1",
                            min = 0,
                            max = 10,
                            what = "standard deviation of the noise of one reading")
                    double noiseSd,
            @Key(unit = "s", min = 0, max = 600, what = "first-order lag") double lagS) {}

    /** The barometer bridge. */
    public record Pressure(
            @Key(unit = "kPa", min = -10, max = 10, what = "offset") double bias,
            @Key(unit = "kPa", min = 0, max = 5, what = "standard deviation of the offset")
                    double biasSd,
            @Key(
                            unit = "kPa",
                            min = 0,
                            max = 5,
                            what = "standard deviation of the noise of one reading")
                    double noiseSd,
            @Key(unit = "s", min = 0, max = 600, what = "first-order lag") double lagS) {}

    /** The tray scale of an oven. */
    public record Scale(
            @Key(unit = "kg", min = -5, max = 5, what = "offset of every tray scale") double bias,
            @Key(unit = "kg", min = 0, max = 1, what = "standard deviation of the offset")
                    double biasSd,
            @Key(
                            unit = "kg",
                            min = 0,
                            max = 1,
                            what = "standard deviation of the noise of one reading, fan running")
                    double noiseSd,
            @Key(unit = "s", min = 0, max = 60, what = "first-order lag") double lagS,
            @Key(unit = "kg/√h", min = 0, max = 0.2, what = "drift as a random walk")
                    double driftKgPerRootH,
            @Key(unit = "kg", min = -0.5, max = 0.5, what = "lift by the running fan")
                    double fanLiftKg) {}

    /** The line of Ridge House. */
    public static PlantSettings stock() {
        return new PlantSettings(
                3,
                new Leaf(
                        3.85, 0.5, 0.78, 0, 22, 0.16, 0.12, 2.1e-4, 2.7e-4, 0.3, 1.14e-11, 4.5e-11,
                        27_000, 1_550),
                new Sorption(0.026, 9_000, 40, 0.88),
                new Rolling(0.02, 0.015, 30, 0.25, 240, 600, 3_600),
                new Bench(15, 2.5e-3, 2e-5, 4, 0.8, 0.03, 25, 0.003, 0, 0.002, 0.003),
                new Oven(
                        5,
                        0.6,
                        14_000,
                        45,
                        7,
                        6_000,
                        900,
                        120,
                        150,
                        1_200,
                        25,
                        1.5,
                        0.05,
                        200,
                        22,
                        1.3,
                        45,
                        15,
                        6,
                        350,
                        30,
                        0.6,
                        0.2,
                        2_400,
                        List.of(1.12, 1.06, 1.0, 0.94, 0.88),
                        6,
                        130,
                        15,
                        0.15,
                        10,
                        0.55,
                        2),
                new Steamer(
                        0.06, 7_500, 300, 25, 4, 0.005, 0.97, 0.3, 0.004, 0.004, 0.0008, 0.08, 2,
                        0.5, 2, 5, 0.8, 0.04, 0.02, 0.0167, 450, 0.8, 10),
                new Room(120, 0, 0.25, 43_200, 22, 1.5, 0.60, 0.04),
                new Electric(0.03, 0.02, 0.8, 2.0, 1.0, 0.85),
                new Sensors(
                        new Element(0, 0.08, 0.02, 4),
                        new Element(0, 0.08, 0.02, 8),
                        new Element(0, 0.1, 0.02, 8),
                        new Element(0, 0.01, 0.0008, 8),
                        new Element(0, 0.1, 0.02, 20),
                        new Element(0, 0.01, 0.0008, 20),
                        new Pressure(0, 0.1, 0.005, 1),
                        new Scale(0, 0.004, 0.005, 0.5, 0.002, 0.004)));
    }

    /** The stock plant varied by {@link #varied}. */
    public static PlantSettings drawn(long seed) {
        return stock().varied(seed);
    }

    /**
     * Another plant of the same kind: each number that says how it varies is drawn, the others
     * stay.
     */
    public PlantSettings varied(long seed) {
        return SettingsTree.varied(this, seed);
    }
}
