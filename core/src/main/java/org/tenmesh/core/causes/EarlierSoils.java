package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What earlier days found in clients' soils: fit results alone. The relations between methods, and what is usual for one client or one
 * region, are learnt from it.
 *
 * @param soils day by day, each day in the order in which its clients sent them; given with the days in any order
 */
public record EarlierSoils(List<EarlierSoil> soils) {
    /** Nothing is known of earlier days. */
    public static final EarlierSoils NONE = new EarlierSoils(List.of());

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
        if (soils.stream().allMatch(soil -> soil.day().isBefore(day))) {
            return this;
        }
        return new EarlierSoils(
                soils.stream().filter(soil -> soil.day().isBefore(day)).toList());
    }
}
