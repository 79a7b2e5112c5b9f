package org.tenmesh.core.judgement;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;

/** A finding in the making: what it touches grows, and findings of one thing over several analytes become one. */
final class Draft {
    /** Numbers named in one sentence of evidence; the rest is counted. */
    private static final int NAMED = 5;

    private static final double LOG10_E = 1 / Math.log(10);

    private final RunTable table;
    private final CauseKind kind;
    private final Verdict verdict;
    private final String group;
    private final String lead;
    private final String action;
    private final BitSet columns = new BitSet();
    private final BitSet cells = new BitSet();
    private final Set<String> evidence = new LinkedHashSet<>();
    private final Set<Measure> measures = new LinkedHashSet<>();
    private double odds = Double.NaN;
    private Optional<Finding.RunnerUp> runnerUp = Optional.empty();
    private int first = Integer.MAX_VALUE;
    private int last = -1;

    /**
     * @param group what keeps findings of one kind apart: a probe, a lab number, a stretch
     * @param lead words before the evidence, may be empty
     */
    Draft(RunTable table, CauseKind kind, Verdict verdict, String group, String lead, String action) {
        this.table = table;
        this.kind = kind;
        this.verdict = verdict;
        this.group = group;
        this.lead = lead;
        this.action = action;
    }

    Draft says(String phrase) {
        evidence.add(phrase);
        return this;
    }

    Draft measures(Measure measure) {
        measures.add(measure);
        return this;
    }

    /** Odds of a deviation of {@code z} standard deviations being real: likelihood ratio at its best, {@code exp(z²/2)}. */
    Draft odds(double z) {
        return log10Odds(0.5 * z * z * LOG10_E);
    }

    /** Odds against no fault, as a power of ten; the largest of several counts. */
    Draft log10Odds(double log10) {
        odds = Double.isNaN(odds) ? log10 : Math.max(odds, log10);
        return this;
    }

    /** The next best explanation, and the odds of this one against it. */
    Draft runnerUp(CauseKind other, double log10) {
        runnerUp = Optional.of(new Finding.RunnerUp(other, log10));
        return this;
    }

    boolean saysNothing() {
        return evidence.isEmpty();
    }

    Draft touch(int row, int column) {
        return touch(row, row, column, "");
    }

    /** Touches the rows of a stretch, those of one channel only when it is not empty text. */
    Draft touch(int firstRow, int lastRow, int column, String channel) {
        stretch(firstRow, lastRow, column);
        for (int row = firstRow; row <= lastRow; row++) {
            if (channel.isEmpty() || table.at(row, column).channel().equals(channel)) {
                cells.set(table.cell(row, column));
            }
        }
        return this;
    }

    /** States the bracket without touching its rows. */
    Draft stretch(int firstRow, int lastRow, int column) {
        columns.set(column);
        if (firstRow <= lastRow) {
            first = Math.min(first, firstRow);
            last = Math.max(last, lastRow);
        }
        return this;
    }

    boolean sameThing(Draft other) {
        return kind == other.kind
                && verdict == other.verdict
                && group.equals(other.group)
                && first <= other.last
                && other.first <= last;
    }

    void take(Draft other) {
        columns.or(other.columns);
        cells.or(other.cells);
        evidence.addAll(other.evidence);
        measures.addAll(other.measures);
        first = Math.min(first, other.first);
        last = Math.max(last, other.last);
        odds = Double.isNaN(odds) || other.odds > odds ? other.odds : odds;
        runnerUp = runnerUp.isPresent() ? runnerUp : other.runnerUp;
    }

    int first() {
        return first;
    }

    CauseKind kind() {
        return kind;
    }

    String group() {
        return group;
    }

    BitSet cells() {
        return cells;
    }

    Finding finding() {
        boolean anywhere = last >= 0 && first < table.rows();
        return new Finding(
                kind,
                verdict,
                columns.stream()
                        .mapToObj(column -> table.analyte(column).symbol())
                        .toList(),
                anywhere ? table.position(first) : 0,
                anywhere ? table.position(last) : 0,
                sentence(),
                action,
                Double.isNaN(odds) ? OptionalDouble.empty() : OptionalDouble.of(odds),
                runnerUp,
                List.copyOf(measures));
    }

    private String sentence() {
        List<String> phrases = new ArrayList<>(evidence);
        String named = String.join("; ", phrases.subList(0, Math.min(NAMED, phrases.size())));
        String more = phrases.size() > NAMED ? "; and " + (phrases.size() - NAMED) + " more" : "";
        String whole = lead + named + more + ".";
        return Character.toUpperCase(whole.charAt(0)) + whole.substring(1);
    }
}
