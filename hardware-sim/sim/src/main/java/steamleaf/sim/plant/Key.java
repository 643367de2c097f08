package steamleaf.sim.plant;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * One number of the plant: its unit, the range in which the equations mean something, and how it
 * differs from one plant to the next. Reader, documentation and variation all read this, so that
 * there is one place to change.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target(ElementType.RECORD_COMPONENT)
public @interface Key {
    /** SI symbol, {@code "1"} for a ratio. */
    String unit();

    double min();

    double max();

    /** What it is, one line. */
    String what();

    /** How the number varies between plants. */
    Varies varies() default Varies.NOT;

    /**
     * Standard deviation of the variation: in the key's unit for {@link Varies#PLUS}, of the
     * logarithm for {@link Varies#TIMES}.
     */
    double sd() default 0;

    /**
     * Shape of the variation between plants, always cut at two and a half deviations and at the
     * allowed range.
     */
    enum Varies {
        NOT,
        /** Value plus a normal deviate. */
        PLUS,
        /** Value times the exponential of a normal deviate. */
        TIMES
    }
}
