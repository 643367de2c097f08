package steamleaf.app;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import java.util.ArrayList;
import java.util.List;

/** What each package of the controller's shell may touch. */
@AnalyzeClasses(packages = "steamleaf", importOptions = ImportOption.DoNotIncludeTests.class)
final class BoundariesTest {
    private BoundariesTest() {}

    private static final String APP = "steamleaf.app.";

    /** A package and those of ours that it may know. */
    private record Knows(String name, List<String> others) {
        Knows(String name) {
            this(name, List.of());
        }
    }

    private static final List<Knows> TABLE =
            List.of(
                    new Knows("driver"),
                    new Knows(
                            "io",
                            List.of(
                                    "steamleaf.app.driver..",
                                    "steamleaf.core.reading..",
                                    "steamleaf.core.interlock..")),
                    new Knows("translate", List.of("steamleaf.core..", "steamleaf.contract..")),
                    new Knows("recall", List.of("steamleaf.core..")),
                    new Knows("journal"),
                    new Knows("link", List.of("steamleaf.app.journal..", "steamleaf.contract..")),
                    new Knows("config", List.of("steamleaf.core..", "steamleaf.app.io..")));

    @ArchTest
    static void packagesKnowOnlyWhatTheTableAllows(JavaClasses all) {
        for (Knows row : TABLE) {
            List<String> allowed = new ArrayList<>(row.others());
            allowed.add(APP + row.name() + "..");
            classes()
                    .that()
                    .resideInAPackage(APP + row.name() + "..")
                    .should()
                    .onlyDependOnClassesThat(
                            resideInAnyPackage(allowed.toArray(String[]::new)).or(notOurs()))
                    .because("the table of house style and docs/architecture.md says so")
                    .check(all);
        }
    }

    private static DescribedPredicate<JavaClass> notOurs() {
        return describe("not of ours", type -> !type.getPackageName().startsWith("steamleaf"));
    }

    @ArchTest
    static final ArchRule EACH_DRIVER_STANDS_ALONE =
            slices().matching("steamleaf.app.driver.(*)..").should().notDependOnEachOther();

    @ArchTest
    static final ArchRule NO_PACKAGES_KNOW_EACH_OTHER_IN_A_CIRCLE =
            slices().matching("steamleaf.app.(*)..").should().beFreeOfCycles();

    private static DescribedPredicate<JavaClass> outside(String... packages) {
        return describe(
                "outside of " + String.join(", ", packages),
                type -> !resideInAnyPackage(packages).test(type));
    }

    @ArchTest
    static final ArchRule CHIPS_AND_PINS_ARE_REACHED_FROM_DRIVERS_IO_AND_MAIN_ONLY =
            noClasses()
                    .that(
                            outside(
                                    "steamleaf.app.driver..",
                                    "steamleaf.app.io..",
                                    "steamleaf.app.main.."))
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("com.pi4j..")
                    .because(
                            "the simulator stands below Pi4J, and everything above is the real program");

    @ArchTest
    static final ArchRule PINS_ARE_WRITTEN_ONLY_FROM_IO =
            noClasses()
                    .that(outside("steamleaf.app.io..", "steamleaf.app.driver.."))
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("com.pi4j.io.gpio..")
                    .because("only allowed outputs may reach a pin");

    @ArchTest
    static final ArchRule ONLY_THE_LINK_SPEAKS_MQTT =
            noClasses()
                    .that(outside("steamleaf.app.link.."))
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("org.eclipse.paho..");

    @ArchTest
    static final ArchRule ONLY_METRICS_SERVES_HTTP_AND_NOTHING_CALLS_IT =
            noClasses()
                    .that(outside("steamleaf.app.metrics.."))
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("com.sun.net.httpserver..", "java.net.http..");

    @ArchTest
    static final ArchRule NOTHING_KNOWS_SQL =
            noClasses().should().dependOnClassesThat().resideInAPackage("java.sql..");

    @ArchTest
    static final ArchRule THREADS_CLOCK_AND_EXIT_BELONG_TO_MAIN =
            noClasses()
                    .that(outside("steamleaf.app.main.."))
                    .should()
                    .callMethodWhere(
                            calls("java\\.lang\\.System", "currentTimeMillis|nanoTime|exit"))
                    .orShould()
                    .callMethodWhere(calls("java\\.time\\..*", "now"))
                    .orShould()
                    .callMethodWhere(
                            calls(
                                    "java\\.lang\\.Thread",
                                    "start|ofPlatform|ofVirtual|startVirtualThread"))
                    .orShould()
                    .dependOnClassesThat()
                    .haveNameMatching(
                            "java\\.util\\.concurrent\\.(Executor.*|.*Executor|ForkJoin.*)|java\\.util\\.Timer.*")
                    .because(
                            "in handed-in time the same program runs as fast as the machine allows");

    @ArchTest
    static final ArchRule NOBODY_SLEEPS =
            noClasses().should().callMethodWhere(calls("java\\.lang\\.Thread", "sleep"));

    @ArchTest
    static final ArchRule NOBODY_KNOWS_THE_SIMULATOR =
            noClasses()
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("steamleaf.sim..", "steamleaf.bench..")
                    .because("the controller has no simulation flag, branch or class");

    private static DescribedPredicate<JavaAccess<?>> calls(String owner, String method) {
        return describe(
                "calls " + owner + "." + method,
                access ->
                        access.getTargetOwner().getName().matches(owner)
                                && access.getName().matches(method));
    }
}
