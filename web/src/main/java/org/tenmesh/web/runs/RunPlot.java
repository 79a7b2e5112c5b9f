package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadRun;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.cards.MeasureFigure;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * One analyte along one run: soils, check solutions, blanks and control soils, each in its own panel over the same positions or times.
 *
 * @param picture SVG; empty text where nothing has a number
 * @param notTold what is not drawn, in sentences
 */
public record RunPlot(String picture, List<String> notTold) {
    private static final double WIDTH = 1240;
    private static final double SOILS = 200;
    private static final double LANE = 92;
    private static final double CHECKS = 96;
    private static final double BLANKS = 66;
    private static final double CONTROLS = 84;
    private static final int MOST_LANES = 8;
    /** A logarithmic axis reaches at most so far below its highest number. */
    private static final double DECADES = 1000;

    /**
     * Draws some positions of a run.
     *
     * @param read the run reduced again; empty where its method is not known
     * @param sealed whether the viewer may know the hidden control soils
     * @param drawn in the order read
     */
    static RunPlot of(
            Desk desk,
            Run run,
            Optional<ReadRun> read,
            Analyte analyte,
            boolean byTime,
            boolean sealed,
            List<RunPositions.Position> drawn) {
        return new Maker(desk, run, read, analyte, byTime, sealed, drawn).plot();
    }

    /** Collects the panels of one picture. */
    private static final class Maker {
        private final Desk desk;
        private final Run run;
        private final Optional<ReadRun> read;
        private final Analyte analyte;
        private final boolean byTime;
        private final boolean sealed;
        private final Set<String> channels = new HashSet<>();
        private final NavigableMap<Integer, RunPositions.Position> places = new TreeMap<>();
        private final List<String> notTold = new ArrayList<>();
        private final List<Along.Panel> panels = new ArrayList<>();

        Maker(
                Desk desk,
                Run run,
                Optional<ReadRun> read,
                Analyte analyte,
                boolean byTime,
                boolean sealed,
                List<RunPositions.Position> drawn) {
            this.desk = desk;
            this.run = run;
            this.read = read;
            this.analyte = analyte;
            this.byTime = byTime;
            this.sealed = sealed;
            drawn.forEach(place -> places.put(place.position(), place));
            desk.positions(run).positions().stream()
                    .filter(place -> place.role() == Role.SAMPLE)
                    .forEach(place -> channels.add(place.channel()));
            channels.remove("");
        }

        RunPlot plot() {
            if (places.isEmpty()) {
                return new RunPlot("", List.of("Nothing was read."));
            }
            soils();
            checks();
            blanks();
            controls();
            if (panels.isEmpty()) {
                return new RunPlot("", notTold);
            }
            Along along = new Along(
                    Words.sentence(analyte.name()) + " along run " + run.run(),
                    panels.stream()
                                    .map(panel -> panel.name() + ": "
                                            + Words.of(panel.marks().size(), "point"))
                                    .collect(Collectors.joining("; "))
                            + ". Every point can be reached by keyboard.",
                    WIDTH,
                    across(),
                    panels,
                    shades(),
                    trays());
            return new RunPlot(along.svg(), notTold);
        }

        private Scale across() {
            List<Integer> all = places.keySet().stream().sorted().toList();
            int first = all.get(0);
            int last = all.get(all.size() - 1);
            if (!byTime) {
                return Scale.from(first, Math.max(last, first + 1), "position", 12);
            }
            double from =
                    places.values().stream().mapToDouble(Maker::seconds).min().orElse(0);
            double to =
                    places.values().stream().mapToDouble(Maker::seconds).max().orElse(1);
            return Scale.times(from, to, desk.zone(), 12);
        }

        private static double seconds(RunPositions.Position place) {
            return place.at().toEpochSecond();
        }

        private double x(int position) {
            if (!byTime) {
                return position;
            }
            // What was left out at the end has no time: it stands where the last was read.
            Map.Entry<Integer, RunPositions.Position> place = places.floorEntry(position);
            return seconds((place == null ? places.firstEntry() : place).getValue());
        }

        private String where(int position) {
            RunPositions.Position place = places.get(position);
            return "position " + position + (place == null ? "" : ", " + Words.second(place.at(), desk.zone()));
        }

