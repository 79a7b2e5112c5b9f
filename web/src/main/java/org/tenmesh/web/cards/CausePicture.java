package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeSet;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Rows;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * The one picture of what a cause is about, with its limits: made of the numbers that the judge gave with it, never of its sentences.
 * What has no fitting picture has none.
 */
final class CausePicture {
    private static final int MOST_ROWS = 8;
    private static final double PANEL = 118;
    private static final double NARROW = 500;

    private final Desk desk;
    private final Cause cause;
    private final Stretch stretch;
    private final boolean sealed;
    private final double width;
    private final String title;

    private CausePicture(Desk desk, Cause cause, Stretch stretch, boolean sealed, double width) {
        this.desk = desk;
        this.cause = cause;
        this.stretch = stretch;
        this.sealed = sealed;
        this.width = width;
        this.title = Words.sentence(cause.kind().phrase()) + ", run " + stretch.run();
    }

    /**
     * As SVG; empty text where no picture fits.
     *
     * @param sealed whether the viewer may know the hidden control soils
     * @param width px
     */
    static String of(Desk desk, Cause cause, boolean sealed, double width) {
        for (Stretch stretch : cause.stretches()) {
            if (!stretch.measures().isEmpty()) {
                return new CausePicture(desk, cause, stretch, sealed, width).drawn();
            }
        }
        return "";
    }

    private String drawn() {
        Measure first = stretch.measures().get(0);
        // A drift is told by what was read on the way to its end.
        Optional<Measure> check = first.kind() == Measure.Kind.DRIFT || first.kind() == Measure.Kind.CONTROL_SOIL
                ? worst(Measure.Kind.CHECK_SOLUTION)
                : Optional.empty();
        Measure shown = check.orElse(first);
        return switch (shown.kind()) {
            case CHECK_SOLUTION, BLANK -> along(shown);
            case CONTROL_SOIL -> controls(shown);
            case RANGE -> ladder();
            case CHANNEL -> differences(shown);
            case ODDS -> MovedWells.of(desk, cause, stretch, title);
            case CALIBRATION, BASELINE, CARRY_OVER, DUPLICATES, CONTROL_TREND, DRIFT -> against(shown);
            case STANDARD, DILUTION, LIKELIHOOD -> "";
        };
    }

    private Optional<Measure> worst(Measure.Kind kind) {
        return stretch.measures().stream().filter(one -> one.kind() == kind).findFirst();
    }

    private String name(Measure one) {
        return one.analyte().isEmpty() ? "" : desk.analyteName(stretch.method(), one.analyte());
    }

    private String said(Measure one) {
        String allowed = MeasureFigure.allowed(one);
        return MeasureFigure.what(desk, stretch.run(), stretch.method(), one) + ": " + MeasureFigure.found(one)
                + (allowed.isEmpty() ? "" : " (" + allowed + ")");
    }

    private static Along.Band band(Measure one) {
        return new Along.Band(one.low(), one.high());
    }

    // ---- checks and blanks along the run

    private String along(Measure shown) {
        List<Measure> series = stretch.measures().stream()
                .filter(one -> one.kind() == shown.kind()
                        && one.analyte().equals(shown.analyte())
                        && one.identity().equals(shown.identity())
                        && one.low().equals(shown.low())
                        && one.high().equals(shown.high())
                        && one.position() > 0
                        && Double.isFinite(one.found()))
                .sorted(Comparator.comparingInt(Measure::position))
                .toList();
        Mark.Shape shape = shown.kind() == Measure.Kind.BLANK ? Mark.Shape.BLANK : Mark.Shape.CHECK;
        List<Mark> marks = new ArrayList<>();
        for (Measure one : series) {
            marks.add(new Mark(
                    one.position(),
                    one.found(),
                    shape,
                    MeasureFigure.verdict(one, cause.verdict()),
                    said(one),
                    "",
                    one.equals(shown) ? MeasureFigure.found(one) : ""));
        }
        String of = shown.kind() == Measure.Kind.BLANK ? "blank" : shown.identity();
        String upwards = name(shown) + " in " + of + (shown.unit().isEmpty() ? "" : ", " + shown.unit())
                + (shown.unit().equals("%") ? " of its value" : "");
        return inRun(shown, marks, Words.sentence(upwards), shown.kind() == Measure.Kind.CHECK_SOLUTION);
    }

