package org.tenmesh.web.runs;

import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
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
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.pictures.Along;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * The charts of one method's control soils: small multiples by instrument, analyte and material. Sealed.
 *
 * @param history how far the charts look back, one sentence
 * @param alarms how often the rules call when nothing is wrong, one sentence
 * @param methods every method with charts
 * @param groups charts of the chosen method by instrument
 */
public record ChartsView(String history, String alarms, String title, List<Choice> methods, List<Group> groups) {
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

    /** One method to choose. */
    public record Choice(String title, String href, boolean chosen, int broken) {}

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

    static ChartsView of(Desk desk, String wanted) {
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
        Map<String, List<ControlChart>> byMethod = new LinkedHashMap<>();
        charts.forEach(chart -> byMethod.computeIfAbsent(chart.key().method(), method -> new ArrayList<>())
                .add(chart));
        // What is marked comes first, then what has limits to be judged by.
        String chosen = byMethod.containsKey(wanted)
                ? wanted
                : byMethod.entrySet().stream()
                        .max(Comparator.comparingInt(
                                        (Map.Entry<String, List<ControlChart>> one) -> marked(one.getValue(), first))
                                .thenComparing(one -> one.getValue().stream()
                                        .anyMatch(chart -> chart.limits().isPresent()))
                                .thenComparing(Map.Entry::getKey, Comparator.reverseOrder()))
                        .map(Map.Entry::getKey)
                        .orElse("");
        List<Choice> methods = new ArrayList<>();
        byMethod.forEach((method, own) -> methods.add(new Choice(
                desk.methodTitle(method),
                "/charts?method=" + Words.part(method),
                method.equals(chosen),
                marked(own, first))));
        Set<String> runs = new TreeSet<>();
        desk.day().runs().stream().map(Run::run).forEach(runs::add);
        Map<String, List<ControlChart>> byInstrument = new LinkedHashMap<>();
        byMethod.getOrDefault(chosen, List.of())
                .forEach(chart -> byInstrument
                        .computeIfAbsent(chart.key().instrument(), name -> new ArrayList<>())
                        .add(chart));
        List<Group> groups = new ArrayList<>();
        byInstrument.forEach((instrument, own) -> {
            Axes axes = Axes.of(own, desk.zone());
            List<Shown> shown = new ArrayList<>(own.stream()
                    .map(chart -> shown(desk, chart, first, runs, axes))
                    .toList());
            // What breaks a rule comes first; the order within stays.
            shown.sort(Comparator.comparing(one -> one.verdict() == Verdict.FIT));
            groups.add(new Group(instrument, shown));
        });
        groups.sort(
                Comparator.comparing(group -> group.charts().stream().allMatch(one -> one.verdict() == Verdict.FIT)));
        return new ChartsView(
                history(earlier),
                alarms(charts, first, desk.day().laboratory().policy()),
                chosen.isEmpty() ? "" : desk.methodTitle(chosen),
                methods,
                groups);
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
        return "A triangle breaks one of the rules " + rules + "; a square failed on its day. Today has "
                + Words.of(points, "point") + ", of which about "
                + Significant.text(FalseAlarms.perDay(RULES, points), 2)
                + " would break a rule without a fault: the rules are marked here and decide nothing. A cause is made of a"
                + " small shift alone, whose limits keep to a chance of "
                + Significant.text(policy.number(Setting.CONTROL_FALSE_ALARM), 2) + " for each control soil.";
    }

    private static int marked(List<ControlChart> charts, LocalDate first) {
        return (int)
                charts.stream().filter(chart -> !newest(chart, first).isEmpty()).count();
    }

    private static Set<String> newest(ControlChart chart, LocalDate first) {
        Set<String> names = new LinkedHashSet<>();
        List<List<String>> broken = chart.broken(RULES);
        for (int i = 0; i < broken.size(); i++) {
            if (!chart.points().get(i).day().isBefore(first)) {
                names.addAll(broken.get(i));
            }
        }
        return names;
    }

    private static Shown shown(Desk desk, ControlChart chart, LocalDate first, Set<String> runs, Axes axes) {
        Optional<Analyte> analyte =
                desk.analyte(chart.key().method(), chart.key().analyte());
        String unit = analyte.map(a -> " " + a.unit().spelling()).orElse("");
        String title =
                Words.sentence(analyte.map(Analyte::name).orElse(chart.key().analyte())) + " in "
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
        Set<String> now = newest(chart, first);
        boolean failed = points.stream().anyMatch(point -> !point.day().isBefore(first) && point.failed());
        return new Shown(
                title,
                chart.limits().map(limits -> limits(limits, unit)).orElse("no limits yet"),
                failed ? Verdict.REDO : now.isEmpty() ? Verdict.FIT : Verdict.HOLD,
                chart.limits().isEmpty()
                        ? "nothing to judge by"
                        : now.isEmpty() ? "no rule broken today" : String.join(", ", now),
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
