package org.tenmesh.core.redo;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Repeats;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Times;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.statistics.Quantiles;
import org.tenmesh.core.statistics.StudentT;

/**
 * Whether what was read again confirms or refutes a cause, by rule and not by opinion.
 *
 * <p>Of every result that a cause touches, the first fit reading by a run that began later is compared. Each reading has the standard uncertainty
 * that its result states, so a difference of two has both together. If the cause did not happen the new reading lies about the first one. If it
 * did, and it says whose reading belongs there (a turned tray, exchanged trays or neighbours, a shifted run), the new reading lies about that
 * one; else it lies anywhere, with a standard deviation of {@code answer_spread} differences. Densities are Student's, so that one wild reading does not
 * decide (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881). The product over all results is the likelihood ratio; from {@code answer_ratio} on it
 * decides, either way. Where the new readings do not even fit the likelier of two stated values (sum of squares beyond {@code answer_fits} of chi-square),
 * they say neither. What was over range and was read again diluted
 * lies above the end of the range or within it: each number by its own uncertainty, as a normal distribution up to four of them.
 */
public final class Answers {
    private static final double COVERAGE = 2;
    /** Beyond so many standard uncertainties one number decides no more than at them: tails are not known so far out. */
    private static final double FARTHEST = 4;

    private final Policy policy;
    private final Map<String, Integer> order;
    private final Map<String, Map<ResultKey, Result>> byRun = new HashMap<>();
    private final Map<ResultKey, List<Result>> fit = new HashMap<>();
    private final Map<LabNumber, Tray> trayOf = new HashMap<>();
    private final Map<LabNumber, Well> wellOf = new HashMap<>();
    private final StudentT density;

    private Answers(Day day, JudgedDay judged, List<Cause> asked) {
        policy = day.laboratory().policy();
        density = new StudentT(policy.number(Setting.RELATIONS_FREEDOM));
        order = Repeats.order(day);
        // Of most results no cause says anything.
        Set<String> runs = new HashSet<>();
        Set<LabNumber> labNumbers = new HashSet<>();
        for (Cause cause : asked) {
            runs.add(cause.run());
            for (Stretch stretch : cause.stretches()) {
                runs.add(stretch.run());
                stretch.touched().forEach(key -> labNumbers.add(key.labNumber()));
            }
        }
        // What its later checks will say of a run under way is not known yet.
        Set<String> underWay = new HashSet<>();
        day.runs().stream().filter(Run::underWay).forEach(run -> underWay.add(run.run()));
        for (Result result : judged.results()) {
            if (result.position() > 0) {
                if (runs.contains(result.run())) {
                    byRun.computeIfAbsent(result.run(), run -> new HashMap<>()).put(ResultKey.of(result), result);
                }
                if (result.verdict() == Verdict.FIT
                        && !underWay.contains(result.run())
                        && labNumbers.contains(result.labNumber())) {
                    fit.computeIfAbsent(ResultKey.of(result), key -> new ArrayList<>())
                            .add(result);
                }
            }
        }
        fit.values().forEach(all -> all.sort(Comparator.comparingInt(result -> at(result.run()))));
        for (Tray tray : day.trays()) {
            tray.wells()
                    .forEach(place -> place.labNumber().ifPresent(lab -> {
                        trayOf.put(lab, tray);
                        wellOf.put(lab, place.well());
                    }));
        }
    }

    /**
     * What new readings say of each cause that touches results, in the order of causes.
     *
     * @param day with the runs of other days that read its soils, where there are any
     * @param judged with their results
     */
    public static List<Answer> of(Day day, JudgedDay judged) {
        List<Cause> asked =
                judged.causes().stream().filter(Cause::touchesResults).toList();
        if (asked.isEmpty()) {
            return List.of();
        }
        Answers answers = new Answers(day, judged, asked);
        return asked.stream().map(answers::of).toList();
    }

    private int at(String run) {
        return order.getOrDefault(run, -1);
    }

    /** A result read again. */
    private record Again(Result first, Result then) {
        double off() {
            return then.amount().raw() - first.amount().raw();
        }

        double sd() {
            return Math.hypot(u(first), u(then));
        }
    }

    private static double u(Result result) {
        return result.expandedUncertainty().orElse(0) / COVERAGE;
    }

    private static boolean isNumber(Result result) {
        return result.amount() instanceof Amount.Measured
                && result.expandedUncertainty().isPresent()
                && result.expandedUncertainty().getAsDouble() > 0;
    }

