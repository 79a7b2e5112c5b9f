package org.tenmesh.web.runs;

import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.causes.ControlTrends;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlChart;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.FalseAlarms;
import org.tenmesh.core.charts.FrozenLimits;
import org.tenmesh.core.charts.RuleSet;
import org.tenmesh.core.charts.SmallShift;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * The charts of one method's control soils: every one is a line of a list, a few are drawn, those that are marked today before any other.
 * Sealed.
 *
 * @param history how far the charts look back, one sentence
 * @param alarms how often the rules call when nothing is wrong, one sentence
 * @param methods every method with charts
 * @param analytes what can be drawn of the chosen method: all its analytes with what is marked first, then each one
 * @param parts of what is to be drawn, where it is more than a few
 * @param drawn one sentence: what is drawn of how many
 * @param groups charts that are drawn, by instrument
 * @param list every chart of the chosen method, what is marked first
 */
public record ChartsView(
        String history,
        String alarms,
        String title,
        List<Choice> methods,
        List<Choice> analytes,
        List<Choice> parts,
        String drawn,
        List<Group> groups,
        List<Line> list) {
    /** So many are drawn at once: a page stays under 150 kB. */
    private static final int MOST_DRAWN = 6;

    private static final RuleSet RULES = RuleSet.multirule();
    private static final double LAMBDA = 0.2;
    private static final int MOST_POINTS = 60;
    private static final int MOST_ROWS = 12;
    private static final int WIDTH = 340;
    private static final double HEIGHT = 96;
    /** Where one point alone breaks a rule, standard deviations. */
    private static final double LIMIT = 3;
    /** As far as an axis reaches. */
    private static final double MOST_SDS = 9;

    private static final DateTimeFormatter DATE = DateTimeFormatter.ofPattern("d MMM", Locale.ENGLISH);
    private static final DateTimeFormatter YEAR = DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);

    /** One method, analyte or part to choose. */
    public record Choice(String title, String href, boolean chosen, int broken) {}

    /**
     * One chart in a few words.
     *
     * @param href where it is drawn
     * @param newest the last mean of a run, in standard deviations from the centre
     * @param runs how many are behind it, of all days
     */
    public record Line(
            String analyte,
            String href,
            String material,
            String instrument,
            String limits,
            int runs,
            String newest,
            Verdict verdict,
            String said) {}

    /** The charts of one instrument. */
    public record Group(String instrument, List<Shown> charts) {}

    /**
     * One chart.
     *
     * @param limits where its limits come from
     * @param said the rules broken today, in words where there is nothing to break
     * @param picture SVG
     * @param points the table behind the picture, newest first
     */
    public record Shown(String title, String limits, Verdict verdict, String said, String picture, List<Row> points) {}

    /** One point as a row. */
    public record Row(String day, String run, String href, String value, String z, int n, String rules) {}

    /**
     * @param wanted id of the method; the one with most marks where it is none with charts
     * @param analyte symbol of what is drawn; every analyte where it is none of the method
     * @param part which part of it, from 1
     */
    static ChartsView of(Desk desk, String wanted, String analyte, int part) {
        List<ChartValue> today =
                ControlTrends.entries(desk.day().runs(), desk.judged().controlValues());
        LocalDate first = today.stream()
                .map(ChartValue::day)
                .min(Comparator.naturalOrder())
                .orElse(desk.date());
        ControlHistory earlier = desk.day().history().before(first);
        List<ControlChart> charts = ControlTrends.charts(
                earlier.with(today),
                first,
                desk.day().materials(),
                desk.day().laboratory().policy());
        Map<String, List<Judged>> byMethod = new LinkedHashMap<>();
        charts.forEach(chart -> byMethod.computeIfAbsent(chart.key().method(), method -> new ArrayList<>())
                .add(Judged.of(chart, first)));
        // What is marked comes first, then what has limits to be judged by.
        String chosen = byMethod.containsKey(wanted)
                ? wanted
                : byMethod.entrySet().stream()
                        .max(Comparator.comparingInt((Map.Entry<String, List<Judged>> one) -> marked(one.getValue()))
                                .thenComparing(one -> one.getValue().stream()
                                        .anyMatch(its -> its.chart().limits().isPresent()))
                                .thenComparing(Map.Entry::getKey, Comparator.reverseOrder()))
                        .map(Map.Entry::getKey)
                        .orElse("");
        List<Choice> methods = new ArrayList<>();
        byMethod.forEach((method, own) -> methods.add(new Choice(
                desk.methodTitle(method), "/charts?method=" + Words.part(method), method.equals(chosen), marked(own))));
        List<Judged> own = new ArrayList<>(byMethod.getOrDefault(chosen, List.of()));
        // What is marked comes first; the order within stays.
        own.sort(Comparator.comparing(its -> its.verdict() == Verdict.FIT));
        List<Judged> asked = own.stream()
                .filter(its -> its.chart().key().analyte().equals(analyte))
                .toList();
        String symbol = asked.isEmpty() ? "" : analyte;
        List<Judged> choosable = asked.isEmpty() ? own : asked;
        int parts = Math.max(1, (choosable.size() + MOST_DRAWN - 1) / MOST_DRAWN);
        int shown = Math.max(1, Math.min(part, parts));
        List<Judged> drawn =
                choosable.subList((shown - 1) * MOST_DRAWN, Math.min(choosable.size(), shown * MOST_DRAWN));
        return new ChartsView(
                history(earlier),
                alarms(charts, first, desk.day().laboratory().policy()),
                chosen.isEmpty() ? "" : desk.methodTitle(chosen),
                methods,
                analytes(desk, chosen, own, symbol),
                parts(chosen, symbol, choosable, shown),
                "Drawn: " + drawn.size() + " of " + Words.of(own.size(), "chart")
                        + ", those that are marked today first.",
                groups(desk, own, drawn, first),
                own.stream().map(its -> line(desk, chosen, its)).toList());
    }

    /**
     * A chart and what its rules say of today: they are read once, for the order of the list, its lines and its choices.
     *
     * @param broken rules that today's points break
     */
    private record Judged(ControlChart chart, Verdict verdict, Set<String> broken) {
        static Judged of(ControlChart chart, LocalDate first) {
            Set<String> broken = chart.brokenSince(first, RULES);
            boolean failed =
                    chart.points().stream().anyMatch(point -> !point.day().isBefore(first) && point.failed());
            return new Judged(chart, failed ? Verdict.REDO : broken.isEmpty() ? Verdict.FIT : Verdict.HOLD, broken);
        }

        /** The rules broken today, or in words why none is. */
        String said() {
            return chart.limits().isEmpty()
                    ? "nothing to judge by"
                    : broken.isEmpty() ? "no rule broken" : String.join(", ", broken);
        }
    }

    private static List<Group> groups(Desk desk, List<Judged> own, List<Judged> drawn, LocalDate first) {
        Set<String> runs = new TreeSet<>();
        desk.day().runs().stream().map(Run::run).forEach(runs::add);
        Map<String, List<Judged>> byInstrument = new LinkedHashMap<>();
        drawn.forEach(one -> byInstrument
                .computeIfAbsent(one.chart().key().instrument(), name -> new ArrayList<>())
                .add(one));
        List<Group> groups = new ArrayList<>();
        byInstrument.forEach((instrument, its) -> {
            // All charts of an instrument share their axes, drawn now or not.
            Axes axes = Axes.of(
                    own.stream()
                            .map(Judged::chart)
                            .filter(chart -> chart.key().instrument().equals(instrument))
                            .toList(),
                    desk.zone());
            groups.add(new Group(
                    instrument,
                    its.stream().map(one -> shown(desk, one, first, runs, axes)).toList()));
        });
        return groups;
    }

    private static String href(String method, String analyte, int part) {
        return "/charts?method=" + Words.part(method) + (analyte.isEmpty() ? "" : "&of=" + Words.part(analyte))
                + (part <= 1 ? "" : "&part=" + part);
    }

    private static List<Choice> analytes(Desk desk, String method, List<Judged> own, String chosen) {
        Map<String, List<Judged>> byAnalyte = new LinkedHashMap<>();
        desk.methods()
                .find(method)
                .ifPresent(known ->
                        known.head().analytes().forEach(analyte -> byAnalyte.put(analyte.symbol(), new ArrayList<>())));
        own.forEach(one -> byAnalyte
                .computeIfAbsent(one.chart().key().analyte(), symbol -> new ArrayList<>())
                .add(one));
        byAnalyte.values().removeIf(List::isEmpty);
        List<Choice> choices = new ArrayList<>();
        if (byAnalyte.size() > 1) {
            choices.add(new Choice("all, marked first", href(method, "", 1), chosen.isEmpty(), marked(own)));
            byAnalyte.forEach((symbol, its) -> choices.add(new Choice(
                    desk.analyteName(method, symbol), href(method, symbol, 1), symbol.equals(chosen), marked(its))));
        }
        return choices;
    }

    private static List<Choice> parts(String method, String analyte, List<Judged> choosable, int shown) {
        List<Choice> parts = new ArrayList<>();
        for (int from = 0; from < choosable.size() && choosable.size() > MOST_DRAWN; from += MOST_DRAWN) {
            int to = Math.min(choosable.size(), from + MOST_DRAWN);
            int part = from / MOST_DRAWN + 1;
            parts.add(new Choice((from + 1) + " to " + to, href(method, analyte, part), part == shown, (int)
                    choosable.subList(from, to).stream()
                            .filter(one -> one.verdict() != Verdict.FIT)
                            .count()));
        }
        return parts;
    }

    private static Line line(Desk desk, String method, Judged judged) {
        ControlChart chart = judged.chart();
        List<ControlChart.Point> points = chart.points();
        double newest =
                points.isEmpty() ? Double.NaN : points.get(points.size() - 1).z();
        String symbol = chart.key().analyte();
        return new Line(
                desk.analyteName(method, symbol),
                href(method, symbol, 1),
                chart.key().material(),
                chart.key().instrument(),
                chart.limits().map(limits -> limits(limits, unit(desk, chart))).orElse("no limits yet"),
                points.size(),
                Double.isFinite(newest) ? signed(newest) : "–",
                judged.verdict(),
                judged.said());
    }

    private static String unit(Desk desk, ControlChart chart) {
        return desk.analyte(chart.key().method(), chart.key().analyte())
                .map(a -> " " + a.unit().spelling())
                .orElse("");
    }

    private static String history(ControlHistory earlier) {
        int days =
                (int) earlier.entries().stream().map(ChartValue::day).distinct().count();
        return days == 0
                ? "No history yet: limits are the assigned values."
                : Words.of(earlier.entries().size(), "control value") + " from " + Words.of(days, "earlier day")
                        + " stand behind these charts.";
    }

    private static String alarms(List<ControlChart> charts, LocalDate first, Policy policy) {
        int points = 0;
        for (ControlChart chart : charts) {
            for (ControlChart.Point point : chart.points()) {
                if (!point.day().isBefore(first) && chart.limits().isPresent()) {
                    points++;
                }
            }
        }
        if (points == 0) {
            return "";
        }
        String rules = String.join(
                ", ", RULES.rules().stream().map(rule -> rule.name()).distinct().toList());
        return "A triangle breaks one of the rules " + rules + "; a square failed on its day. This day has "
                + Words.of(points, "point") + ", of which about "
                + Significant.text(FalseAlarms.perDay(RULES, points), 2)
                + " would break a rule without a fault: the rules are marked here and decide nothing. A cause is made of a"
                + " small shift alone, whose limits keep to a chance of "
                + Significant.text(policy.number(Setting.CONTROL_FALSE_ALARM), 2) + " for each control soil.";
    }

    private static int marked(List<Judged> charts) {
        return (int) charts.stream().filter(one -> one.verdict() != Verdict.FIT).count();
    }

    private static Shown shown(Desk desk, Judged judged, LocalDate first, Set<String> runs, Axes axes) {
        ControlChart chart = judged.chart();
        String unit = unit(desk, chart);
        String title = Words.sentence(
                        desk.analyteName(chart.key().method(), chart.key().analyte())) + " in "
                + chart.key().material();
        List<ControlChart.Point> points = chart.points();
        List<List<String>> broken = chart.broken(RULES);
        double[] z =
                chart.accepted().stream().mapToDouble(ControlChart.Point::z).toArray();
        double[] moving = SmallShift.ewma(z, LAMBDA);
        List<Along.Spot> average = new ArrayList<>();
        List<Mark> drawn = new ArrayList<>();
        List<Row> rows = new ArrayList<>();
        int accepted = 0;
        for (int i = 0; i < points.size(); i++) {
            ControlChart.Point point = points.get(i);
            double line = point.failed() ? Double.NaN : moving[accepted++];
            if (i < points.size() - MOST_POINTS) {
                continue;
            }
            Verdict verdict = point.failed() ? Verdict.REDO : broken.get(i).isEmpty() ? Verdict.FIT : Verdict.HOLD;
            boolean isToday = !point.day().isBefore(first);
            String href = isToday && runs.contains(point.run()) ? "/runs/" + Words.part(point.run()) : "";
            String value = Words.grouped(Significant.text(point.mean(), 4));
            String away = Double.isFinite(point.z()) ? signed(point.z()) : "–";
            String rules = String.join(", ", broken.get(i));
            if (Double.isFinite(point.z())) {
                drawn.add(new Mark(
                        point.at().toEpochSecond(),
                        point.z(),
                        Mark.Shape.SOIL,
                        verdict,
                        DATE.format(point.day()) + ", run " + point.run() + ": " + value + unit + ", " + away + " SD"
                                + (rules.isEmpty() ? "" : ", " + rules),
                        href,
                        ""));
            }
            average.add(new Along.Spot(point.at().toEpochSecond(), line));
            if (i >= points.size() - MOST_ROWS) {
                rows.add(0, new Row(DATE.format(point.day()), point.run(), href, value, away, point.n(), rules));
            }
        }
        return new Shown(
                title,
                chart.limits().map(limits -> limits(limits, unit)).orElse("no limits yet"),
                judged.verdict(),
                judged.said(),
                drawn.isEmpty() ? "" : picture(title + ", " + chart.key().instrument(), drawn, average, axes),
                rows);
    }

    private static String picture(String title, List<Mark> drawn, List<Along.Spot> average, Axes axes) {
        long marked =
                drawn.stream().filter(mark -> mark.verdict() != Verdict.FIT).count();
        long beyond = drawn.stream().filter(mark -> !axes.up().holds(mark.y())).count();
        return new Along(
                        title,
                        Words.of(drawn.size(), "run") + ", " + (marked == 0 ? "none" : Words.count(marked)) + " marked"
                                + (beyond == 0
                                        ? "."
                                        : "; " + Words.count(beyond) + " beyond the axis, drawn at its end."),
                        WIDTH,
                        axes.days(),
                        List.of(new Along.Panel(
                                "",
                                HEIGHT,
                                axes.up(),
                                Optional.of(new Along.Band(OptionalDouble.of(-LIMIT), OptionalDouble.of(LIMIT))),
                                drawn,
                                false,
                                average)),
                        List.of(),
                        List.of())
                .svg();
    }

    /**
     * The axes that all charts of an instrument share.
     *
     * @param days from the first to the last run of any
     * @param up standard deviations
     */
    private record Axes(Scale days, Scale up) {
        static Axes of(List<ControlChart> charts, ZoneId zone) {
            double from = Double.POSITIVE_INFINITY;
            double to = Double.NEGATIVE_INFINITY;
            double reach = LIMIT + 1;
            for (ControlChart chart : charts) {
                List<ControlChart.Point> points = chart.points();
                for (ControlChart.Point point :
                        points.subList(Math.max(0, points.size() - MOST_POINTS), points.size())) {
                    from = Math.min(from, point.at().toEpochSecond());
                    to = Math.max(to, point.at().toEpochSecond());
                    reach = Math.max(reach, Double.isFinite(point.z()) ? Math.abs(point.z()) : 0);
                }
            }
            reach = Math.min(MOST_SDS, Math.ceil(reach));
            List<Scale.Tick> ticks = new ArrayList<>();
            for (double at = -Math.floor(reach / LIMIT) * LIMIT; at <= reach; at += LIMIT) {
                ticks.add(new Scale.Tick(at, at == 0 ? "0" : (at < 0 ? "−" : "+") + Math.round(Math.abs(at))));
            }
            return new Axes(Scale.times(from, to, zone, 5), new Scale(-reach, reach, false, ticks, ""));
        }
    }

    private static String limits(FrozenLimits limits, String unit) {
        return "mean " + Words.grouped(Significant.text(limits.centre(), 4)) + ", s "
                + Significant.text(limits.sd(), 3) + unit + "; " + limits.by()
                + (limits.days() > 0
                        ? ", " + Words.of(limits.runs(), "run") + ", from " + YEAR.format(limits.since())
                        : "");
    }

    private static String signed(double z) {
        return String.format(Locale.ROOT, "%+.1f", z).replace('-', '−');
    }
}
