package org.tenmesh.app.living;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.shelf.Codes;
import org.tenmesh.core.shelf.Keeping;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.ShelfAct.What;

/** What was done at the shelf with soils of the invented earlier days: a box or two a day, one soil lent and not back, one held for a complaint. */
public final class EarlierShelf {
    private static final int HOUR = 3600;

    private EarlierShelf() {}

    /**
     * Acts in their order, in groups that were done together.
     *
     * @param days the oldest first
     * @param bench who put soils away
     * @param inCharge who held one back
     */
    public static List<List<ShelfAct>> of(List<Day> days, String bench, String inCharge) {
        List<List<ShelfAct>> all = new ArrayList<>();
        if (days.isEmpty()) {
            return all;
        }
        Instant first = evening(days.get(0));
        List<ShelfAct> places = new ArrayList<>();
        for (String place : List.of("P-A1-01", "P-A1-02", "P-A1-03")) {
            places.add(act(What.PLACE_MADE, place, "", false, bench, first));
        }
        places.add(act(What.PLACE_MADE, "P-R1-01", "", true, bench, first));
        all.add(places);
        int box = 0;
        for (int i = 0; i < days.size(); i++) {
            Instant at = evening(days.get(i));
            for (boolean regulated : new boolean[] {false, true}) {
                List<LabNumber> soils = inTrays(days.get(i), regulated);
                if (!soils.isEmpty()) {
                    String code = Codes.box(++box);
                    all.add(List.of(
                            act(What.BOX_MADE, code, "", regulated, bench, at),
                            act(What.BOX_PUT, code, regulated ? "P-R1-01" : "P-A1-0" + (1 + i % 3), false, bench, at)));
                    all.add(soils.stream()
                            .map(soil -> act(What.SOIL_PUT, soil.text(), code, false, bench, at))
                            .toList());
                }
            }
        }
        List<LabNumber> some = inTrays(days.get(0), false);
        if (some.size() > 4) {
            LocalDate date = days.get(0).date();
            all.add(List.of(new ShelfAct(
                    What.LENT,
                    some.get(2).text(),
                    "teaching collection (invented)",
                    Optional.of(date.plusDays(4)),
                    false,
                    "",
                    bench,
                    first.plusSeconds(HOUR))));
            all.add(List.of(new ShelfAct(
                    What.HELD,
                    some.get(4).text(),
                    "complaint",
                    Optional.empty(),
                    false,
                    "client asks why pH differs from last year",
                    inCharge,
                    first.plusSeconds(HOUR))));
        }
        return all;
    }

    /**
     * The trays of a day that were dumped when their soils stood on the shelf.
     *
     * @param day its name
     * @param bench who dumped them
     */
    public static List<BenchAct> dumped(EarlierDay earlier, String day, String bench) {
        Set<String> released =
                earlier.releases().stream().map(Release::submission).collect(Collectors.toSet());
        Set<LabNumber> open = earlier.day().soils().stream()
                .filter(soil ->
                        soil.submission().filter(its -> !released.contains(its)).isPresent())
                .map(Soil::labNumber)
                .collect(Collectors.toSet());
        Instant at = evening(earlier.day()).plusSeconds(HOUR / 2);
        return earlier.day().trays().stream()
                .map(tray -> new BenchAct(
                        UUID.randomUUID().toString(),
                        Subject.tray(day, tray.tray()),
                        BenchWork.DUMP,
                        BenchAct.What.DONE,
                        "",
                        tray.wells().stream()
                                        .flatMap(place -> place.labNumber().stream())
                                        .anyMatch(open::contains)
                                ? "Not everything of it is released."
                                : "",
                        bench,
                        "page",
                        at,
                        at))
                .toList();
    }

    /** The soils of trays that hold regulated soil, or of the others, in the order of the trays: a hidden control as any other. */
    private static List<LabNumber> inTrays(Day day, boolean regulated) {
        List<LabNumber> soils = new ArrayList<>();
        for (Tray tray : day.trays()) {
            List<LabNumber> own = tray.wells().stream()
                    .flatMap(place -> place.labNumber().stream())
                    .toList();
            boolean its = day.soils().stream()
                    .filter(soil -> own.contains(soil.labNumber()))
                    .map(Soil::regulated)
                    .anyMatch(known -> Keeping.of(known).apart());
            if (its == regulated) {
                soils.addAll(own);
            }
        }
        return soils;
    }

    private static Instant evening(Day day) {
        return day.date()
                .atTime(18, 0)
                .atZone(ZoneId.of(day.laboratory().zone()))
                .toInstant();
    }

    private static ShelfAct act(What what, String about, String to, boolean regulated, String person, Instant at) {
        return new ShelfAct(what, about, to, Optional.empty(), regulated, "", person, at);
    }
}
