package steamleaf.monitor;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import java.time.Clock;
import java.time.Instant;
import java.time.InstantSource;

/** Where things may be in the monitor, each with its reason. */
@AnalyzeClasses(
        packages = "steamleaf.monitor",
        importOptions = ImportOption.DoNotIncludeTests.class)
final class ArchitectureTest {
    private static final String TEMPLATES = "steamleaf.monitor.page.templates..";

    @ArchTest
    static final ArchRule KNOWS_ONLY_THE_CONTRACT =
            noClasses()
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("steamleaf.core..", "steamleaf.app..", "steamleaf.sim..")
                    .because("the monitor is an MQTT client like any other");

    @ArchTest
    static final ArchRule NO_FORMULA =
            noClasses()
                    .should()
                    .callMethod(Math.class, "exp", double.class)
                    .orShould()
                    .callMethod(Math.class, "log", double.class)
                    .orShould()
                    .callMethod(Math.class, "pow", double.class, double.class)
                    .because("leaf and air are the controller's; the monitor shows what it says");

    @ArchTest
    static final ArchRule MQTT_ONLY_IN_INTAKE =
            noClasses()
                    .that()
                    .resideOutsideOfPackage("steamleaf.monitor.intake..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("org.eclipse.paho..")
                    .because("records enter in one place, where they are counted and acknowledged");

    @ArchTest
    static final ArchRule SQL_ONLY_IN_STORE =
            noClasses()
                    .that()
                    .resideOutsideOfPackage("steamleaf.monitor.store..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage(
                            "java.sql..", "org.jdbi..", "org.sqlite..", "org.flywaydb..")
                    .because("whoever reads the tables must be found in one package");

    @ArchTest
    static final ArchRule HTTP_ONLY_WHERE_PAGES_ARE_SERVED =
            noClasses()
                    .that()
                    .resideOutsideOfPackages(
                            "steamleaf.monitor.page..",
                            "steamleaf.monitor.access..",
                            "steamleaf.monitor.metrics..",
                            "steamleaf.monitor")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("io.helidon..")
                    .because("what answers to the network is looked at first");

    @ArchTest
    static final ArchRule PAGES_DO_NOT_SEND =
            noClasses()
                    .that()
                    .resideInAPackage("steamleaf.monitor.page..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage("steamleaf.monitor.intake..", "java.net.http..")
                    .because("a page asks through live.Asking and nothing else");

    @ArchTest
    static final ArchRule ONLY_NOTICES_CALL_OTHERS =
            noClasses()
                    .that()
                    .resideOutsideOfPackage("steamleaf.monitor.notice..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage(
                            "java.net.http..", "jakarta.mail..", "com.interaso.webpush..")
                    .because("what leaves the site leaves it in one place, with its time limits");

    @ArchTest
    static final ArchRule THE_WALL_CLOCK_IS_HANDED_IN =
            noClasses()
                    .that()
                    .doNotHaveFullyQualifiedName("steamleaf.monitor.Monitor")
                    .should()
                    .dependOnClassesThat()
                    .areAssignableTo(InstantSource.class)
                    .because(
                            "only notices need one, for labels that others check and to bridge a restart");

    @ArchTest
    static final ArchRule THE_STORE_KNOWS_NO_PAGE =
            noClasses()
                    .that()
                    .resideInAnyPackage(
                            "steamleaf.monitor.store..",
                            "steamleaf.monitor.live..",
                            "steamleaf.monitor.intake..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAnyPackage(
                            "steamleaf.monitor.page..",
                            "steamleaf.monitor.access..",
                            "steamleaf.monitor.metrics..")
                    .because("a reading goes one way: intake, store, page");

    @ArchTest
    static final ArchRule SQL_FREE_TEMPLATES =
            classes()
                    .that()
                    .resideInAPackage(TEMPLATES)
                    .should()
                    .onlyDependOnClassesThat()
                    .resideInAnyPackage(
                            TEMPLATES,
                            "steamleaf.monitor..",
                            "steamleaf.contract..",
                            "gg.jte..",
                            "java..")
                    .because("a template only writes what the sheet says");

    @ArchTest
    static final ArchRule NO_WALL_CLOCK =
            noClasses()
                    .should()
                    .callMethod(System.class, "currentTimeMillis")
                    .orShould()
                    .callMethod(Instant.class, "now")
                    .orShould()
                    .dependOnClassesThat()
                    .areAssignableTo(Clock.class)
                    .because(
                            "times shown are the line's, ages are measured on the monotonic clock");

    @ArchTest
    static final ArchRule NO_SLEEP =
            noClasses()
                    .should()
                    .callMethod(Thread.class, "sleep", long.class)
                    .orShould()
                    .callMethod(Thread.class, "sleep", java.time.Duration.class)
                    .because("waiting is for something, with a limit");

    @ArchTest
    static final ArchRule NO_CYCLES =
            slices().matching("steamleaf.monitor.(*)..").should().beFreeOfCycles();
}