    private String inRun(Measure shown, List<Mark> marks, String name, boolean joined) {
        int last = desk.run(stretch.run())
                .map(run -> desk.positions(run).positions())
                .filter(positions -> !positions.isEmpty())
                .map(positions -> positions.get(positions.size() - 1))
                .map(RunPositions.Position::position)
                .orElse(0);
        last = Math.max(
                last, marks.stream().mapToInt(mark -> (int) mark.x()).max().orElse(0));
        if (marks.isEmpty() || last < 2) {
            return "";
        }
        List<Double> heights = new ArrayList<>(marks.stream().map(Mark::y).toList());
        shown.low().ifPresent(heights::add);
        shown.high().ifPresent(heights::add);
        return new Along(
                        title,
                        description(marks.size(), shown),
                        width,
                        Scale.from(1, last, "position", width < NARROW ? 5 : 10),
                        List.of(new Along.Panel(
                                name,
                                PANEL,
                                Scale.over(padded(heights), "", 4),
                                Optional.of(band(shown)),
                                marks,
                                joined)),
                        shades(),
                        List.of())
                .svg();
    }

    // A limit does not lie on the frame.
    private static List<Double> padded(List<Double> numbers) {
        double low = numbers.stream().mapToDouble(n -> n).min().orElse(0);
        double high = numbers.stream().mapToDouble(n -> n).max().orElse(1);
        double room = 0.06 * (high - low);
        return List.of(low - room, high + room);
    }

    private String description(int drawn, Measure shown) {
        String allowed = MeasureFigure.allowed(shown);
        return Words.of(drawn, "point") + "; furthest off " + MeasureFigure.found(shown)
                + (allowed.isEmpty() ? "" : ", " + allowed) + ".";
    }

    private List<Along.Shade> shades() {
        return cause.stretches().stream()
                .filter(one -> one.run().equals(stretch.run()) && one.firstPosition() > 0)
                .map(one -> new Along.Shade(
                        one.firstPosition(), Math.max(one.firstPosition(), one.lastPosition()), one.verdict()))
                .sorted(Comparator.comparing(Along.Shade::verdict))
                .toList();
    }

    // ---- control soils

    private String controls(Measure shown) {
        if (sealed) {
            List<Mark> marks = new ArrayList<>();
            for (ControlValue value : desk.judged().controlValues()) {
                if (value.run().equals(stretch.run()) && value.analyte().equals(shown.analyte())) {
                    boolean failed = !value.rules().isEmpty();
                    String z = signed(value.z());
                    marks.add(new Mark(
                            value.position(),
                            value.z(),
                            Mark.Shape.CONTROL,
                            failed ? cause.verdict() : Verdict.FIT,
                            value.material()
                                    + (value.hidden() ? ", hidden control " + value.identity() : ", open control")
                                    + ", position " + value.position() + ": " + z + " SD",
                            value.hidden() ? "/soils/" + Words.part(value.identity()) : "",
                            failed ? z : ""));
                }
            }
            if (!marks.isEmpty()) {
                return inRun(shown, marks, Words.sentence(name(shown)) + " in control soils, SD from the mean", false);
            }
        }
        return against(shown);
    }

    private static String signed(double value) {
        return (value < 0 ? "−" : "+") + Significant.text(Math.abs(value), 2);
    }

    // ---- numbers against their limits, one row each

    private String against(Measure shown) {
        List<Measure> same = stretch.measures().stream()
                .filter(one -> one.kind() == shown.kind() && Double.isFinite(one.found()))
                .toList();
        List<Measure> alike = same.stream()
                .filter(one -> one.unit().equals(shown.unit())
                        && one.low().equals(shown.low())
                        && one.high().equals(shown.high()))
                .toList();
        boolean shares = alike.size() < same.size()
                && same.stream()
                        .allMatch(one -> one.low().isEmpty() && one.high().isPresent());
        List<Measure> drawn = shares ? same : alike;
        drawn = drawn.subList(0, Math.min(MOST_ROWS, drawn.size()));
        if (drawn.isEmpty() || shown.low().isEmpty() && shown.high().isEmpty()) {
            return "";
        }
        List<Rows.Row> rows = new ArrayList<>();
        List<Double> numbers = new ArrayList<>();
        numbers.add(0.0);
        if (shares) {
            numbers.add(100.0);
        } else {
            numbers.clear();
            shown.low().ifPresent(numbers::add);
            shown.high().ifPresent(numbers::add);
        }
        for (Measure one : drawn) {
            double x = shares ? 100 * one.found() / one.high().orElse(1) : one.found();
            numbers.add(x);
            rows.add(new Rows.Row(
                    rowName(one), new Mark(x, 0, shape(one), MeasureFigure.verdict(one, cause.verdict()), said(one))));
        }
        Measure.Kind kind = shown.kind();
        String unit = shares ? "% of what is allowed" : shown.unit().equals("SD") ? "SD from the mean" : shown.unit();
        return new Rows(
                        title,
                        description(drawn.size(), shown),
                        width,
                        Scale.over(padded(numbers), unit, width < NARROW ? 4 : 8),
                        kind != Measure.Kind.CALIBRATION,
                        Optional.of(
                                shares ? new Along.Band(OptionalDouble.empty(), OptionalDouble.of(100)) : band(shown)),
                        rows)
                .svg();
    }

