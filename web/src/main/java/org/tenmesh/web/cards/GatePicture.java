package org.tenmesh.web.cards;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadRun;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * What the checks of an instrument gave over its day, beside what is allowed of them: of every check solution, blank and open control soil
 * the analyte that is nearest its limit or furthest beyond it. Hidden controls are never drawn.
 */
public final class GatePicture {
    private static final double WIDTH = 1000;
    private static final double HEIGHT = 84;
    private static final double WHOLE = 100;
    /** The axis reaches so far at most, % of what is allowed; what lies beyond stands at its end. */
    private static final double FURTHEST = 300;

    /** What is drawn, each kind in a panel of its own. */
    private record Drawn(Measure.Kind kind, Mark.Shape shape, String name) {}

    private static final List<Drawn> DRAWN = List.of(
            new Drawn(
                    Measure.Kind.CHECK_SOLUTION,
                    Mark.Shape.CHECK,
                    "Check solutions, distance from their value, % of what is allowed"),
            new Drawn(Measure.Kind.BLANK, Mark.Shape.BLANK, "Blanks, % of what is allowed"),
            new Drawn(
                    Measure.Kind.CONTROL_SOIL,
                    Mark.Shape.CONTROL,
                    "Open control soils, distance from their mean, % of what is allowed"));

    private GatePicture() {}

    /**
     * SVG by instrument, in the order of {@link Desk#instruments}; an instrument without a check whose limits are known has none.
     *
     * @param wanted the instruments that are drawn
     */
    public static Map<String, String> of(Desk desk, Set<String> wanted) {
        Map<String, String> pictures = new LinkedHashMap<>();
        desk.instruments().forEach((instrument, runs) -> {
            String picture = wanted.contains(instrument) ? of(desk, instrument, runs) : "";
            if (!picture.isEmpty()) {
                pictures.put(instrument, picture);
            }
        });
        return pictures;
    }

    private record Place(Drawn drawn, int position, String identity) {}

    private static String of(Desk desk, String instrument, List<Run> runs) {
        Map<Drawn, List<Mark>> marks = new LinkedHashMap<>();
        DRAWN.forEach(drawn -> marks.put(drawn, new ArrayList<>()));
        List<Along.Lane> lanes = new ArrayList<>();
        double from = Double.POSITIVE_INFINITY;
        double to = Double.NEGATIVE_INFINITY;
        for (Run run : runs) {
            NavigableMap<Integer, OffsetDateTime> times = new TreeMap<>();
            desk.positions(run).positions().forEach(place -> times.put(place.position(), place.at()));
            if (times.isEmpty()) {
                continue;
            }
            double first = seconds(
                    times.values().stream().min(Comparator.naturalOrder()).orElseThrow());
            double last = seconds(
                    times.values().stream().max(Comparator.naturalOrder()).orElseThrow());
            from = Math.min(from, first);
            to = Math.max(to, last);
            lanes.add(new Along.Lane(first, last, run.run()));
            Map<Place, Measure> nearest = new LinkedHashMap<>();
            for (Measure one : desk.read(run).map(ReadRun::measures).orElse(List.of())) {
                if (one.low().isPresent() && one.high().isPresent()) {
                    DRAWN.stream()
                            .filter(drawn -> drawn.kind() == one.kind())
                            .forEach(drawn -> nearest.merge(
                                    new Place(drawn, one.position(), one.identity()),
                                    one,
                                    (a, b) -> a.force() >= b.force() ? a : b));
                }
            }
            nearest.forEach((place, one) -> marks.computeIfAbsent(place.drawn(), k -> new ArrayList<>())
                    .add(mark(desk, run, place.drawn(), one, times)));
        }
        marks.values().removeIf(List::isEmpty);
        if (marks.isEmpty()) {
            return "";
        }
        List<Along.Panel> panels = new ArrayList<>();
        marks.forEach((drawn, its) -> panels.add(panel(drawn, its)));
        return new Along(
                        "Checks of " + instrument + " over the day",
                        "Of each check the analyte nearest its limit, in % of what is allowed. Every point can be reached by keyboard.",
                        WIDTH,
                        Scale.times(from, to, desk.zone(), 12),
                        panels,
                        List.of(),
                        lanes)
                .svg();
    }

    private static Along.Panel panel(Drawn drawn, List<Mark> marks) {
        double lowest = marks.stream().mapToDouble(Mark::y).min().orElse(0);
        double highest = marks.stream().mapToDouble(Mark::y).max().orElse(0);
        double high = Math.min(FURTHEST, Math.max(1.15 * WHOLE, highest));
        double low = Math.max(-FURTHEST, Math.min(-1.15 * WHOLE, lowest));
        return new Along.Panel(
                drawn.name(),
                HEIGHT,
                Scale.from(low, high, "", 5),
                Optional.of(new Along.Band(OptionalDouble.of(-WHOLE), OptionalDouble.of(WHOLE))),
                marks,
                false);
    }

    private static Mark mark(
            Desk desk, Run run, Drawn drawn, Measure one, NavigableMap<Integer, OffsetDateTime> times) {
        // What was left out at the end has no time: it stands where the last was read.
        Map.Entry<Integer, OffsetDateTime> known = times.floorEntry(one.position());
        double y = share(one);
        boolean outside = one.isOutside();
        String allowed = MeasureFigure.allowed(one);
        return new Mark(
                seconds((known == null ? times.firstEntry() : known).getValue()),
                y,
                drawn.shape(),
                outside ? Verdict.REDO : Verdict.FIT,
                MeasureFigure.what(desk, run.run(), run.method(), one) + ", run " + run.run() + ": "
                        + MeasureFigure.found(one) + (allowed.isEmpty() ? "" : " (" + allowed + ")")
                        + (outside ? ", outside" : ""),
                "/runs/" + Words.part(run.run()) + (one.analyte().isEmpty() ? "" : "?of=" + Words.part(one.analyte())),
                "");
    }

    /** How far a number lies from the middle of what is allowed, % of half that range: beyond 100 it is outside. */
    private static double share(Measure one) {
        double low = one.low().orElseThrow();
        double half = (one.high().orElseThrow() - low) / 2;
        return WHOLE * (one.found() - low - half) / half;
    }

    private static double seconds(OffsetDateTime at) {
        return at.toEpochSecond();
    }
}
