package org.tenmesh.web.shelf;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Supplier;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.shelf.ListCount;
import org.tenmesh.web.days.ShelfStore;
import org.tenmesh.web.words.Words;

/**
 * What somebody should look at on the shelf.
 *
 * @param says a sentence without its full stop
 * @param href where it is put right
 * @param link what leads there
 */
public record ShelfWarning(String says, String href, String link) {
    private static final int MOST_NAMED = 3;

    /**
     * Boxes with soils that may go and are on no open list, regulated beside ordinary soil, overdue loans; none where all is well.
     *
     * @param days for how many days soils are kept
     * @param overdueLoans how many loans are overdue
     * @param waiting soils of which something is held or ordered to be made again; asked for only where something may go
     */
    static List<ShelfWarning> of(
            ShelfStore shelf,
            int days,
            LocalDate today,
            ZoneId zone,
            int overdueLoans,
            Supplier<Set<LabNumber>> waiting) {
        List<ShelfWarning> all = new ArrayList<>();
        List<String> mixed = shelf.mixed();
        if (!mixed.isEmpty()) {
            all.add(new ShelfWarning(
                    "Regulated and ordinary soil stand together at " + some(mixed),
                    "/shelf?q=" + Words.part(mixed.get(0)),
                    "see " + mixed.get(0)));
        }
        Set<String> boxes = overdue(shelf, days, today, zone, waiting);
        if (!boxes.isEmpty()) {
            all.add(new ShelfWarning(
                    Words.of(boxes.size(), "box holds", "boxes hold") + " soil that was kept for "
                            + Words.of(days, "day") + " and is on no open discard list: " + some(List.copyOf(boxes)),
                    "#lists",
                    "make a list"));
        }
        if (overdueLoans > 0) {
            all.add(new ShelfWarning(
                    Words.of(overdueLoans, "loan is", "loans are") + " overdue", "#lent", "see what is lent"));
        }
        return all;
    }

    private static Set<String> overdue(
            ShelfStore shelf, int days, LocalDate today, ZoneId zone, Supplier<Set<LabNumber>> waiting) {
        Set<LabNumber> listed = new HashSet<>();
        for (ListCount list : shelf.lists()) {
            if (list.signedBy().isEmpty()) {
                shelf.list(list.name()).ifPresent(its -> listed.addAll(its.lines()));
            }
        }
        if (shelf.due(today, days, Set.of(), zone).stream().allMatch(soil -> listed.contains(soil.labNumber()))) {
            return Set.of();
        }
        try {
            Set<String> boxes = new TreeSet<>();
            shelf.due(today, days, waiting.get(), zone).stream()
                    .filter(soil -> !listed.contains(soil.labNumber()))
                    .map(Stored::box)
                    .forEach(boxes::add);
            return boxes;
        } catch (Refused cannotBeJudged) {
            // Whoever makes a list is told which day; no box is called overdue that may have to be kept.
            return Set.of();
        }
    }

    private static String some(List<String> all) {
        return String.join(", ", all.subList(0, Math.min(MOST_NAMED, all.size())))
                + (all.size() > MOST_NAMED ? " and " + (all.size() - MOST_NAMED) + " more" : "");
    }
}
