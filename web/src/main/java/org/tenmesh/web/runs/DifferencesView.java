package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.web.pictures.Mark;
import org.tenmesh.web.pictures.Rows;
import org.tenmesh.web.pictures.Scale;
import org.tenmesh.web.words.Words;

/**
 * What one method's probes, balances, instruments, people, wells and hours differ by, told by the day's ordinary soils.
 *
 * @param title of the chosen method; empty when nothing could be compared
 * @param methods every method with comparisons
 * @param kinds comparisons of the chosen method by kind
 */
public record DifferencesView(String title, List<Choice> methods, List<Kind> kinds) {
    private static final int FIRST_SHOWN = 12;
    private static final int WIDTH = 420;
    /** Results that are drawn when nothing stands out. */
    private static final int FIRST_DRAWN = 3;

    private static final int MOST_DRAWN = 24;

    /** One method to choose; {@code real} counts what is told as real. */
    public record Choice(String title, String href, boolean chosen, int real) {}

    /**
     * One kind of group.
     *
     * @param said how many are told as real, in words
     * @param pictures one for each result that comes first: everything it was compared by, on one scale
     * @param notTold what cannot be told, in a sentence; empty text for nothing
     * @param shown the rows that come first
     * @param more the others
     */
    public record Kind(
            String anchor,
            String heading,
            String asks,
            String said,
            boolean real,
            List<Picture> pictures,
            String notTold,
            List<Row> shown,
            List<Row> more) {}

    /** All groups of one kind for one result, as SVG. */
    public record Picture(String title, String svg) {}

    /** One group and analyte. */
    public record Row(String group, String analyte, String size, String interval, String soils, boolean real) {}

    /**
     * A kind as the page says it.
     *
     * @param heading plural
     * @param asks what such a difference would mean
     */
    private record Said(String heading, String asks) {}

    private static final Map<String, Said> KINDS = all();

    private static Map<String, Said> all() {
        Map<String, Said> kinds = new LinkedHashMap<>();
        kinds.put(
                "channel",
                new Said("Probes, balances and detectors", "Each is held against the others of its instrument."));
        kinds.put(
                "instrument", new Said("Instruments", "Standards, mirrors, furnaces: what one instrument has alone."));
        kinds.put("operator", new Said("People", "How portions are taken and measured out."));
        kinds.put("well", new Said("Wells of a tray", "A scoop, a dispenser or a shaker that favours a place."));
        kinds.put("hour", new Said("Hours", "What creeps over the day: temperature, extractant, light."));
        return kinds;
    }

    static DifferencesView of(Desk desk, String wanted) {
        Map<String, List<GroupDifference>> byMethod = new LinkedHashMap<>();
        desk.judged()
                .differences()
                .forEach(one -> byMethod.computeIfAbsent(one.method(), method -> new ArrayList<>())
                        .add(one));
        String chosen = byMethod.containsKey(wanted)
                ? wanted
                : byMethod.keySet().stream().findFirst().orElse("");
        List<Choice> methods = new ArrayList<>();
        byMethod.forEach((method, own) -> methods.add(new Choice(
                desk.methodTitle(method), "/differences?method=" + Words.part(method), method.equals(chosen), (int)
                        own.stream().filter(GroupDifference::told).count())));
        List<GroupDifference> all = byMethod.getOrDefault(chosen, List.of());
        List<Kind> kinds = new ArrayList<>();
        KINDS.forEach((kind, said) -> {
            List<GroupDifference> own = all.stream()
                    .filter(one -> one.kind().equals(kind))
                    .sorted(Comparator.comparing((GroupDifference one) -> !one.told())
                            .thenComparingDouble(GroupDifference::log10Chance))
                    .toList();
            if (!own.isEmpty()) {
                kinds.add(kind(desk, kind, said, own));
            }
        });
        return new DifferencesView(chosen.isEmpty() ? "" : desk.methodTitle(chosen), methods, kinds);
    }

    private static Kind kind(Desk desk, String name, Said said, List<GroupDifference> own) {
        int real = (int) own.stream().filter(GroupDifference::told).count();
        List<Row> rows = own.stream().map(one -> row(desk, one)).toList();
        int first = Math.min(rows.size(), Math.max(FIRST_SHOWN, real));
        long untold = own.stream().filter(one -> !told(desk, one)).count();
        return new Kind(
                name,
                said.heading(),
                said.asks(),
                real == 0
                        ? "none of " + Words.of(own.size(), "comparison") + " stands out"
                        : real + " of " + Words.of(own.size(), "comparison") + (real == 1 ? " stands" : " stand")
                                + " out",
                real > 0,
                pictures(desk, said, own),
                untold == 0
                        ? ""
                        : Words.of(untold, "comparison")
                                + " cannot be told from so few soils: the interval is wider than the scale of the result. Not drawn.",
                rows.subList(0, first),
                rows.subList(first, rows.size()));
    }

