package steamleaf.core;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.core.domain.properties.HasName.Predicates.nameMatching;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.syntax.elements.ClassesShouldConjunction;
import java.util.ArrayList;
import java.util.List;
import steamleaf.core.interlock.AllowedOutputs;

/** What the core may touch, and what its packages may know of each other. */
@AnalyzeClasses(packages = "steamleaf.core", importOptions = ImportOption.DoNotIncludeTests.class)
final class BoundariesTest {
    private BoundariesTest() {}

    private static final String CORE = "steamleaf.core.";

    @ArchTest
    static final ArchRule THE_CORE_USES_NOTHING_BUT_VALUES =
            classes()
                    .should()
                    .onlyDependOnClassesThat(
                            resideInAnyPackage(
                                            "java.lang",
                                            "java.lang.annotation",
                                            "java.lang.invoke", // what lambdas and switches become
                                            "java.lang.runtime",
                                            "java.util",
                                            "java.util.function",
                                            "java.util.stream",
                                            "org.hipparchus..",
                                            "org.jspecify.annotations",
                                            "steamleaf.core..")
                                    .or(nameMatching("java\\.time\\.Duration"))
                                    .or(nameMatching("java\\.io\\.Serializable")) // of enums
                                    .or(
                                            nameMatching(
                                                    "\\[*[ZBCSIJFD]|.*\\[\\]|void|boolean|byte|char|short|int|long|float|double")))
                    .because(
                            "it takes values and returns values: whoever calls it owns clock, thread,"
                                    + " file and network, so any cycle can be replayed");

    @ArchTest
    static final ArchRule THE_CORE_ASKS_NO_CLOCK_AND_NO_CHANCE =
            noClasses()
                    .should()
                    .callMethodWhere(
                            calls(
                                    "java\\.lang\\.System",
                                    "currentTimeMillis|nanoTime|exit|getenv|getProperty"))
                    .orShould()
                    .callMethodWhere(calls("java\\.lang\\.Thread", ".*"))
                    .orShould()
                    .callMethodWhere(calls("java\\.lang\\.Math", "random"))
                    .orShould()
                    .dependOnClassesThat(
                            nameMatching(
                                    "java\\.util\\.(Random|SplittableRandom|UUID|Date|Calendar|Timer.*)"))
                    .because("time is handed in, and the same input gives the same output");

    private static DescribedPredicate<JavaAccess<?>> calls(String owner, String method) {
        return DescribedPredicate.describe(
                "calls " + owner + "." + method,
                access ->
                        access.getTargetOwner().getName().matches(owner)
                                && access.getName().matches(method));
    }

    /** A package and those of ours that it may know. */
    private record Knows(String name, List<String> others) {
        Knows(String name) {
            this(name, List.of());
        }
    }

    private static final List<Knows> TABLE =
            List.of(
                    new Knows("science"),
                    new Knows("reading"),
                    new Knows("loop", List.of("reading")),
                    new Knows("estimate", List.of("science", "reading")),
                    new Knows("interlock", List.of("reading")),
                    new Knows("alarm", List.of("reading")),
                    new Knows("learn", List.of("estimate")),
                    new Knows("batch", List.of("reading", "estimate", "learn")));

    @ArchTest
    static void packagesKnowOnlyWhatTheTableAllows(
            com.tngtech.archunit.core.domain.JavaClasses all) {
        for (Knows row : TABLE) {
            List<String> allowed = new ArrayList<>();
            allowed.add(CORE + row.name() + "..");
            for (String other : row.others()) {
                allowed.add(CORE + other + "..");
            }
            ClassesShouldConjunction rule =
                    classes()
                            .that()
                            .resideInAPackage(CORE + row.name() + "..")
                            .should()
                            .onlyDependOnClassesThat(
                                    resideInAnyPackage(allowed.toArray(String[]::new))
                                            .or(notOurs()));
            rule.because("the table of house style and docs/architecture.md says so").check(all);
        }
    }

    private static DescribedPredicate<JavaClass> notOurs() {
        return DescribedPredicate.describe(
                "not of ours", type -> !type.getPackageName().startsWith("steamleaf"));
    }

    @ArchTest
    static final ArchRule NO_PACKAGES_KNOW_EACH_OTHER_IN_A_CIRCLE =
            slices().matching("steamleaf.core.(*)..").should().beFreeOfCycles();

    @ArchTest
    static final ArchRule ONLY_THE_GUARD_MAKES_ALLOWED_OUTPUTS =
            noClasses()
                    .that()
                    .resideOutsideOfPackage("steamleaf.core.interlock")
                    .should()
                    .callConstructorWhere(
                            DescribedPredicate.describe(
                                    "makes allowed outputs",
                                    call ->
                                            call.getTargetOwner()
                                                    .isEquivalentTo(AllowedOutputs.class)))
                    .because("the guard has the last word in every cycle");
}
