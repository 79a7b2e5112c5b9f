package org.tenmesh.simulator.soils;

/**
 * How far what clients send departs from fields of alike soils on one kind of ground.
 *
 * @param otherGround share of the soils that come from another kind of ground, with a place, contents and relations of its own, 0 to 1
 * @param singleSoils share of the clients of whom every soil comes from another place, 0 to 1
 */
public record Mixture(double otherGround, double singleSoils) {
    public Mixture {
        for (double share : new double[] {otherGround, singleSoils}) {
            if (!(share >= 0 && share <= 1)) {
                throw new IllegalArgumentException("shares of soils and clients: found " + share + ", expected 0 to 1");
            }
        }
    }

    /** Fields of alike soils, all of the client's ground. */
    public static Mixture none() {
        return new Mixture(0, 0);
    }
}