        private String unit() {
            return analyte.unit().spelling();
        }

        // ---- soils

        private void soils() {
            Map<Integer, Result> results = new HashMap<>();
            desk.resultsOf(run).stream()
                    .filter(result -> result.analyte().equals(analyte.symbol()))
                    .forEach(result -> results.put(result.position(), result));
            Map<Integer, Determination> determinations = new HashMap<>();
            read.map(ReadRun::reduced)
                    .map(Reduced::determinations)
                    .orElse(List.of())
                    .forEach(d -> {
                        if (d.analyte().equals(analyte.symbol())) {
                            determinations.put(d.position(), d);
                        }
                    });
            Map<String, List<Mark>> lanes = new HashMap<>();
            int without = 0;
            for (RunPositions.Position place : places.values()) {
                if (place.role() != Role.SAMPLE && place.role() != Role.DUPLICATE && place.role() != Role.CONTROL) {
                    continue;
                }
                Optional<Result> result = Optional.ofNullable(results.get(place.position()));
                double value = result.map(Result::amount)
                        .or(() -> Optional.ofNullable(determinations.get(place.position()))
                                .map(Determination::amount))
                        .map(Amount::raw)
                        .orElse(Double.NaN);
                if (Double.isFinite(value)) {
                    lanes.computeIfAbsent(lane(place), name -> new ArrayList<>())
                            .add(soil(place, result, value));
                } else if (place.role() != Role.CONTROL) {
                    without++;
                }
            }
            if (without > 0) {
                notTold.add(Words.of(without, "position") + " gave no number for " + analyte.name()
                        + ": not drawn, in the table below.");
            }
            if (lanes.isEmpty()) {
                return;
            }
            Scale up = scale(
                    lanes.values().stream().flatMap(List::stream).map(Mark::y).toList());
            String of = analyte.name() + (unit().isEmpty() ? "" : ", " + unit());
            for (String lane : new TreeSet<>(lanes.keySet())) {
                panels.add(new Along.Panel(
                        Words.sentence(lane.isEmpty() ? of : noun() + " " + lane + ": " + of),
                        lanes.size() > 1 ? LANE : SOILS,
                        up,
                        Optional.empty(),
                        lanes.getOrDefault(lane, List.of()),
                        false));
            }
        }

        private String noun() {
            return desk.methodOf(run)
                    .flatMap(method -> method.channel())
                    .map(channel -> channel.noun())
                    .orElse("balance");
        }

        // By probe, cell or balance where there are several.
        private String lane(RunPositions.Position place) {
            return channels.size() > 1 && channels.size() <= MOST_LANES ? place.channel() : "";
        }

        private Mark soil(RunPositions.Position place, Optional<Result> result, double value) {
            boolean open = place.role() == Role.CONTROL;
            boolean hidden = sealed && !open && desk.hiddenControl(new LabNumber(place.identity()));
            String what = open
                    ? "open control " + place.identity()
                    : (place.role() == Role.DUPLICATE ? "second portion of " : "")
                            + place.identity()
                            + (hidden ? ", hidden control" : "")
                            + (place.role() == Role.SAMPLE && result.isEmpty() ? ", another reading stands" : "");
            Verdict verdict = result.map(Result::verdict).orElse(Verdict.FIT);
            String said = result.map(Result::reported)
                    .filter(reported -> !reported.isEmpty())
                    .orElse(Significant.text(value, 3));
            return new Mark(
                    x(place.position()),
                    value,
                    hidden || open ? Mark.Shape.CONTROL : Mark.Shape.SOIL,
                    verdict,
                    what + ", " + where(place.position()) + ": " + said + (unit().isEmpty() ? "" : " " + unit())
                            + (verdict == Verdict.FIT ? "" : ", " + verdict.word()),
                    open ? "" : "/soils/" + Words.part(place.identity()),
                    "");
        }

        // What lies far below the rest stands at the lower end of a logarithmic axis.
        private static Scale scale(List<Double> values) {
            double high = values.stream().mapToDouble(v -> v).max().orElse(1);
            List<Double> above =
                    values.stream().filter(v -> v > high / DECADES && v > 0).toList();
            double middle =
                    above.isEmpty() ? 0 : above.stream().sorted().toList().get(above.size() / 2);
            boolean most = above.size() >= 0.8 * values.size();
            return most
                            && middle > 0
                            && high / above.stream().mapToDouble(v -> v).min().orElse(high) >= 20
                    ? Scale.factors(above.stream().mapToDouble(v -> v).min().orElse(1), high, "")
                    : Scale.over(values, "", 5);
        }

