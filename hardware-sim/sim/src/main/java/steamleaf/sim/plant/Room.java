package steamleaf.sim.plant;

/** Air of the room and the weather: an infinite reservoir that swings slowly. */
final class Room {
    private final PlantSettings.Room numbers;
    private final double standardKPa;
    private final double phase;
    double temperatureC;
    double relativeHumidity;
    double pressurePa;
    double saturationPa;
    double humidity;
    double enthalpyJPerKg;
    double dryAirKgPerM3;

    Room(PlantSettings.Room numbers, Noise drawn) {
        this.numbers = numbers;
        // ISO 2533 = ICAO Doc 7488: p = 101325 Pa · (1 −
        // 0.0065·z/288.15)^(9.80665·0.0289644/(8.31432·0.0065))
        double exponent = 9.80665 * 0.0289644 / (8.31432 * 0.0065);
        standardKPa = 101.325 * Math.pow(1 - 0.0065 * numbers.altitudeM() / 288.15, exponent);
        phase = 2 * Math.PI * drawn.uniform();
        at(0);
    }

    Room(Room other) {
        numbers = other.numbers;
        standardKPa = other.standardKPa;
        phase = other.phase;
        temperatureC = other.temperatureC;
        relativeHumidity = other.relativeHumidity;
        pressurePa = other.pressurePa;
        saturationPa = other.saturationPa;
        humidity = other.humidity;
        enthalpyJPerKg = other.enthalpyJPerKg;
        dryAirKgPerM3 = other.dryAirKgPerM3;
    }

    void at(double timeS) {
        double angle = 2 * Math.PI * timeS / numbers.swingPeriodS() + phase;
        double sine = Math.sin(angle);
        temperatureC = numbers.temperatureC() + numbers.temperatureSwingK() * sine;
        relativeHumidity =
                Math.clamp(numbers.relativeHumidity() - numbers.humiditySwing() * sine, 0.01, 0.99);
        pressurePa =
                1_000
                        * (standardKPa
                                + numbers.weatherKPa()
                                + numbers.weatherSwingKPa() * Math.cos(0.7 * angle));
        saturationPa = Steam.saturationPa(temperatureC);
        humidity = MoistAir.humidityKgPerKg(relativeHumidity, saturationPa, pressurePa);
        enthalpyJPerKg = MoistAir.enthalpyJPerKg(temperatureC, humidity);
        dryAirKgPerM3 = MoistAir.dryAirKgPerM3(temperatureC, humidity, pressurePa);
    }
}
