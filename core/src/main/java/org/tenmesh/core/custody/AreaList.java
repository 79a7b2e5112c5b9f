package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.util.List;
import java.util.Set;

/**
 * The areas of one rule, as one authority published them.
 *
 * @param name the laboratory's name for it; versions of one list share it
 * @param authority who made the rule
 * @param pest what it is about: an organism, or "foreign soil"
 * @param rule where it stands
 * @param covers countries that the list knows wholly: a place there that is not on it is not regulated by it
 * @param free places in those countries that the source was asked about and does not name: a region, or a county of a region in which others are
 *     named. A place that stands neither here nor among the areas is not known, and nobody may take it for one that is not regulated
 * @param everywhereElse whether every country that is not covered is regulated by it, as by a rule on foreign soil
 * @param source where the list was taken from, such as an address or a map
 * @param asOf the day on which the source said so
 * @param reviewBy the day by which somebody has to compare it with its source again. Afterwards it still makes soil regulated, and no longer
 *     says of any soil that it is not
 */
public record AreaList(
        String name,
        String authority,
        String pest,
        String rule,
        Set<String> covers,
        boolean everywhereElse,
        List<Area> areas,
        List<Area> free,
        String source,
        LocalDate asOf,
        LocalDate reviewBy) {
    public AreaList {
        covers = Set.copyOf(covers);
        areas = List.copyOf(areas);
        free = List.copyOf(free);
        for (String text : List.of(name, authority, pest, rule, source)) {
            if (text.isBlank()) {
                throw new IllegalArgumentException(
                        "a list of areas has a name, an authority, a pest, a rule and a source");
            }
        }
        for (String country : covers) {
            if (!Origin.isCountry(country)) {
                throw new IllegalArgumentException(
                        "a country is a code of two letters of ISO 3166-1, found \"" + country + "\"");
            }
        }
        for (Area place : free) {
            if (!covers.contains(place.country()) || place.region().isEmpty()) {
                throw new IllegalArgumentException(
                        "a place that is not regulated has a region, in a country that the list knows wholly, found "
                                + place.words());
            }
        }
        if (!reviewBy.isAfter(asOf)) {
            throw new IllegalArgumentException(
                    "a list is reviewed after the day of its source, found " + reviewBy + " for " + asOf);
        }
    }
}