        // ---- check solutions

        private void checks() {
            List<Measure> checks = measures(Measure.Kind.CHECK_SOLUTION);
            if (checks.isEmpty()) {
                notTold.add("No check solution of known " + analyte.name() + " was read.");
                return;
            }
            // Solutions may have different limits; the band is that of the one read most often.
            boolean shares = checks.stream().allMatch(one -> one.unit().equals("%"));
            Along.Band band =
                    shares ? commonest(checks) : new Along.Band(OptionalDouble.of(-100), OptionalDouble.of(100));
            List<Mark> marks = new ArrayList<>();
            List<Double> heights = new ArrayList<>();
            for (Measure one : checks) {
                double low = one.low().orElse(0);
                double half = (one.high().orElse(0) - low) / 2;
                double y = shares ? one.found() : 100 * (one.found() - low - half) / half;
                heights.add(y);
                marks.add(mark(one, y, Mark.Shape.CHECK));
            }
            String name = "Check solutions, "
                    + (shares ? "% of their value" : "difference from their value, % of what is allowed");
            boolean one = checks.stream().map(Measure::identity).distinct().count() == 1;
            add(name, CHECKS, band, heights, marks, one);
        }

        private static Along.Band commonest(List<Measure> checks) {
            Map<Along.Band, Integer> counts = new HashMap<>();
            checks.forEach(one -> counts.merge(new Along.Band(one.low(), one.high()), 1, Integer::sum));
            return counts.entrySet().stream()
                    .max(Comparator.comparingInt(Map.Entry::getValue))
                    .orElseThrow()
                    .getKey();
        }

        private Mark mark(Measure one, double y, Mark.Shape shape) {
            boolean outside = one.isOutside();
            String allowed = MeasureFigure.allowed(one);
            return new Mark(
                    x(one.position()),
                    y,
                    shape,
                    outside ? Verdict.REDO : Verdict.FIT,
                    (one.identity().isEmpty() ? one.kind().phrase() : one.kind().phrase() + " " + one.identity()) + ", "
                            + where(one.position()) + ": " + MeasureFigure.found(one)
                            + (allowed.isEmpty() ? "" : " (" + allowed + ")") + (outside ? ", outside" : ""),
                    "",
                    outside ? Significant.text(y, 3).replace('-', '−') : "");
        }

        private List<Measure> measures(Measure.Kind kind) {
            return read.map(ReadRun::measures).orElse(List.of()).stream()
                    .filter(one -> places.containsKey(one.position()))
                    .filter(one -> one.kind() == kind && one.analyte().equals(analyte.symbol()))
                    .sorted(Comparator.comparingInt(Measure::position))
                    .toList();
        }

        private void add(
                String name, double height, Along.Band band, List<Double> heights, List<Mark> marks, boolean joined) {
            List<Double> all = new ArrayList<>(heights);
            band.low().ifPresent(all::add);
            band.high().ifPresent(all::add);
            double low = all.stream().mapToDouble(v -> v).min().orElse(0);
            double high = all.stream().mapToDouble(v -> v).max().orElse(1);
            double room = 0.08 * (high - low);
            panels.add(new Along.Panel(
                    name,
                    height,
                    Scale.over(List.of(low - room, high + room), "", 3),
                    band.low().isEmpty() && band.high().isEmpty() ? Optional.empty() : Optional.of(band),
                    marks,
                    joined));
        }

        // ---- blanks and control soils

        private void blanks() {
            List<Measure> blanks = measures(Measure.Kind.BLANK);
            if (blanks.isEmpty()) {
                if (desk.methodOf(run).flatMap(method -> method.extract()).isPresent()) {
                    notTold.add("No blank was read.");
                }
                return;
            }
            add(
                    "Blanks, mg/L",
                    BLANKS,
                    new Along.Band(blanks.get(0).low(), blanks.get(0).high()),
                    blanks.stream().map(Measure::found).toList(),
                    blanks.stream()
                            .map(one -> mark(one, one.found(), Mark.Shape.BLANK))
                            .toList(),
                    false);
        }

