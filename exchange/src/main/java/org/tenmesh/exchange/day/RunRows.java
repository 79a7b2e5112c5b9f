package org.tenmesh.exchange.day;

import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.IntUnaryOperator;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;

/** What the rows of one run say against each other: rows that came twice, positions that did not come, times that cannot be. */
final class RunRows {
    private static final String AS_WRITTEN = "It is taken as written";

    private final String file;
    private final Run run;
    private final Readings readings;
    private final Policy policy;
    private final List<Problem> notes;
    private final IntUnaryOperator lines;

    /** @param lines the line of the file on which a row of readings stands */
    RunRows(String file, Run run, Policy policy, List<Problem> notes, IntUnaryOperator lines) {
        this.file = file;
        this.run = run;
        this.readings = run.readings();
        this.policy = policy;
        this.notes = notes;
        this.lines = lines;
    }

    void tell(Method method) {
        if (readings.size() == 0) {
            note(0, "", "a run without a reading", "readings below the header", "The run has no result");
            return;
        }
        repeated();
        gaps();
        readTwice();
        dilutions();
        times();
        if (!method.unitsRead().containsValue(Optional.of(Unit.GRAM))) {
            pause();
        }
        if (method.channel().isPresent()) {
            channels();
            together();
        }
    }

    // One vessel cannot give two readings of one quantity at the same time.
    private void repeated() {
        long[] keys = new long[readings.size()];
        for (int i = 0; i < keys.length; i++) {
            keys[i] = key(i);
        }
        long[] sorted = keys.clone();
        Arrays.sort(sorted);
        Set<Long> twice = new HashSet<>();
        for (int i = 1; i < sorted.length; i++) {
            if (sorted[i] == sorted[i - 1]) {
                twice.add(sorted[i]);
            }
        }
        if (twice.isEmpty()) {
            return;
        }
        Map<Long, Integer> first = new HashMap<>();
        int count = 0;
        int line = 0;
        for (int i = 0; i < keys.length; i++) {
            if (twice.contains(keys[i]) && first.putIfAbsent(keys[i], i) != null) {
                line = count == 0 ? lines.applyAsInt(i) : line;
                count++;
            }
        }
        note(
                line,
                "at",
                count + (count == 1 ? " reading" : " readings")
                        + " of a position and quantity that has one of the same time",
                "one reading at a time",
                "All of them are used, as repeats");
    }

    private long key(int i) {
        long key = readings.position(i);
        key = key * 1_000_003 + readings.quantityCode(i);
        key = key * 1_000_003 + readings.channelCode(i);
        return key * 0x9E3779B97F4A7C15L + readings.atMillis(i);
    }

    private void gaps() {
        BitSet there = new BitSet();
        for (int i = 0; i < readings.size(); i++) {
            there.set(readings.position(i));
        }
        int last = there.length() - 1;
        int missing = last - there.cardinality();
        if (missing > 0) {
            List<String> named = new ArrayList<>();
            for (int at = there.nextClearBit(1); at < last && named.size() < 3; at = there.nextClearBit(at + 1)) {
                named.add(Integer.toString(at));
            }
            note(
                    0,
                    "position",
                    "no reading of " + (missing == 1 ? "position " : "positions ") + String.join(", ", named)
                            + (missing > named.size() ? " and " + (missing - named.size()) + " more" : ""),
                    "positions 1 to " + last + ", numbered as they were read",
                    "What was read there, if anything was, is not judged");
        }
    }

    // A second reading of an extract is one that was diluted further; the same again has no place in one run.
    private void readTwice() {
        Map<String, Integer> positions = new HashMap<>();
        Map<String, Double> dilutions = new HashMap<>();
        Set<String> again = new TreeSet<>();
        for (int i = 0; i < readings.size(); i++) {
            if (readings.role(i) != Role.SAMPLE) {
                continue;
            }
            String identity = readings.identity(i);
            int position = readings.position(i);
            Integer before = positions.put(identity, position);
            Double diluted = dilutions.put(identity, readings.dilution(i));
            if (before != null && diluted != null && before != position && diluted == readings.dilution(i)) {
                again.add(identity);
            }
        }
        if (!again.isEmpty()) {
            note(
                    0,
                    "identity",
                    Problem.some(List.copyOf(again)) + " at two positions with the same dilution",
                    "another lab number, or the dilution of the second reading",
                    "The first reading stands where it has no flaw");
        }
    }

    private void dilutions() {
        Map<Integer, Double> of = new HashMap<>();
        BitSet several = new BitSet();
        for (int i = 0; i < readings.size(); i++) {
            Double before = of.putIfAbsent(readings.position(i), readings.dilution(i));
            if (before != null && before != readings.dilution(i)) {
                several.set(readings.position(i));
            }
        }
        if (!several.isEmpty()) {
            note(
                    0,
                    "dilution",
                    "different dilutions at " + positions(several),
                    "one dilution of all readings of a position",
                    "Each reading is taken with its own");
        }
    }