    private Answer of(Cause cause) {
        Set<ResultKey> seen = new HashSet<>();
        List<Again> again = new ArrayList<>();
        List<Again> diluted = new ArrayList<>();
        int readAgain = 0;
        int touched = 0;
        for (Stretch stretch : asked(cause)) {
            for (ResultKey key : stretch.touched()) {
                Result first = byRun.getOrDefault(stretch.run(), Map.of()).get(key);
                if (first == null || !seen.add(key)) {
                    continue;
                }
                touched++;
                Optional<Result> then = fit.getOrDefault(key, List.of()).stream()
                        .filter(one -> at(one.run()) > at(stretch.run()))
                        .findFirst();
                readAgain += then.isPresent() ? 1 : 0;
                if (cause.kind() == CauseKind.OVER_RANGE && first.amount() instanceof Amount.Above) {
                    then.filter(Answers::isNumber).ifPresent(one -> diluted.add(new Again(first, one)));
                }
                then.filter(one -> isNumber(one) && isNumber(first)).ifPresent(one -> again.add(new Again(first, one)));
            }
        }
        if (again.isEmpty() && !diluted.isEmpty()) {
            return byRange(cause, diluted, diluted.size() + " of " + touched + " results read again");
        }
        if (again.isEmpty()) {
            return new Answer(
                    cause.id(),
                    cause.kind(),
                    Answer.Said.OPEN,
                    0,
                    0,
                    0,
                    readAgain == 0
                            ? "Nothing that it touches was read again with a fit result yet."
                            : "What was read again cannot be compared: not both readings are numbers.");
        }
        String of = again.size() + " of " + touched + " results read again";
        List<Map<LabNumber, LabNumber>> stated = stated(cause);
        return stated.isEmpty() ? byChange(cause, again, of) : byStated(cause, again, stated, of);
    }

    /** Where the cause says that results are wrong; all that it touches where it says so of none. What it merely leaves unguarded need not change. */
    private static List<Stretch> asked(Cause cause) {
        List<Stretch> wrong = cause.stretches().stream()
                .filter(stretch -> stretch.verdict() == Verdict.REDO)
                .toList();
        return wrong.isEmpty() ? cause.stretches() : wrong;
    }

    private int changed(List<Again> again) {
        Map<String, Integer> together = new HashMap<>();
        again.forEach(one ->
                together.merge(one.first().labNumber() + " " + one.first().method(), 1, Integer::sum));
        return (int) again.stream()
                .filter(one -> !Repeats.choose(
                                List.of(one.first(), one.then()),
                                together.getOrDefault(
                                        one.first().labNumber() + " "
                                                + one.first().method(),
                                        1),
                                policy)
                        .agree())
                .count();
    }

    // Read again diluted, each number lies above the range or below its end, as surely as its own uncertainty lets it.
    private Answer byRange(Cause cause, List<Again> diluted, String of) {
        double ratio = 0;
        int above = 0;
        for (Again one : diluted) {
            double limit = ((Amount.Above) one.first().amount()).limit();
            double z = (one.then().amount().raw() - limit) / u(one.then());
            double within = Math.max(-FARTHEST, Math.min(FARTHEST, z));
            ratio += Math.log10(Quantiles.normalBelow(within)) - Math.log10(Quantiles.normalBelow(-within));
            above += z > 0 ? 1 : 0;
        }
        return new Answer(
                cause.id(),
                cause.kind(),
                said(ratio),
                ratio,
                diluted.size(),
                above,
                of + ", " + above + " of them above the end of the range: " + likelier(ratio, "above it", "within it")
                        + ".");
    }

    private Answer byChange(Cause cause, List<Again> again, String of) {
        double wider = Math.hypot(1, policy.number(Setting.ANSWER_SPREAD));
        double ratio = 0;
        for (Again one : again) {
            ratio += density.log10(one.off(), wider * one.sd()) - density.log10(one.off(), one.sd());
        }
        Answer.Said said = said(ratio);
        int changed = changed(again);
        return answer(
                cause,
                said,
                ratio,
                again,
                of + ", " + changed + " of them changed by more than two readings of one soil differ: "
                        + likelier(ratio, "changed", "unchanged"));
    }

    private Answer byStated(Cause cause, List<Again> again, List<Map<LabNumber, LabNumber>> stated, String of) {
        double sum = 0;
        double least = Double.POSITIVE_INFINITY;
        int compared = 0;
        double highest = Double.NEGATIVE_INFINITY;
        List<Double> ratios = new ArrayList<>();
        for (Map<LabNumber, LabNumber> whose : stated) {
            double ratio = 0;
            double asFirst = 0;
            double asStated = 0;
            int count = 0;
            for (Again one : again) {
                Optional<Result> other = Optional.ofNullable(
                                whose.get(one.first().labNumber()))
                        .map(lab -> byRun.getOrDefault(one.first().run(), Map.of())
                                .get(new ResultKey(
                                        lab, one.first().method(), one.first().analyte())))
                        .filter(Answers::isNumber);
                if (other.isEmpty()) {
                    continue;
                }
                double off = one.then().amount().raw() - other.get().amount().raw();
                double sd = Math.hypot(u(other.get()), u(one.then()));
                ratio += density.log10(off, sd) - density.log10(one.off(), one.sd());
                asFirst += one.off() * one.off() / (one.sd() * one.sd());
                asStated += off * off / (sd * sd);
                count++;
            }
            ratios.add(ratio);
            highest = Math.max(highest, ratio);
            if (count > 0) {
                double limit = Quantiles.chiSquare(policy.number(Setting.ANSWER_FITS), count);
                least = Math.min(least, Math.min(asFirst, asStated) / limit);
            }
            compared = Math.max(compared, count);
        }
        if (compared == 0) {
            return byChange(cause, again, of);
        }
        // Of several ways in which it may have happened none is the likelier before anything is read.
        for (double ratio : ratios) {
            sum += Math.pow(10, ratio - highest) / ratios.size();
        }
        double ratio = highest + Math.log10(sum);
        boolean fits = least <= 1;
        return answer(
                cause,
                fits ? said(ratio) : Answer.Said.UNDECIDED,
                ratio,
                again,
                of + ": "
                        + (fits
                                ? likelier(ratio, "put right as the cause says", "as first recorded")
                                : "they agree neither with the values as first recorded nor with those put right (sum of squares "
                                        + text(least, 2) + " times what "
                                        + text(100 * policy.number(Setting.ANSWER_FITS), 4)
                                        + " % of such readings stay below)"));
    }

