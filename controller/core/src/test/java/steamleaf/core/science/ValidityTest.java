package steamleaf.core.science;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.Modifier;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/**
 * Every relation of the package, found by reflection so that a new one is tested the day it is
 * written: whatever argument is not a finite number, or a trillion either way, which lies beyond
 * every limit, the answer is not a number either; and a relation with good arguments does answer.
 */
class ValidityTest {
    private static final List<Class<?>> FUNCTIONS =
            List.of(
                    Arrhenius.class,
                    Chlorophyll.class,
                    Diffusion.class,
                    Drying.class,
                    EnzymeKinetics.class,
                    MoistureBasis.class,
                    Psychrometrics.class,
                    Saturation.class);

    private static final List<Object> VALUES =
            List.of(
                    Isotherm.GREEN_TEA,
                    new Isotherm.ModifiedOswin(9, -0.05, 2.4),
                    new Isotherm.ModifiedHenderson(8.6541e-5, 1.8634, 49.81),
                    new Isotherm.ModifiedChungPfost(312.4, 0.16958, 30.205),
                    new Isotherm.Gab(5, 12, 0.85),
                    new ThinLayer.Lewis(0.1),
                    new ThinLayer.Page(0.1, 0.9),
                    new ThinLayer.HendersonPabis(0.95, 0.1),
                    new ThinLayer.Logarithmic(0.9, 0.1, 0.05),
                    new ThinLayer.TwoTerm(0.6, 0.1, 0.4, 0.02),
                    new ThinLayer.Midilli(1, 0.1, 0.9, -1e-4),
                    new ThinLayer.WangSingh(-0.03, 2e-4),
                    EnzymeKinetics.Biphasic.WATERCRESS);

    /**
     * Arguments inside every range, by what they are; the first that fits a name's end is taken.
     */
    private static double good(String function, int position) {
        return switch (function) {
            case "Psychrometrics.humidityRatioOfVapourPressure" -> new double[] {2, 100}[position];
            case "Psychrometrics.vapourPressureKPa", "Psychrometrics.dewPointC" ->
                    new double[] {0.01, 100}[position];
            case "Psychrometrics.humidityRatio" -> new double[] {60, 0.2, 100}[position];
            case "Psychrometrics.relativeHumidity",
                    "Psychrometrics.volumeM3PerKg",
                    "Psychrometrics.densityKgPerM3",
                    "Psychrometrics.wetBulbC" ->
                    new double[] {60, 0.01, 100}[position];
            case "Psychrometrics.enthalpyKJPerKg" -> new double[] {60, 0.01}[position];
            case "Psychrometrics.highestRelativeHumidity",
                    "Psychrometrics.saturationHumidityRatio" ->
                    new double[] {60, 100}[position];
            case "Psychrometrics.humidityRatioOfWetBulb" -> new double[] {60, 30, 100}[position];
            case "Psychrometrics.wetBulbSlope" -> new double[] {60, 30, 0.014, 100}[position];
            case "Psychrometrics.saturationTemperatureC" -> 2;
            case "Drying.airCapacityKgPerKg" -> new double[] {60, 0.01, 100}[position];
            case "Drying.rateConstantPerS" -> new double[] {7e-4, 25, 60}[position];
            case "Drying.transferShare" -> 1.5;
            case "Drying.airLimitKgPerS" -> new double[] {0.06, 0.8, 0.02}[position];
            case "Drying.leafTemperatureC" -> new double[] {80, 33, 0.5}[position];
            case "Drying.rateConstantBetweenPerS" -> new double[] {0.5, 0.2, 0.02, 600}[position];
            case "Arrhenius.factor" -> new double[] {25, 60, 80}[position];
            case "Arrhenius.activationKJPerMol" -> new double[] {1e-4, 60, 3e-4, 90}[position];
            case "Arrhenius.zValueK" -> new double[] {60, 75}[position];
            case "Arrhenius.rateOfShareLeft" -> new double[] {0.6, 1800}[position];
            case "Arrhenius.shareLeft" -> new double[] {1e-3, 60}[position];
            case "Chlorophyll.indexAfter" -> new double[] {0.9, 60, 600}[position];
            case "Diffusion.slabMoistureRatio", "Diffusion.sphereMoistureRatio" -> 0.1;
            case "Diffusion.slabLocalRatio" -> new double[] {0.5, 0.1}[position];
            case "EnzymeKinetics.lethalRate" -> new double[] {95, 90, 16.5}[position];
            case "EnzymeKinetics.decimalTime" -> new double[] {24, 90, 16.5, 95}[position];
            case "EnzymeKinetics.decimalTimeOfRate" -> 0.1;
            case "Biphasic.shareLeft" -> new double[] {1, 0.1}[position];
            case "Biphasic.shareLeftAt" -> new double[] {85, 30}[position];
            case "Biphasic.labileRatePerS", "Biphasic.resistantRatePerS" -> 85;
            case "MoistureBasis.dryBasis", "MoistureBasis.wetBasis" -> 0.3;
            case "MoistureBasis.waterLostKg" -> new double[] {4, 0.78, 0.5}[position];
            case "MoistureBasis.wetBasisAfterLoss" -> new double[] {0.78, 0.2}[position];
            case "Chlorophyll.lossRatePerS" -> 60;
            default ->
                    function.endsWith("equilibriumMoistureKgPerKg")
                                    || function.endsWith("equilibriumSlope")
                            ? new double[] {25, 0.3}[position]
                            : function.endsWith("waterActivity")
                                    ? new double[] {25, 0.06}[position]
                                    : function.endsWith("moistureRatio")
                                            ? 5
                                            : 60; // Saturation and the rest: a temperature
        };
    }