    // An interval as wide as all that the result usually comes to says nothing.
    private static boolean told(Desk desk, GroupDifference one) {
        double scale = desk.analyte(one.method(), one.analyte())
                .map(analyte -> analyte.scaleHigh() - analyte.scaleLow())
                .orElse(Double.POSITIVE_INFINITY);
        return Double.isFinite(one.size())
                && Double.isFinite(one.low())
                && Double.isFinite(one.high())
                && one.high() - one.low() < scale;
    }

    private static List<Picture> pictures(Desk desk, Said said, List<GroupDifference> own) {
        Map<String, List<GroupDifference>> byAnalyte = new LinkedHashMap<>();
        own.stream()
                .filter(one -> told(desk, one))
                .forEach(one -> byAnalyte
                        .computeIfAbsent(one.analyte(), symbol -> new ArrayList<>())
                        .add(one));
        List<Picture> pictures = new ArrayList<>();
        byAnalyte.forEach((symbol, groups) -> {
            boolean real = groups.stream().anyMatch(GroupDifference::told);
            if (groups.size() >= 2 && (real || pictures.size() < FIRST_DRAWN)) {
                pictures.add(picture(desk, said, groups));
            }
        });
        return pictures;
    }

    private static Picture picture(Desk desk, Said said, List<GroupDifference> groups) {
        GroupDifference first = groups.get(0);
        Optional<Analyte> analyte = desk.analyte(first.method(), first.analyte());
        String title = Words.sentence(analyte.map(Analyte::name).orElse(first.analyte()));
        String unit = analyte.map(a -> a.unit().spelling()).orElse("");
        List<GroupDifference> drawn = groups.subList(0, Math.min(MOST_DRAWN, groups.size())).stream()
                .sorted(Comparator.comparing(GroupDifference::group))
                .toList();
        List<Double> ends = new ArrayList<>(List.of(0.0));
        drawn.forEach(one -> ends.addAll(List.of(one.low(), one.high())));
        int left = groups.size() - drawn.size();
        return new Picture(
                title,
                new Rows(
                                title + ": " + said.heading().toLowerCase(Locale.ROOT),
                                "Differences from the others with 95 % intervals, on one scale."
                                        + (left > 0 ? " " + Words.of(left, "other") + " in the table alone." : ""),
                                WIDTH,
                                Scale.over(ends, unit, 6),
                                true,
                                Optional.empty(),
                                drawn.stream().map(one -> drawn(one, unit)).toList())
                        .svg());
    }

    private static Rows.Row drawn(GroupDifference one, String unit) {
        return new Rows.Row(
                one.group(),
                new Mark(
                        one.size(),
                        0,
                        Mark.Shape.SOIL,
                        one.told() ? Verdict.HOLD : Verdict.FIT,
                        one.group() + ": " + signed(one.size()) + (unit.isEmpty() ? "" : " " + unit) + ", 95 % between "
                                + signed(one.low()) + " and " + signed(one.high()) + ", "
                                + Words.of(one.soils(), "soil") + (one.told() ? ", stands out" : "")),
                OptionalDouble.of(one.low()),
                OptionalDouble.of(one.high()),
                List.of(),
                Optional.empty());
    }

    private static Row row(Desk desk, GroupDifference one) {
        Optional<Analyte> analyte = desk.analyte(one.method(), one.analyte());
        String unit = analyte.map(a -> " " + a.unit().spelling()).orElse("").stripTrailing();
        boolean told = told(desk, one);
        return new Row(
                one.group(),
                analyte.map(Analyte::name).orElse(one.analyte()),
                told ? signed(one.size()) + unit : "–",
                told ? signed(one.low()) + " to " + signed(one.high()) : "cannot be told",
                Words.count(one.soils()),
                one.told());
    }

    private static String signed(double value) {
        String text = Words.grouped(Significant.text(Math.abs(value), 2));
        return value < 0 ? "−" + text : "+" + text;
    }
}