    private static Answer answer(
            Cause cause, Answer.Said said, double ratio, List<Again> again, int changed, String what) {
        return new Answer(cause.id(), cause.kind(), said, ratio, again.size(), changed, what + ".");
    }

    private Answer answer(Cause cause, Answer.Said said, double ratio, List<Again> again, String what) {
        return answer(cause, said, ratio, again, changed(again), what);
    }

    private Answer.Said said(double ratio) {
        double needed = Math.log10(policy.number(Setting.ANSWER_RATIO));
        return ratio >= needed ? Answer.Said.CONFIRMED : ratio <= -needed ? Answer.Said.REFUTED : Answer.Said.UNDECIDED;
    }

    private String likelier(double ratio, String one, String other) {
        return "the new readings are " + Times.text(Math.abs(ratio)) + " likelier " + (ratio >= 0 ? one : other)
                + " than " + (ratio >= 0 ? other : one) + "; "
                + Times.ratio(Math.log10(policy.number(Setting.ANSWER_RATIO)))
                + " times decide";
    }

    /** Whose reading belongs to whom, for each way in which the cause may have happened; empty where it does not say. */
    private List<Map<LabNumber, LabNumber>> stated(Cause cause) {
        Set<LabNumber> soils = new TreeSet<>(cause.labNumbers());
        return switch (cause.kind()) {
            case TRAY_TURNED -> turned(soils);
            case TRAYS_EXCHANGED -> exchanged(soils);
            case NEIGHBOURS_EXCHANGED -> neighbours(soils);
            case RUN_SHIFTED -> shifted(cause);
            default -> List.of();
        };
    }

    private List<Map<LabNumber, LabNumber>> turned(Set<LabNumber> soils) {
        Map<LabNumber, LabNumber> whose = new TreeMap<>();
        for (LabNumber lab : soils) {
            Tray tray = trayOf.get(lab);
            Well well = wellOf.get(lab);
            if (tray != null && well != null) {
                in(tray, well.turned()).ifPresent(other -> whose.put(lab, other));
            }
        }
        return List.of(whose);
    }

    private List<Map<LabNumber, LabNumber>> exchanged(Set<LabNumber> soils) {
        Set<Tray> trays = new LinkedHashSet<>();
        soils.stream().map(trayOf::get).filter(tray -> tray != null).forEach(trays::add);
        if (trays.size() != 2) {
            return List.of();
        }
        Map<LabNumber, LabNumber> whose = new TreeMap<>();
        for (LabNumber lab : soils) {
            Well well = wellOf.get(lab);
            trays.stream()
                    .filter(tray -> tray != trayOf.get(lab))
                    .findFirst()
                    .filter(tray -> well != null)
                    .flatMap(tray -> in(tray, java.util.Objects.requireNonNull(well)))
                    .ifPresent(other -> whose.put(lab, other));
        }
        return List.of(whose);
    }

    private static List<Map<LabNumber, LabNumber>> neighbours(Set<LabNumber> soils) {
        if (soils.size() != 2) {
            return List.of();
        }
        List<LabNumber> both = List.copyOf(soils);
        return List.of(Map.of(both.get(0), both.get(1), both.get(1), both.get(0)));
    }

    // Each reading is that of the soil after it or of the one before: the cause says which in words alone.
    private List<Map<LabNumber, LabNumber>> shifted(Cause cause) {
        List<LabNumber> read = byRun.getOrDefault(cause.run(), Map.of()).values().stream()
                .filter(result -> result.method().equals(cause.method()))
                .sorted(Comparator.comparingInt(Result::position))
                .map(Result::labNumber)
                .distinct()
                .toList();
        List<Map<LabNumber, LabNumber>> ways = new ArrayList<>();
        for (int by = -1; by <= 1; by += 2) {
            Map<LabNumber, LabNumber> whose = new TreeMap<>();
            for (int i = 0; i < read.size(); i++) {
                if (i + by >= 0 && i + by < read.size()) {
                    whose.put(read.get(i), read.get(i + by));
                }
            }
            ways.add(whose);
        }
        return ways;
    }

    private static Optional<LabNumber> in(Tray tray, Well well) {
        return tray.wells().stream()
                .filter(place -> place.well().equals(well))
                .findFirst()
                .flatMap(Tray.Place::labNumber);
    }
}
