/** Lots, charges, recipes, batches, prompts, commands and answers. */
@org.jspecify.annotations.NullMarked
package steamleaf.core.batch;