    private static Mark.Shape shape(Measure one) {
        return switch (one.kind()) {
            case CONTROL_SOIL, CONTROL_TREND -> Mark.Shape.CONTROL;
            case DUPLICATES, RANGE -> Mark.Shape.SOIL;
            default -> Mark.Shape.CHECK;
        };
    }

    private String rowName(Measure one) {
        String where = switch (one.kind()) {
            case CONTROL_SOIL -> one.identity().isEmpty() ? "a control soil" : one.identity();
            case DUPLICATES, CALIBRATION -> one.identity();
            default -> "";
        };
        return (one.analyte() + " " + where).strip();
    }

    // ---- extracts above the range: which dilution brings each into it

    private String ladder() {
        Map<String, Measure> soils = new LinkedHashMap<>();
        stretch.measures().stream()
                .filter(one -> one.kind() == Measure.Kind.RANGE && one.force() > 0)
                .forEach(one -> soils.merge(one.identity(), one, (a, b) -> a.force() >= b.force() ? a : b));
        double[] dilutions = desk.day().laboratory().policy().list(Setting.DILUTIONS_MADE);
        List<Rows.Row> rows = new ArrayList<>();
        double least = 100;
        double most = 100;
        for (Measure one : soils.values()) {
            if (rows.size() == MOST_ROWS) {
                break;
            }
            double share = 100 * one.force();
            most = Math.max(most, share);
            List<Rows.Rung> rungs = new ArrayList<>();
            for (double dilution : dilutions) {
                if (dilution > 1) {
                    double there = share / dilution;
                    least = Math.min(least, there);
                    String factor = Words.plain(dilution);
                    rungs.add(new Rows.Rung(
                            there,
                            factor + " ×",
                            one.identity() + " diluted " + factor + " times: about " + Significant.text(there, 2)
                                    + " % of the range",
                            there <= 100));
                    if (there <= 100) {
                        break;
                    }
                }
            }
            rows.add(new Rows.Row(
                    one.identity() + " " + one.analyte(),
                    new Mark(share, 0, Mark.Shape.SOIL, cause.verdict(), said(one)),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    rungs,
                    Optional.empty()));
        }
        if (rows.isEmpty()) {
            return "";
        }
        int left = soils.size() - rows.size();
        return new Rows(
                        title,
                        Words.of(rows.size(), "soil") + " with the dilution that brings each into the range"
                                + (left > 0 ? "; " + left + " more are not drawn." : "."),
                        width,
                        Scale.factors(Math.min(50, least), Math.max(200, most), "% of the range"),
                        false,
                        Optional.of(new Along.Band(OptionalDouble.empty(), OptionalDouble.of(100))),
                        rows)
                .svg();
    }

    // ---- a probe or balance beside the others

    private String differences(Measure shown) {
        List<GroupDifference> all = desk.judged().differences().stream()
                .filter(one -> one.kind().equals("channel")
                        && one.method().equals(stretch.method())
                        && one.analyte().equals(shown.analyte()))
                .toList();
        List<Rows.Row> rows = new ArrayList<>();
        List<Double> numbers = new ArrayList<>();
        shown.low().ifPresent(numbers::add);
        shown.high().ifPresent(numbers::add);
        for (GroupDifference one : all) {
            if (!Double.isFinite(one.low()) || !Double.isFinite(one.high())) {
                continue;
            }
            boolean its = one.size() == shown.found();
            numbers.addAll(List.of(one.low(), one.high()));
            rows.add(new Rows.Row(
                    one.group(),
                    new Mark(
                            one.size(),
                            0,
                            Mark.Shape.CHECK,
                            its ? cause.verdict() : Verdict.FIT,
                            one.group() + ": " + signed(one.size()) + " " + shown.unit() + ", 95 % between "
                                    + signed(one.low()) + " and " + signed(one.high()) + ", "
                                    + Words.of(one.soils(), "soil")),
                    OptionalDouble.of(one.low()),
                    OptionalDouble.of(one.high()),
                    List.of(),
                    Optional.empty()));
        }
        // Without the others there is nothing to stand beside.
        if (rows.size() < 2 || rows.stream().noneMatch(row -> row.mark().verdict() != Verdict.FIT)) {
            return "";
        }
        rows.sort(Comparator.comparing(Rows.Row::name));
        String names = String.join(
                ", ", new TreeSet<>(rows.stream().map(Rows.Row::name).toList()));
        return new Rows(
                        title,
                        Words.sentence(name(shown)) + " of " + names + " with 95 % intervals, against the others.",
                        width,
                        Scale.over(padded(numbers), shown.unit(), width < NARROW ? 4 : 8),
                        true,
                        Optional.of(band(shown)),
                        rows)
                .svg();
    }
}
