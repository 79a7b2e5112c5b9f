package org.tenmesh.core.agreement;

/**
 * What is assumed of soils and laboratories where relations between results are learnt and weighed. The laboratory's policy says it.
 *
 * @param leastSoils fewest soils that relations are learnt from
 * @param mostSoils soils they are learnt from at the most
 * @param freedom degrees of freedom of the t densities by which they are learnt, so that outlying soils get little weight
 * @param clientPrior soils on the day's own scale that each client is given before its own are looked at
 * @param followsNone chance that a client's soils follow none of the relations that hold for most
 * @param ownScatter soils of a day from which these say themselves how widely they scatter
 * @param noResult chance that a soil gives no result though it was there
 * @param fieldsWithin share of the soils that must have a neighbour of the same name of field before these names are heard
 * @param fieldsAcross share of the soils that must have a neighbour of another one
 * @param keyWellFilled chance that a well that was to stay empty holds a soil after all
 * @param leastShifted readings that must belong to the neighbour before a shift is spoken of
 */
public record Assumed(
        int leastSoils,
        int mostSoils,
        double freedom,
        double clientPrior,
        double followsNone,
        int ownScatter,
        double noResult,
        double fieldsWithin,
        double fieldsAcross,
        double keyWellFilled,
        int leastShifted) {
    double logFollowsNone() {
        return Math.log(followsNone);
    }

    double logFollows() {
        return Math.log(1 - followsNone);
    }
}
