package steamleaf.sim.plant;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.hummeling.if97.IF97;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class SteamTest {
    static Stream<ReferenceTable.Row> rows() {
        return ReferenceTable.rows("steam.csv").stream()
                .filter(row -> !row.text("quantity").startsWith("IF97"));
    }

    @ParameterizedTest
    @MethodSource("rows")
    void eachReferenceRowIsMet(ReferenceTable.Row row) {
        double found =
                switch (row.text("quantity")) {
                    case "SR1-86_p_sat" -> Steam.saturationPa(celsius(row)) / 1e6;
                    case "SR1-86_rho_vap_sat" -> Steam.vapourKgPerM3(celsius(row));
                    case "SR1-86_dpdT_sat" ->
                            Steam.slopePaPerK(celsius(row), Steam.saturationPa(celsius(row)));
                    case "p_sat" -> Steam.saturationPa(row.input("T_C")) / 1e3;
                    case "T_boil" -> Steam.boilingC(row.input("p_kPa") * 1e3);
                    case "latent_heat" -> Steam.latentJPerKg(row.input("T_C")) / 1e3;
                    case "rho_vap_sat" -> Steam.vapourKgPerM3(row.input("T_C"));
                    case "p_std_atm" -> roomAt(row).pressurePa / 1e3;
                    case "T_boil_at_altitude" -> Steam.boilingC(roomAt(row).pressurePa);
                    default ->
                            throw new IllegalArgumentException(row + ": " + row.text("quantity"));
                };
        assertEquals(row.number("expected"), found, row.tolerance(), row::toString);
    }

    private static double celsius(ReferenceTable.Row row) {
        return row.input("T_K") - Steam.ZERO_C_K;
    }

    private static Room roomAt(ReferenceTable.Row row) {
        return new Room(
                new PlantSettings.Room(row.input("z_m"), 0, 0, 1_000, 15, 0, 0.5, 0),
                new Noise(1, "room"));
    }

    /** A second formulation by other people: com.hummeling:if97, region 4. */
    @Test
    void saturationAgreesWithIf97FromFreezingToAHundredAndFiftyDegrees() {
        IF97 if97 = new IF97(IF97.UnitSystem.SI);
        for (double celsius = 1; celsius <= 150; celsius += 0.5) {
            double other = if97.saturationPressureT(celsius + Steam.ZERO_C_K);
            assertEquals(1, Steam.saturationPa(celsius) / other, 2e-4, "at " + celsius + " °C");
        }
    }

    @Test
    void boilingAndSaturationAreInversesOfEachOther() {
        for (double celsius = -20; celsius <= 150; celsius += 1) {
            assertEquals(celsius, Steam.boilingC(Steam.saturationPa(celsius)), 1e-7);
            assertEquals(celsius, Dew.near(60, Steam.saturationPa(celsius)), 1e-7);
        }
    }

    /**
     * The books' latent heat, linear in temperature, against the saturation line (Clapeyron on
     * SR1-86).
     */
    @Test
    void theLatentHeatOfTheBooksStaysWithinHalfAPercent() {
        for (double celsius = 0; celsius <= 100; celsius += 5) {
            double books = MoistAir.vapourJPerKg(celsius) - MoistAir.WATER_J_PER_KG_K * celsius;
            assertEquals(1, books / Steam.latentJPerKg(celsius), 5e-3, "at " + celsius + " °C");
        }
    }

    /**
     * Watercress peroxidase, rows computed from the published parameters; they test the code, not
     * tea.
     */
    @ParameterizedTest
    @MethodSource("survivals")
    void peroxidaseSurvivalIsMet(ReferenceTable.Row row) {
        double celsius = row.input("T_C");
        double seconds = row.input("t_s");
        double left =
                Peroxidase.left(
                        seconds * Peroxidase.labilePerS(celsius),
                        seconds * Peroxidase.resistantPerS(celsius));
        assertEquals(row.number("expected"), left, row.tolerance(), row::toString);
    }

    static Stream<ReferenceTable.Row> survivals() {
        return ReferenceTable.rows("enzyme.csv").stream()
                .filter(row -> row.text("topic").equals("survival"));
    }

    @Test
    void theTablesAreNotEmpty() {
        assertTrue(rows().count() > 50);
        assertTrue(survivals().count() > 5);
    }
}
