/**
 * Air, steam, sorption, drying, enzymes and colour: static functions and small values, each with
 * its source.
 *
 * <p>Out of range is answered with {@link Double#NaN}, never with a number and never with an
 * exception: the control cycle runs these functions ten times a second and must neither allocate
 * nor throw. Every relation publishes its limits as {@link steamleaf.core.science.Range}s, so that
 * a caller can say which input was refused and what is allowed. Conditions on results are said
 * positively ({@code x <= limit}), so that not-a-number counts as bad. Derivatives and combinations
 * pass not-a-number through.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.core.science;