        private void controls() {
            List<Measure> open = measures(Measure.Kind.CONTROL_SOIL);
            List<Mark> marks = new ArrayList<>(open.stream()
                    .map(one -> mark(one, one.found(), Mark.Shape.CONTROL))
                    .toList());
            if (sealed) {
                for (ControlValue value : desk.judged().controlValues()) {
                    if (value.hidden()
                            && places.containsKey(value.position())
                            && value.run().equals(run.run())
                            && value.analyte().equals(analyte.symbol())) {
                        boolean failed = !value.rules().isEmpty();
                        String z = (value.z() < 0 ? "−" : "+") + Significant.text(Math.abs(value.z()), 2);
                        marks.add(new Mark(
                                x(value.position()),
                                value.z(),
                                Mark.Shape.CONTROL,
                                failed ? Verdict.REDO : Verdict.FIT,
                                "hidden control " + value.identity() + ", " + value.material() + ", "
                                        + where(value.position()) + ": " + z + " SD" + (failed ? ", outside" : ""),
                                "/soils/" + Words.part(value.identity()),
                                failed ? z : ""));
                    }
                }
            }
            if (marks.isEmpty()) {
                notTold.add("No open control soil of known " + analyte.name() + " was read.");
                return;
            }
            // Where materials are known from different numbers of runs the narrowest limit is drawn.
            OptionalDouble high =
                    open.stream().mapToDouble(one -> one.high().orElse(0)).min();
            Along.Band band = high.isPresent()
                    ? new Along.Band(OptionalDouble.of(-high.getAsDouble()), high)
                    : new Along.Band(OptionalDouble.empty(), OptionalDouble.empty());
            add(
                    sealed ? "Control soils, SD from the mean" : "Open control soils, SD from the mean",
                    CONTROLS,
                    band,
                    marks.stream().map(Mark::y).toList(),
                    marks,
                    false);
        }

        // ---- what a cause touches, and trays

        private List<Along.Shade> shades() {
            List<Along.Shade> shades = new ArrayList<>();
            for (Cause cause : desk.judged().causes()) {
                Optional<Acted> accepted = desk.acceptances().of(cause.id());
                for (Stretch one : cause.stretches()) {
                    if (!one.run().equals(run.run())
                            || one.firstPosition() <= 0
                            || one.firstPosition() > places.lastKey()
                            || Math.max(one.firstPosition(), one.lastPosition()) < places.firstKey()
                            || one.verdict() == Verdict.FIT
                            || !one.analytes().contains(analyte.symbol())) {
                        continue;
                    }
                    if (accepted.isPresent()) {
                        notTold.add(Words.sentence(cause.kind().phrase()) + ", positions " + one.firstPosition()
                                + " to " + one.lastPosition() + ", is not shaded: accepted by "
                                + accepted.get().actor() + ", " + accepted.get().reason() + ".");
                    } else {
                        shades.add(new Along.Shade(
                                x(one.firstPosition()),
                                x(Math.max(one.firstPosition(), one.lastPosition())),
                                one.verdict()));
                    }
                }
            }
            shades.sort(Comparator.comparing(Along.Shade::verdict));
            return shades;
        }

        private List<Along.Lane> trays() {
            List<Along.Lane> trays = new ArrayList<>();
            String tray = "";
            double from = 0;
            double to = 0;
            for (int position : places.keySet().stream().sorted().toList()) {
                RunPositions.Position place = places.get(position);
                if (place == null || place.role() != Role.SAMPLE && place.role() != Role.DUPLICATE) {
                    continue;
                }
                String here = desk.place(new LabNumber(place.identity()))
                        .map(at -> at.tray().tray())
                        .orElse("");
                if (!here.equals(tray)) {
                    if (!tray.isEmpty()) {
                        trays.add(new Along.Lane(from, to, tray));
                    }
                    tray = here;
                    from = x(position);
                }
                to = x(position);
            }
            if (!tray.isEmpty()) {
                trays.add(new Along.Lane(from, to, tray));
            }
            return trays;
        }
    }
}
