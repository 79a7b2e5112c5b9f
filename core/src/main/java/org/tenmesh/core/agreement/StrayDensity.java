package org.tenmesh.core.agreement;

/**
 * Where a reading that belongs to no soil in question would lie: anywhere among the readings relations were learnt from, as a t density.
 *
 * @param centre middle of each column, in the table's units
 * @param root lower triangle of the inverse of the Cholesky factor of their scatter
 * @param constant logarithm of the density's constant
 */
record StrayDensity(double[] centre, double[][] root, double constant) {
    static final StrayDensity NONE = new StrayDensity(new double[0], new double[0][], 0);
}
