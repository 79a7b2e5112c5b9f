package org.tenmesh.web.cards;

import java.util.List;
import org.tenmesh.core.custody.Age;
import org.tenmesh.web.words.Words;

/**
 * A parcel of regulated soil that is here for longer than its permit or the settings allow: somebody has to decide what becomes of it.
 *
 * @param says what is wrong with it, in a sentence
 */
public record RegulatedNow(String parcel, String href, String says) {
    /** Those of these parcels that are, the most urgent first. */
    public static List<RegulatedNow> of(List<Age> ages) {
        return ages.stream()
                .filter(Age::alarm)
                .map(age -> new RegulatedNow(
                        age.parcel().code(),
                        "/regulated/parcels/" + Words.part(age.parcel().code()),
                        says(age)))
                .toList();
    }

    private static String says(Age age) {
        String past = "Parcel " + age.parcel().code() + " is " + Words.of((int) -age.days(), "day") + " past ";
        return age.state() == Age.State.OLD
                ? past + "the time that the settings give a parcel here. Decide when it is destroyed or shipped."
                : past + "the last day that its permit allows untreated soil to be here. Tell the permit officer.";
    }
}
