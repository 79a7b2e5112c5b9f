package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;

/**
 * A place from which soil is regulated.
 *
 * @param country ISO 3166-1 alpha-2
 * @param region names of the state, province or zone, the full one and abbreviations; none = the whole country
 * @param county names of the county; none = the whole region. A rule for part of a county counts for all of it: whoever can show that a
 *     field lies outside decides so at the dock, with a reason
 * @param from first day; empty = as long as anybody knows
 * @param until last day; empty = until further notice
 * @param note such as "in part", "zone 4"
 */
public record Area(
        String country,
        List<String> region,
        List<String> county,
        Optional<LocalDate> from,
        Optional<LocalDate> until,
        String note) {
    public Area {
        region = List.copyOf(region);
        county = List.copyOf(county);
        if (!Origin.isCountry(country)) {
            throw new IllegalArgumentException(
                    "a country is a code of two letters of ISO 3166-1, found \"" + country + "\"");
        }
        if (region.isEmpty() && !county.isEmpty()) {
            throw new IllegalArgumentException("a county needs its region, found county " + county);
        }
        if (region.stream().anyMatch(Names::saysNothing) || county.stream().anyMatch(Names::saysNothing)) {
            throw new IllegalArgumentException("a region or county has a name, found " + region + ", " + county);
        }
        if (from.isPresent() && until.isPresent() && until.get().isBefore(from.get())) {
            throw new IllegalArgumentException(
                    "an area ends after it begins, found " + from.get() + " to " + until.get());
        }
    }

    /** Whether it counts on this day. */
    public boolean counts(LocalDate on) {
        return from.filter(on::isBefore).isEmpty() && until.filter(on::isAfter).isEmpty();
    }

    /** In words: "US, Alabama, Lee". */
    public String words() {
        return country
                + (region.isEmpty() ? "" : ", " + region.get(0))
                + (county.isEmpty() ? "" : ", " + county.get(0));
    }
}
