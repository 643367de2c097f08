package steamleaf.sim;

import static com.tngtech.archunit.base.DescribedPredicate.not;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

@AnalyzeClasses(packages = "steamleaf.sim", importOptions = ImportOption.DoNotIncludeTests.class)
class SimulatorBoundariesTest {
    @ArchTest
    static final ArchRule THE_SIMULATOR_KNOWS_NO_PROGRAM =
            noClasses()
                    .should()
                    .dependOnClassesThat(
                            resideInAPackage("steamleaf..")
                                    .and(not(resideInAPackage("steamleaf.sim.."))))
                    .because(
                            "a simulator that shares code with what it tests hides the mistakes of both");

    @ArchTest
    static final ArchRule ONLY_THE_BOARD_KNOWS_PI4J =
            noClasses()
                    .that()
                    .resideInAnyPackage(
                            "steamleaf.sim.plant..",
                            "steamleaf.sim.chip..",
                            "steamleaf.sim.fault..",
                            "steamleaf.sim.text..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("com.pi4j..")
                    .because("a chip is told bytes and time, whoever talks to it");

    @ArchTest
    static final ArchRule CHIPS_KNOW_NEITHER_BOARD_NOR_PLANT =
            noClasses()
                    .that()
                    .resideInAPackage("steamleaf.sim.chip..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage(
                            "steamleaf.sim.board..",
                            "steamleaf.sim.plant..",
                            "steamleaf.sim.fault..")
                    .because("a chip is written from its datasheet alone");

    @ArchTest
    static final ArchRule NO_CIRCLES =
            slices().matching("steamleaf.sim.(*)..")
                    .should()
                    .beFreeOfCycles()
                    .because("it is read from the bottom up");

    @ArchTest
    static final ArchRule TIME_IS_HANDED_IN =
            noClasses()
                    .should()
                    .callMethod(System.class, "nanoTime")
                    .orShould()
                    .callMethod(System.class, "currentTimeMillis")
                    .orShould()
                    .dependOnClassesThat()
                    .haveFullyQualifiedName("java.time.Clock")
                    .because(
                            "the bench runs hours in seconds, and the same seed gives the same bytes");
}
