package org.tenmesh.web.shelf;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.web.words.Words;

/**
 * A discard list box by box.
 *
 * @param leaving how many lines leave when it is signed now; of a signed one how many left
 */
public record ListView(String name, String day, String signedBy, List<Box> boxes, int soils, int leaving) {
    /**
     * One box with its soils that are on the list.
     *
     * @param whole whether scanning the box is enough
     * @param seen whether all of its lines were scanned
     */
    public record Box(String box, String place, boolean whole, boolean seen, List<Line> lines) {}

    /** @param says what happens with it, or what became of it */
    public record Line(String labNumber, boolean seen, String says) {}

    /**
     * A soil that is due and not on the list.
     *
     * @param why in a sentence
     * @param from the day from which it may be discarded, in words
     */
    public record KeptOff(
            String labNumber, String href, String box, String place, boolean apart, String why, String from) {}

    static List<KeptOff> keptOff(List<DiscardList.KeptOff> soils) {
        return soils.stream()
                .map(one -> new KeptOff(
                        one.soil().labNumber().text(),
                        "/shelf/soils/" + Words.part(one.soil().labNumber().text()),
                        one.soil().box(),
                        one.soil().place().orElse("no place"),
                        one.soil().keeping().apart(),
                        Words.sentence(one.why()),
                        one.from().map(Words::day).orElse("no day is known")))
                .toList();
    }

    static ListView of(DiscardList list, List<Stored> inBoxes, int days, LocalDate today, Set<LabNumber> waiting) {
        Set<String> whole = list.wholeBoxes(inBoxes, days, today, waiting);
        Map<String, List<DiscardList.Line>> byBox = new LinkedHashMap<>();
        int leaving = 0;
        for (DiscardList.Line line : list.settled(inBoxes, days, today, waiting)) {
            byBox.computeIfAbsent(line.soil().box(), box -> new ArrayList<>()).add(line);
            boolean gone = line.soil().state() == Stored.State.DISCARDED;
            leaving += list.signedBy().isEmpty() ? (line.leaves() ? 1 : 0) : gone ? 1 : 0;
        }
        List<Box> boxes = new ArrayList<>();
        byBox.forEach((code, lines) -> {
            List<Line> rows =
                    lines.stream().map(line -> line(list, line, code, whole)).toList();
            boxes.add(new Box(
                    code,
                    lines.get(0).soil().place().orElse("no place"),
                    whole.contains(code),
                    rows.stream().allMatch(Line::seen),
                    rows));
        });
        return new ListView(
                list.name(),
                Words.day(list.day()),
                list.signedBy(),
                boxes,
                list.lines().size(),
                leaving);
    }

    private static Line line(DiscardList list, DiscardList.Line line, String box, Set<String> whole) {
        String number = line.soil().labNumber().text();
        boolean seen = list.scanned().contains(number) || list.scanned().contains(box) && whole.contains(box);
        if (!list.signedBy().isEmpty()) {
            boolean gone = line.soil().state() == Stored.State.DISCARDED;
            return new Line(number, seen || gone, gone ? "discarded" : "stayed on the shelf");
        }
        return new Line(number, seen, line.leaves() ? "leaves when the list is signed" : "stays: " + line.why());
    }
}
