package steamleaf.app.driver.max31865;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import steamleaf.app.driver.ReferenceRow;

class Pt100Test {
    static List<ReferenceRow> resistances() {
        return ReferenceRow.of("rtd_pt100.csv", "Pt100", "R_of_T");
    }

    static List<ReferenceRow> temperatures() {
        return ReferenceRow.of("rtd_pt100.csv", "Pt100", "T_of_R");
    }

    static List<ReferenceRow> coefficients() {
        return ReferenceRow.of("rtd_pt100.csv", "Pt100", "coefficient");
    }

    @ParameterizedTest
    @MethodSource("resistances")
    void theResistanceIsThePublishedOne(ReferenceRow row) {
        assertEquals(
                row.expectedNumber(),
                Pt100.resistanceOhm(row.number("T_C")),
                row.tolerance(),
                row::toString);
    }

    @ParameterizedTest
    @MethodSource("temperatures")
    void theTemperatureIsThePublishedOne(ReferenceRow row) {
        assertEquals(
                row.expectedNumber(),
                Pt100.temperatureC(row.number("R_ohm")),
                row.tolerance(),
                row::toString);
    }

    @ParameterizedTest
    @MethodSource("coefficients")
    void theCoefficientsAreThoseOfTheStandard(ReferenceRow row) {
        double ours =
                switch (String.valueOf(row.inputs().get("name"))) {
                    case "A" -> Pt100.A;
                    case "B" -> Pt100.B;
                    case "C" -> Pt100.C;
                    default -> Double.NaN;
                };
        assertEquals(row.expectedNumber(), ours, row.tolerance(), row::toString);
    }

    @Test
    void resistanceAndTemperatureAreInversesFromMinus200To850() {
        for (double t = -200.0; t <= 850.0; t += 0.37) {
            assertEquals(t, Pt100.temperatureC(Pt100.resistanceOhm(t)), 1e-6, "t = " + t);
        }
    }

    @Test
    void aResistanceBeyondTheEquationIsNotANumber() {
        for (double ohm : new double[] {1e6, 390.49, 18.51, 0, -1, Double.NaN}) {
            assertTrue(Double.isNaN(Pt100.temperatureC(ohm)), () -> ohm + " Ω");
        }
        for (double t : new double[] {-200.1, 850.1, -300, Double.NaN}) {
            assertTrue(Double.isNaN(Pt100.resistanceOhm(t)), () -> t + " °C");
        }
        assertEquals(-200.0, Pt100.temperatureC(18.5201), 1e-3); // IEC 60751 table, 18.52
        assertEquals(850.0, Pt100.temperatureC(390.4811), 1e-3); // 390.48
    }
}
