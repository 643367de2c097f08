package steamleaf.app.io;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.library.dependencies.SlicesRuleDefinition;

/** Who may know what between the chips and the readings. */
@AnalyzeClasses(packages = "steamleaf", importOptions = ImportOption.DoNotIncludeTests.class)
class HardwareBoundariesTest {
    @ArchTest
    static final ArchRule DRIVERS_KNOW_ONLY_PI4J =
            classes()
                    .that()
                    .resideInAPackage("steamleaf.app.driver..")
                    .should()
                    .onlyDependOnClassesThat()
                    .resideInAnyPackage(
                            "steamleaf.app.driver..", "java..", "com.pi4j..", "org.jspecify..")
                    .because(
                            "a driver is written from a data sheet, and reusable and testable without us");

    @ArchTest
    static final ArchRule DRIVERS_DO_NOT_KNOW_EACH_OTHER =
            SlicesRuleDefinition.slices()
                    .matching("steamleaf.app.driver.(*)..")
                    .should()
                    .notDependOnEachOther()
                    .because("each chip has its own data sheet");

    @ArchTest
    static final ArchRule ONLY_IO_USES_DRIVERS =
            noClasses()
                    .that()
                    .resideOutsideOfPackages("steamleaf.app.driver..", "steamleaf.app.io..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("steamleaf.app.driver..")
                    .because("pins are written and chips are read in one place");

    @ArchTest
    static final ArchRule PI4J_STAYS_BELOW =
            noClasses()
                    .that()
                    .resideInAPackage("steamleaf.app..")
                    .and()
                    .resideOutsideOfPackages(
                            "steamleaf.app.driver..", "steamleaf.app.io..", "steamleaf.app.main..")
                    .should()
                    .dependOnClassesThat()
                    .resideInAPackage("com.pi4j..")
                    .because("what is decided and sent does not depend on how pins are reached");

    @ArchTest
    static final ArchRule IO_KNOWS_READINGS_AND_ALLOWED_OUTPUTS =
            classes()
                    .that()
                    .resideInAPackage("steamleaf.app.io..")
                    .should()
                    .onlyDependOnClassesThat()
                    .resideInAnyPackage(
                            "steamleaf.app.io..",
                            "steamleaf.app.driver..",
                            "steamleaf.core.reading..",
                            "steamleaf.core.interlock..",
                            "java..",
                            "com.pi4j..",
                            "org.slf4j..",
                            "org.jspecify..")
                    .because("between pins and readings nothing is decided");
}
