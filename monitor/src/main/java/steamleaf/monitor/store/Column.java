package steamleaf.monitor.store;

import java.util.List;

/**
 * A reading's column: its name in a record of kind {@code second}, its column, and how many steps
 * one unit has.
 */
record Column(String reading, String column, double steps) {
    private static final double CENTI = 100.0;
    private static final double PER_TEN_THOUSAND = 10_000.0;
    private static final double GRAMS = 1_000.0;
    private static final double MOISTURE = 100_000.0;
    private static final double DUTY = 1_000.0;

    static final Table OVEN =
            new Table(
                    "oven_second",
                    List.of(
                            new Column("airC", "air", CENTI),
                            new Column("exhaustC", "exhaust", CENTI),
                            new Column("exhaustRh", "exhaust_rh", PER_TEN_THOUSAND),
                            new Column("scaleKg", "scale", GRAMS),
                            new Column("setAirC", "set_air", CENTI),
                            new Column("heater", "heater", DUTY),
                            new Column("damper", "damper", DUTY),
                            new Column("fan", "fan", DUTY),
                            new Column("moisture", "moisture", MOISTURE),
                            new Column("moistureSd", "moisture_sd", MOISTURE),
                            new Column("wettest", "wettest", MOISTURE),
                            new Column("leafC", "leaf", CENTI),
                            new Column("doorClosed", "door_closed", 1),
                            new Column("airflow", "airflow", 1)));

    static final Table STEAMER =
            new Table(
                    "steamer_second",
                    List.of(
                            new Column("chestAC", "chest_a", CENTI),
                            new Column("chestBC", "chest_b", CENTI),
                            new Column("boilingC", "boiling", CENTI),
                            new Column("beltMmPerS", "belt", CENTI),
                            new Column("valve", "valve", DUTY),
                            new Column("hoodClosed", "hood_closed", 1)));

    static final Table LINE =
            new Table(
                    "line_second",
                    List.of(
                            new Column("roomC", "room", CENTI),
                            new Column("roomRh", "room_rh", PER_TEN_THOUSAND),
                            new Column("pressureKPa", "pressure", GRAMS),
                            new Column("contactor", "contactor", 1)));

    /** A table of seconds for one kind of unit. */
    record Table(String name, List<Column> columns) {
        String insert() {
            StringBuilder names =
                    new StringBuilder("insert into " + name + " (j, unit, n, at_s, batch");
            StringBuilder values = new StringBuilder(") values (?, ?, ?, ?, ?");
            for (Column column : columns) {
                names.append(", ").append(column.column());
                values.append(", ?");
            }
            return names.append(", rest").append(values).append(", ?)").toString();
        }
    }

    /** The kind of a unit follows from its name. */
    static Table tableFor(String unit) {
        if (unit.equals("line")) {
            return LINE;
        }
        return unit.startsWith("steamer") ? STEAMER : OVEN;
    }

    /** Steps per unit of an oven's reading. */
    static double ovenSteps(String reading) {
        for (Column column : OVEN.columns()) {
            if (column.reading().equals(reading)) {
                return column.steps();
            }
        }
        throw new IllegalArgumentException(reading + " is no column of an oven");
    }

    long scaled(double value) {
        return Math.round(value * steps);
    }
}
