package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;

/**
 * What the judge says of days on which nothing went wrong.
 *
 * @param days how many
 * @param causes by verdict and kind: on how many days, and how many in all
 * @param redoDays days with a cause that asks to make soils again
 * @param redoCauses such causes in all
 * @param unfit determinations that are not fit
 * @param determinations in all
 * @param toldChannels probes, balances and detectors distinguished, of {@code channels}
 * @param odds log10 odds of every exchange that was not, rising, by {@link #key}
 */
record CleanDays(
        int days,
        Map<String, int[]> causes,
        int redoDays,
        int redoCauses,
        int unfit,
        int determinations,
        int toldChannels,
        int channels,
        Map<String, double[]> odds) {

    static final String TURNED = "tray turned";
    static final String TURNED_BY_REGRESSION = "tray turned by plain regression";
    static final String EXCHANGED = "trays exchanged";
    static final String NEIGHBOURS = "neighbours exchanged";

    static String key(String what, String method) {
        return what + ", " + method;
    }

    /** What one day adds. */
    record One(
            List<Cause> causes,
            int unfit,
            int determinations,
            int toldChannels,
            int channels,
            Map<String, double[]> odds) {
        static One of(Day day, JudgedDay judged, MethodBook methods, boolean withOdds) {
            Map<String, double[]> odds = new HashMap<>();
            if (withOdds) {
                DayTable table = new DayTable(day, judged, methods);
                for (String method : DayTable.METHODS) {
                    Agreement agreement = table.agreement(method);
                    if (!agreement.isFitted()) {
                        continue;
                    }
                    int[] trays = table.trays(method, agreement);
                    odds.put(
                            key(TURNED, method),
                            Arrays.stream(trays)
                                    .mapToDouble(tray -> table.turned(agreement, method, tray))
                                    .toArray());
                    PlainRegression regression = table.regression(method);
                    odds.put(
                            key(TURNED_BY_REGRESSION, method),
                            Arrays.stream(trays)
                                    .mapToDouble(tray -> table.turned(regression, method, tray))
                                    .toArray());
                    odds.put(
                            key(EXCHANGED, method),
                            IntStream.range(0, trays.length - 1)
                                    .filter(i -> table.together(method, trays[i], trays[i + 1]))
                                    .mapToDouble(i -> table.exchanged(agreement, method, trays[i], trays[i + 1]))
                                    .toArray());
                    odds.put(
                            key(NEIGHBOURS, method),
                            Arrays.stream(table.pairs(method))
                                    .mapToDouble(row -> table.neighbours(agreement, row, row + 1))
                                    .toArray());
                }
            }
            List<GroupDifference> channels = judged.differences().stream()
                    .filter(one -> one.kind().equals("channel"))
                    .toList();
            return new One(
                    judged.causes(),
                    (int) judged.results().stream()
                            .filter(result -> result.verdict() != Verdict.FIT)
                            .count(),
                    judged.results().size(),
                    (int) channels.stream().filter(GroupDifference::told).count(),
                    channels.size(),
                    odds);
        }
    }

    static CleanDays of(List<One> all) {
        Map<String, int[]> causes = new TreeMap<>();
        Map<String, List<double[]>> odds = new TreeMap<>();
        int redoDays = 0;
        int redoCauses = 0;
        for (One day : all) {
            Map<String, Integer> here = new TreeMap<>();
            day.causes()
                    .forEach(cause -> here.merge(
                            cause.verdict().word() + " " + cause.kind().word(), 1, Integer::sum));
            here.forEach((kind, count) -> {
                int[] sum = causes.computeIfAbsent(kind, any -> new int[2]);
                sum[0]++;
                sum[1] += count;
            });
            int redo = (int) day.causes().stream()
                    .filter(cause -> cause.verdict() == Verdict.REDO)
                    .count();
            redoCauses += redo;
            redoDays += redo > 0 ? 1 : 0;
            day.odds()
                    .forEach((key, values) ->
                            odds.computeIfAbsent(key, any -> new ArrayList<>()).add(values));
        }
        Map<String, double[]> sorted = new TreeMap<>();
        odds.forEach((key, days) -> sorted.put(
                key, days.stream().flatMapToDouble(Arrays::stream).sorted().toArray()));
        return new CleanDays(
                all.size(),
                causes,
                redoDays,
                redoCauses,
                all.stream().mapToInt(One::unfit).sum(),
                all.stream().mapToInt(One::determinations).sum(),
                all.stream().mapToInt(One::toldChannels).sum(),
                all.stream().mapToInt(One::channels).sum(),
                sorted);
    }

    /**
     * The odds that so large a share of the exchanges that were not exceed at the most.
     *
     * @return infinite when fewer than one of them may exceed it
     */
    double threshold(String key, double falseAlarms) {
        double[] rising = odds.getOrDefault(key, new double[0]);
        return threshold(rising, falseAlarms);
    }

    static double threshold(double[] rising, double falseAlarms) {
        int may = (int) Math.floor(falseAlarms * rising.length);
        // With too few for the rate the largest one seen has to do: the rate is then at most one in their number, as
        // far as they show.
        return rising.length == 0
                ? Double.POSITIVE_INFINITY
                : rising[rising.length - 1 - Math.min(may, rising.length - 1)];
    }

    /** How many exchanges that were not are known of. */
    int seen(String key) {
        return odds.getOrDefault(key, new double[0]).length;
    }
}
