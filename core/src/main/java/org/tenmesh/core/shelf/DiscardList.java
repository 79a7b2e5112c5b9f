package org.tenmesh.core.shelf;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.intake.LabNumber;

/**
 * What may be discarded on a day, and what of it leaves once it was scanned and signed.
 *
 * @param day for which it was made
 * @param lines soils in the order of their boxes
 * @param scanned boxes and lab numbers that were held under a scanner for it
 * @param signedBy empty text until it is signed
 */
public record DiscardList(String name, LocalDate day, List<LabNumber> lines, Set<String> scanned, String signedBy) {
    public DiscardList {
        lines = List.copyOf(lines);
        scanned = Set.copyOf(scanned);
    }

    /** @param why why it stays on the shelf; empty text when it leaves */
    public record Line(Stored soil, String why) {
        public boolean leaves() {
            return why.isEmpty();
        }
    }

    /**
     * The soils that may go: on the shelf, ordinary, kept for long enough, held back by nothing.
     *
     * @param days for how many days soils are kept
     * @param waiting soils of which something is held or ordered to be made again: they are kept
     */
    public static List<Stored> due(List<Stored> shelf, int days, LocalDate day, Set<LabNumber> waiting) {
        return shelf.stream()
                .filter(soil -> staysBecause(soil, days, day, waiting).isEmpty())
                .sorted(Comparator.comparing((Stored soil) -> soil.place().orElse(""))
                        .thenComparing(Stored::box)
                        .thenComparing(Stored::labNumber))
                .toList();
    }

    /**
     * A soil whose days since the release of its last result are over, or that was put away so long ago and never released, and that is not
     * discarded all the same.
     *
     * @param why in words
     * @param from the first day on which it may go; empty where no day is known, and then {@code why} says what it waits for
     */
    public record KeptOff(Stored soil, String why, Optional<LocalDate> from) {}

    /**
     * What is due on a day and kept off a list all the same, each with its reason.
     *
     * @param due soils that were released long enough ago, or put away long enough ago and not released, whatever else holds them
     * @param waiting soils of which something is held or ordered to be made again
     */
    public static List<KeptOff> keptOff(List<Stored> due, int days, LocalDate day, Set<LabNumber> waiting) {
        return due.stream()
                .filter(soil -> !soil.state().gone()
                        && !staysBecause(soil, days, day, waiting).isEmpty())
                .map(soil -> keptOff(soil, days, day, waiting))
                .sorted(Comparator.comparing((KeptOff one) -> one.from().orElse(LocalDate.MAX))
                        .thenComparing(one -> one.soil().box())
                        .thenComparing(one -> one.soil().labNumber()))
                .toList();
    }

    private static KeptOff keptOff(Stored soil, int days, LocalDate day, Set<LabNumber> waiting) {
        if (soil.keeping().apart()) {
            return new KeptOff(
                    soil,
                    soil.keeping() == Keeping.REGULATED
                            ? "regulated: it is destroyed under its permit and stands on no such list"
                            : "nobody has said whether it is regulated: it is kept as regulated until somebody has",
                    Optional.empty());
        }
        List<String> why = new ArrayList<>();
        soil.loan().ifPresent(loan -> why.add("lent to " + loan.to() + ", back on " + loan.until()));
        if (waiting.contains(soil.labNumber())) {
            why.add("something of it is held or ordered to be made again");
        }
        Kept kept = soil.kept(days, day);
        if (kept.from().isEmpty()) {
            why.add(kept.why());
        } else if (!kept.mayGo(day)) {
            why.add("its time stood still for a while");
        }
        return new KeptOff(soil, String.join("; ", why), mayGoFrom(soil, days, day, waiting));
    }

    /** The day from which nothing that is known holds it any more; empty where something holds it until somebody decides. */
    private static Optional<LocalDate> mayGoFrom(Stored soil, int days, LocalDate day, Set<LabNumber> waiting) {
        Optional<LocalDate> lifted = soil.pauses().stream()
                .map(Pause::to)
                .reduce(
                        Optional.of(day),
                        (a, b) -> a.flatMap(one -> b.map(other -> one.isBefore(other) ? other : one)));
        if (waiting.contains(soil.labNumber()) || lifted.isEmpty()) {
            return Optional.empty();
        }
        return soil.kept(days, lifted.get())
                .from()
                .map(from -> soil.loan()
                        .map(Stored.Loan::until)
                        .filter(from::isBefore)
                        .orElse(from))
                // Kept for long enough before a pause began, it still waits for the end of the pause.
                .map(from -> from.isBefore(lifted.get()) ? lifted.get() : from);
    }

