package org.tenmesh.core.charts;

/**
 * What a reference material or a proficiency round says of the laboratory's bias.
 *
 * @param name of the material or round
 * @param found mean of the laboratory's results, in the analyte's unit
 * @param sd standard deviation of these results; 0 for one result
 * @param n results
 * @param assigned value, same unit, other than 0
 * @param assignedU standard uncertainty of the assigned value; of a round {@code sR / sqrt(laboratories)}
 */
public record BiasStudy(
        String method, String analyte, String name, double found, double sd, int n, double assigned, double assignedU) {
    public BiasStudy {
        if (!(assigned != 0) || n < 1 || !(sd >= 0) || !(assignedU >= 0) || !Double.isFinite(found)) {
            throw new IllegalArgumentException("a bias study of " + analyte + " in " + name
                    + " needs a result, an assigned value other than 0 and no negative spread");
        }
    }

    /** Relative bias, as a share of the assigned value. */
    public double relative() {
        return (found - assigned) / assigned;
    }
}
