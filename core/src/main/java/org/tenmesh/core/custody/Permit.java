package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;

/**
 * A permit or an agreement under which a laboratory may keep regulated soil. Every limit is as its text says; where it says none, that is kept as
 * such and told wherever the limit would matter.
 *
 * @param number as the authority gave it; also its name among versions
 * @param holder to whom it was given
 * @param site the address at which the soil may be kept
 * @param origins places that its scope names
 * @param lists names of lists of areas whose soil it admits
 * @param analyses what may be done with the soil
 * @param mostG most of one consignment, g; empty = the text says none
 * @param handCarried whether soil may be carried by hand
 * @param issued first day
 * @param amended day of the last amendment
 * @param expires last day
 * @param warnDays so many days before it expires the program warns
 * @param storageDays days for which soil may be kept untreated; empty = the text says none
 * @param retentionYears years for which records are kept; empty = the text says none
 * @param treatments what makes it ordinary
 * @param label wording that its labels carry
 * @param effluent what it says of water
 * @param conditions its other conditions, in its own words
 * @param contact whom to tell of loss, theft or a spill
 */
public record Permit(
        Kind kind,
        String number,
        String authority,
        String holder,
        String site,
        List<Area> origins,
        Set<String> lists,
        Set<Analysis> analyses,
        OptionalLong mostG,
        boolean handCarried,
        LocalDate issued,
        Optional<LocalDate> amended,
        LocalDate expires,
        int warnDays,
        OptionalInt storageDays,
        OptionalInt retentionYears,
        List<Treatment> treatments,
        String label,
        String effluent,
        List<String> conditions,
        String contact) {
    /** A permit is given, an agreement is made between two. */
    public enum Kind {
        PERMIT("permit"),
        AGREEMENT("compliance agreement");

        private final String phrase;

        Kind(String phrase) {
            this.phrase = phrase;
        }

        public String phrase() {
            return phrase;
        }
    }

    /** What is done with soil. */
    public enum Analysis {
        CHEMICAL("chemical"),
        PHYSICAL("physical"),
        BIOLOGICAL("biological");

        private final String phrase;

        Analysis(String phrase) {
            this.phrase = phrase;
        }

        public String phrase() {
            return phrase;
        }
    }

    public Permit {
        origins = List.copyOf(origins);
        lists = Set.copyOf(lists);
        analyses = Set.copyOf(analyses);
        treatments = List.copyOf(treatments);
        conditions = List.copyOf(conditions);
        for (String text : List.of(number, authority, holder, site, contact)) {
            if (text.isBlank()) {
                throw new IllegalArgumentException(
                        "a permit has a number, an authority, a holder, a site and a contact");
            }
        }
        if (expires.isBefore(issued)
                || amended.filter(day -> day.isBefore(issued)).isPresent()) {
            throw new IllegalArgumentException(
                    "a permit is issued before it is amended or expires, found issued " + issued + ", amended "
                            + amended.map(LocalDate::toString).orElse("never") + ", expires " + expires);
        }
        if (warnDays < 1) {
            throw new IllegalArgumentException(
                    "the warning comes at least a day before a permit expires, found " + warnDays);
        }
        if (storageDays.orElse(1) < 1 || retentionYears.orElse(1) < 1 || mostG.orElse(1) < 1) {
            throw new IllegalArgumentException(
                    "a limit of storage, retention or quantity is at least 1, or the text says none");
        }
        if (origins.isEmpty() && lists.isEmpty()) {
            throw new IllegalArgumentException("the scope of a permit names places or lists of areas, found neither");
        }
        if (analyses.isEmpty() || treatments.isEmpty()) {
            throw new IllegalArgumentException("a permit says what may be done with the soil and how it is destroyed");
        }
        if (treatments.stream().map(Treatment::name).distinct().count() < treatments.size()) {
            throw new IllegalArgumentException("two treatments of one permit have one name");
        }
    }

    /** A treatment by its name. */
    public Optional<Treatment> treatment(String name) {
        return treatments.stream().filter(one -> one.name().equals(name)).findFirst();
    }

    /** The last day on which soil that came on this day may be there untreated; empty where the text says none. */
    public Optional<LocalDate> keepUntil(LocalDate received) {
        return storageDays.isPresent() ? Optional.of(received.plusDays(storageDays.getAsInt())) : Optional.empty();
    }
}