    /** Why a soil may not go on this day; empty text when it may. */
    public static String staysBecause(Stored soil, int days, LocalDate day, Set<LabNumber> waiting) {
        if (soil.state() != Stored.State.ON_SHELF) {
            return soil.state().phrase();
        }
        if (soil.keeping().apart()) {
            return soil.keeping().phrase();
        }
        if (waiting.contains(soil.labNumber())) {
            return "something of it is held or ordered to be made again";
        }
        Kept kept = soil.kept(days, day);
        return kept.mayGo(day)
                ? ""
                : kept.from().map(from -> "kept until " + from).orElse(kept.why());
    }

    /**
     * Boxes that may be scanned as a whole: everything that is in them is on the list and may still go. Of any other the soils are scanned one
     * by one, so that nobody tips a box with something in it that is to stay.
     *
     * @param inBoxes everything that is in the boxes of this list's soils now
     */
    public Set<String> wholeBoxes(List<Stored> inBoxes, int days, LocalDate today, Set<LabNumber> waiting) {
        Set<LabNumber> listed = new HashSet<>(lines);
        Map<String, Boolean> whole = new TreeMap<>();
        for (Stored soil : inBoxes) {
            if (!soil.state().gone()) {
                boolean its = listed.contains(soil.labNumber())
                        && staysBecause(soil, days, today, waiting).isEmpty();
                whole.merge(soil.box(), its, Boolean::logicalAnd);
            }
        }
        whole.values().removeIf(all -> !all);
        return whole.keySet();
    }

    /** Why a scan does not belong to this list; empty when it does. */
    public Optional<String> refusal(
            String code, List<Stored> inBoxes, int days, LocalDate today, Set<LabNumber> waiting) {
        if (!signedBy.isEmpty()) {
            return Optional.of("List " + name + " is signed; nothing is added to it");
        }
        if (Codes.isBox(code)) {
            boolean has =
                    inBoxes.stream().anyMatch(soil -> soil.box().equals(code) && lines.contains(soil.labNumber()));
            return !has
                    ? Optional.of("Nothing of box " + code + " is on this list: it stays where it is")
                    : wholeBoxes(inBoxes, days, today, waiting).contains(code)
                            ? Optional.empty()
                            : Optional.of(
                                    "Box " + code
                                            + " also holds soils that are not on this list or are to stay: scan those that go, one by one");
        }
        return lines.stream().anyMatch(line -> line.text().equals(code))
                ? Optional.empty()
                : Optional.of(code + " is not on this list: it stays where it is");
    }

    /**
     * What happens with each line when the list is signed now. A line that was not scanned, by itself or with its box, stays on the shelf; so
     * does one that may no longer go.
     *
     * @param inBoxes everything that is in the boxes of this list's soils now, the lines with it
     */
    public List<Line> settled(List<Stored> inBoxes, int days, LocalDate today, Set<LabNumber> waiting) {
        Map<LabNumber, Stored> now = new TreeMap<>();
        inBoxes.forEach(soil -> now.put(soil.labNumber(), soil));
        Set<String> whole = wholeBoxes(inBoxes, days, today, waiting);
        List<Line> settled = new ArrayList<>();
        for (LabNumber number : lines) {
            Stored soil = now.get(number);
            if (soil == null) {
                throw new IllegalArgumentException(number + " of list " + name + " is in none of the boxes given");
            }
            boolean seen =
                    scanned.contains(number.text()) || scanned.contains(soil.box()) && whole.contains(soil.box());
            String stays = staysBecause(soil, days, today, waiting);
            settled.add(new Line(soil, !stays.isEmpty() ? stays : seen ? "" : "not scanned"));
        }
        return settled;
    }
}