    private void times() {
        long first = Long.MAX_VALUE;
        long last = Long.MIN_VALUE;
        int firstRow = 0;
        int lastRow = 0;
        for (int i = 0; i < readings.size(); i++) {
            if (readings.atMillis(i) < first) {
                first = readings.atMillis(i);
                firstRow = i;
            }
            if (readings.atMillis(i) > last) {
                last = readings.atMillis(i);
                lastRow = i;
            }
        }
        OffsetDateTime started = run.startedAt();
        double startHours = policy.number(Setting.POSSIBLE_START_APART);
        double apart = hours(started, readings.at(firstRow));
        if (Math.abs(apart) > startHours) {
            note(
                    lines.applyAsInt(firstRow),
                    "at",
                    "the first reading at " + readings.at(firstRow) + ", "
                            + DecimalText.of(Math.round(Math.abs(apart) * 10) / 10.0) + " h "
                            + (apart > 0 ? "after" : "before") + " the run started by runs.csv",
                    "readings that begin within " + DecimalText.of(startHours) + " h of " + started,
                    AS_WRITTEN);
        }
        double longest = policy.number(Setting.POSSIBLE_RUN_LENGTH);
        if (hours(readings.at(firstRow), readings.at(lastRow)) > longest) {
            note(
                    lines.applyAsInt(lastRow),
                    "at",
                    "readings from " + readings.at(firstRow) + " to " + readings.at(lastRow),
                    "a run of at most " + DecimalText.of(longest) + " h",
                    AS_WRITTEN);
        }
    }

    // What is weighed waits for hours in the oven; an instrument that reads extracts does not.
    private void pause() {
        long[] times = new long[readings.size()];
        for (int i = 0; i < times.length; i++) {
            times[i] = readings.atMillis(i);
        }
        Arrays.sort(times);
        double most = policy.number(Setting.POSSIBLE_PAUSE);
        for (int i = 1; i < times.length; i++) {
            double hours = (times[i] - times[i - 1]) / 3_600_000.0;
            if (hours > most) {
                note(
                        0,
                        "at",
                        "nothing read for " + DecimalText.of(Math.round(hours * 10) / 10.0) + " h between "
                                + Instant.ofEpochMilli(times[i - 1]) + " and " + Instant.ofEpochMilli(times[i]),
                        "readings that follow each other within " + DecimalText.of(most) + " h",
                        AS_WRITTEN);
                return;
            }
        }
    }

    static double hours(OffsetDateTime from, OffsetDateTime to) {
        return Duration.between(from, to).toMillis() / 3_600_000.0;
    }

    // One vessel stands under one probe or cell, and each probe or cell has its own calibration.
    private void channels() {
        Map<Integer, Integer> of = new HashMap<>();
        BitSet several = new BitSet();
        Set<String> calibrated = new TreeSet<>();
        Set<String> used = new TreeSet<>();
        for (int i = 0; i < readings.size(); i++) {
            Integer before = of.putIfAbsent(readings.position(i), readings.channelCode(i));
            if (before != null && before != readings.channelCode(i)) {
                several.set(readings.position(i));
            }
            Role role = readings.role(i);
            if (role == Role.STANDARD) {
                calibrated.add(readings.channel(i));
            } else {
                used.add(readings.channel(i));
            }
        }
        if (!several.isEmpty()) {
            note(
                    0,
                    "channel",
                    "different channels at " + positions(several),
                    "one channel of all readings of a position",
                    AS_WRITTEN);
        }
        used.removeAll(calibrated);
        if (!calibrated.isEmpty() && !used.isEmpty()) {
            note(
                    0,
                    "channel",
                    "readings under channel "
                            + String.join(
                                    ", ", used.stream().map(Problem::quoted).toList()) + " and no standard under it",
                    "one of "
                            + String.join(
                                    ", ",
                                    calibrated.stream().map(Problem::quoted).toList()),
                    "They have no calibration");
        }
    }

    // A probe stands in one vessel at a time; where most vessels share their time with another, several probes have one
    // name.
    private void together() {
        Map<String, Integer> positionAt = new HashMap<>();
        BitSet shared = new BitSet();
        BitSet all = new BitSet();
        for (int i = 0; i < readings.size(); i++) {
            int position = readings.position(i);
            all.set(position);
            String when = readings.channelCode(i) + " " + readings.quantityCode(i) + " " + readings.atMillis(i);
            Integer before = positionAt.put(when, position);
            if (before != null && before != position) {
                shared.set(before);
                shared.set(position);
            }
        }
        if (shared.cardinality() * 2 > all.cardinality()) {
            note(
                    0,
                    "channel",
                    shared.cardinality() + " of " + all.cardinality()
                            + " positions share time and channel with another one",
                    "one position at a time under one channel",
                    "All are judged as read by one probe or cell");
        }
    }

    private static String positions(BitSet positions) {
        List<String> all = positions.stream().mapToObj(Integer::toString).toList();
        return (all.size() == 1 ? "position " : "positions ") + Problem.some(all);
    }

    private void note(int line, String column, String found, String expected, String consequence) {
        notes.add(new Problem(file, line, column, found, expected, consequence));
    }
}
