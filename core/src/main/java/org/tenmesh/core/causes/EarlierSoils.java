package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What earlier days found in clients' soils: fit results alone. The relations between methods, and what is usual for one client or one
 * region, are learnt from it; how often things go wrong here, from what was confirmed since.
 *
 * @param soils day by day, each day in the order in which its clients sent them; given with the days in any order
 * @param own what became of the causes of those days
 */
public record EarlierSoils(List<EarlierSoil> soils, OwnRecord own) {
    /** Nothing is known of earlier days. */
    public static final EarlierSoils NONE = new EarlierSoils(List.of());

    /** Soils of which nothing is known to have gone wrong or right. */
    public EarlierSoils(List<EarlierSoil> soils) {
        this(soils, OwnRecord.NONE);
    }

    public EarlierSoils {
        soils = soils.stream().sorted(Comparator.comparing(EarlierSoil::day)).toList();
    }

    /**
     * One soil.
     *
     * @param submission what it came in; with the day it tells one box from all others
     * @param client who sent it
     * @param region where it comes from, as written on the worksheet, with the country before it
     * @param label the client's own name for it; empty text = none
     * @param results by method and analyte, in the analyte's unit
     */
    public record EarlierSoil(
            LocalDate day,
            String submission,
            String client,
            Optional<String> region,
            String label,
            Map<String, Map<String, Double>> results) {
        public EarlierSoil {
            results = Map.copyOf(results);
        }
    }

    /** Only soils from before a day. */
    public EarlierSoils before(LocalDate day) {
        if (soils.stream().allMatch(soil -> soil.day().isBefore(day))
                && own.days().stream().allMatch(one -> one.day().isBefore(day))) {
            return this;
        }
        return new EarlierSoils(
                soils.stream().filter(soil -> soil.day().isBefore(day)).toList(), own.before(day));
    }
}
