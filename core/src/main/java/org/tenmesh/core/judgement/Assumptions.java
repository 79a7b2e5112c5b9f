package org.tenmesh.core.judgement;

import org.tenmesh.core.agreement.Assumed;

/** The part of a policy that the learning of relations between results asks for. */
public final class Assumptions {
    private Assumptions() {}

    /** What is assumed where relations between results are learnt and weighed. */
    public static Assumed of(Policy policy) {
        return new Assumed(
                policy.whole(Setting.RELATIONS_LEAST_SOILS),
                policy.whole(Setting.RELATIONS_MOST_SOILS),
                policy.number(Setting.RELATIONS_FREEDOM),
                policy.number(Setting.RELATIONS_CLIENT_PRIOR),
                policy.number(Setting.RELATIONS_FOLLOWS_NONE),
                policy.whole(Setting.RELATIONS_OWN_SCATTER_SOILS),
                policy.number(Setting.RELATIONS_NO_RESULT),
                policy.number(Setting.RELATIONS_FIELDS_WITHIN),
                policy.number(Setting.RELATIONS_FIELDS_ACROSS),
                policy.number(Setting.KEY_WELL_FILLED),
                policy.whole(Setting.SHIFT_LEAST_READINGS));
    }
}