    private record Relation(Method method, Object on, String name) {
        double of(double[] arguments) {
            try {
                Object[] boxed = Arrays.stream(arguments).boxed().toArray();
                return (double) method.invoke(on, boxed);
            } catch (InvocationTargetException | IllegalAccessException e) {
                throw new LinkageError(name, e);
            }
        }
    }

    private static List<Relation> relations() {
        List<Relation> all = new ArrayList<>();
        for (Class<?> type : FUNCTIONS) {
            for (Method method : type.getDeclaredMethods()) {
                if (Modifier.isStatic(method.getModifiers()) && takesNumbers(method)) {
                    all.add(new Relation(method, type, name(type, method)));
                }
            }
        }
        for (Object value : VALUES) {
            List<String> components =
                    Arrays.stream(value.getClass().getRecordComponents())
                            .map(RecordComponent::getName)
                            .toList();
            for (Method method : value.getClass().getDeclaredMethods()) {
                boolean component =
                        components.contains(method.getName()) && method.getParameterCount() == 0;
                if (!component && takesNumbers(method)) {
                    all.add(new Relation(method, value, name(value.getClass(), method)));
                }
            }
        }
        return all;
    }

    private static String name(Class<?> type, Method method) {
        return type.getSimpleName() + "." + method.getName();
    }

    private static boolean takesNumbers(Method method) {
        return Modifier.isPublic(method.getModifiers())
                && !method.isSynthetic()
                && method.getReturnType() == double.class
                && method.getParameterCount() > 0
                && Arrays.stream(method.getParameterTypes()).allMatch(t -> t == double.class);
    }

    private static double[] good(Relation relation) {
        double[] arguments = new double[relation.method().getParameterCount()];
        for (int i = 0; i < arguments.length; i++) {
            arguments[i] = good(relation.name(), i);
        }
        return arguments;
    }

    @TestFactory
    Stream<DynamicTest> noRelationMakesANumberOfWhatIsNone() {
        return relations().stream()
                .map(r -> DynamicTest.dynamicTest(r.name(), () -> refusesWhatIsNoNumber(r)));
    }

    private static void refusesWhatIsNoNumber(Relation relation) {
        assertTrue(
                Double.isFinite(relation.of(good(relation))),
                () -> relation.name() + " has no answer to good arguments");
        for (int i = 0; i < relation.method().getParameterCount(); i++) {
            for (double bad :
                    new double[] {
                        Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY, 1e12, -1e12
                    }) {
                double[] arguments = good(relation);
                arguments[i] = bad;
                String what = relation.name() + Arrays.toString(arguments);
                double answer = relation.of(arguments);
                assertTrue(Double.isNaN(answer), () -> what + " = " + answer);
            }
        }
    }

    @Test
    void theWalkFindsTheRelations() {
        assertTrue(relations().size() > 60, () -> "only " + relations().size() + " relations");
    }
}
