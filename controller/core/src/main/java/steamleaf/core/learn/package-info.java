/** What finished batches teach of an oven and a grade of leaf. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.learn;
