package steamleaf.core.batch;

import steamleaf.core.learn.Learned;

/**
 * What an oven's batches taught of one grade of leaf. The grade is the ripeness: leaf of one field
 * or cultivar alone would fill too few batches to learn from.
 */
public record GradeLearned(Ripeness grade, Learned learned) {}
