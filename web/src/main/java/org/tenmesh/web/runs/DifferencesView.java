package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.print.drawings.SmallDrawings;
import org.tenmesh.print.svg.Palette;
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
    private static final int WIDTH = 160;

    /** One method to choose; {@code real} counts what is told as real. */
    public record Choice(String title, String href, boolean chosen, int real) {}

    /**
     * One kind of group.
     *
     * @param said how many are told as real, in words
     * @param shown the rows that come first
     * @param more the others
     */
    public record Kind(
            String anchor, String heading, String asks, String said, boolean real, List<Row> shown, List<Row> more) {}

    /** One group and analyte. */
    public record Row(
            String group, String analyte, String size, String interval, String picture, String soils, boolean real) {}

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
        return new Kind(
                name,
                said.heading(),
                said.asks(),
                real == 0
                        ? "none of " + Words.of(own.size(), "comparison") + " stands out"
                        : real + " of " + Words.of(own.size(), "comparison") + (real == 1 ? " stands" : " stand")
                                + " out",
                real > 0,
                rows.subList(0, first),
                rows.subList(first, rows.size()));
    }

    private static Row row(Desk desk, GroupDifference one) {
        Optional<Analyte> analyte = desk.analyte(one.method(), one.analyte());
        String unit = analyte.map(a -> " " + a.unit().spelling()).orElse("").stripTrailing();
        String size = signed(one.size()) + unit;
        String interval = signed(one.low()) + " to " + signed(one.high());
        double reach = 1.15 * Math.max(Math.abs(one.low()), Math.abs(one.high()));
        return new Row(
                one.group(),
                analyte.map(Analyte::name).orElse(one.analyte()),
                size,
                interval,
                SmallDrawings.difference(
                        one.group() + ": " + size + ", 95 % between " + interval,
                        one.low(),
                        one.size(),
                        one.high(),
                        reach > 0 ? reach : 1,
                        one.told(),
                        WIDTH,
                        Palette.SCREEN),
                Words.count(one.soils()),
                one.told());
    }

    private static String signed(double value) {
        String text = Words.grouped(Significant.text(Math.abs(value), 2));
        return value < 0 ? "−" + text : "+" + text;
    }
}
