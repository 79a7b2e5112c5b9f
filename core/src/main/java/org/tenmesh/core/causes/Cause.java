package org.tenmesh.core.causes;

import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Times;

/**
 * One thing that went wrong, with everything it touches: one event is one cause, over all stretches, runs and methods that show it.
 *
 * @param key unique in the judged day; the same from judging to judging as long as it touches the same determinations
 * @param stretches one or more; the one that does most comes first
 * @param action one sentence or more: what to do
 * @param log10Odds against "no fault", where it can be given
 * @param runnerUp the next best explanation, where more than one was weighed
 * @param evidenceDigest SHA-256, 64 hexadecimal digits, of all a person sees when deciding about it: stretches with their verdicts and
 *     evidence, odds as shown, and the number and reported text of every determination touched. When it is another one, the decision was
 *     made about something else.
 */
public record Cause(
        CauseKey key,
        List<Stretch> stretches,
        String action,
        OptionalDouble log10Odds,
        Optional<Finding.RunnerUp> runnerUp,
        String evidenceDigest) {
    /**
     * @throws IllegalArgumentException without a stretch
     */
    public Cause {
        stretches = List.copyOf(stretches);
        if (stretches.isEmpty()) {
            throw new IllegalArgumentException("cause " + key + " has no stretch; at least one was expected");
        }
    }

    /**
     * A cause with the key and evidence digest that its content gives.
     *
     * @param place for people, see {@link CauseKey}
     * @param touched the results that the stretches touch, with their numbers; the order does not matter
     */
    public static Cause of(
            CauseKind kind,
            String place,
            List<Stretch> stretches,
            String action,
            OptionalDouble log10Odds,
            Optional<Finding.RunnerUp> runnerUp,
            Collection<Result> touched) {
        List<Stretch> ordered = stretches.stream()
                .sorted(Comparator.comparing(Stretch::verdict)
                        .thenComparingInt(one -> one.touched().size())
                        .reversed()
                        .thenComparing(Stretch.BY_PLACE))
                .toList();
        CauseKey key = CauseKey.of(kind, place, ordered);
        return new Cause(
                key, ordered, action, log10Odds, runnerUp, digest(key, ordered, action, log10Odds, runnerUp, touched));
    }

    private static String digest(
            CauseKey key,
            List<Stretch> stretches,
            String action,
            OptionalDouble log10Odds,
            Optional<Finding.RunnerUp> runnerUp,
            Collection<Result> touched) {
        Sha256 digest = new Sha256().text(key.text()).text(action);
        digest.text(log10Odds.isPresent() ? Times.ratio(log10Odds.getAsDouble()) : "");
        digest.text(runnerUp.map(Finding.RunnerUp::sentence).orElse(""));
        for (Stretch one : stretches) {
            digest.text(one.run())
                    .text(one.method())
                    .text(one.verdict().word())
                    .texts(one.analytes())
                    .number(one.firstPosition())
                    .number(one.lastPosition())
                    .text(one.evidence());
        }
        touched.stream()
                .sorted(Comparator.comparing(ResultKey::of)
                        .thenComparing(Result::run)
                        .thenComparingInt(Result::position))
                .forEach(result -> digest.text(result.run())
                        .text(result.labNumber().text())
                        .text(result.method())
                        .text(result.analyte())
                        .text(kind(result.amount()))
                        .number(result.amount().raw())
                        .text(result.reported()));
        return digest.hex();
    }

    private static String kind(Amount amount) {
        return amount.getClass().getSimpleName() + amount.unit().ucum();
    }

    /** The key's text. */
    public String id() {
        return key.text();
    }

    public CauseKind kind() {
        return key.kind();
    }

    /** What it does to what it touches, at worst. */
    public Verdict verdict() {
        return stretches.stream().map(Stretch::verdict).reduce(Verdict.FIT, Verdict::or);
    }

    /** The number furthest from what is allowed in the stretch in which it does most; in another one where that has none. */
    public Optional<Measure> measure() {
        return stretches.stream().flatMap(one -> one.measures().stream()).findFirst();
    }

    /** The run in which it does most. */
    public String run() {
        return stretches.get(0).run();
    }

    /** Every run it shows in, the one in which it does most first. */
    public List<String> runs() {
        return stretches.stream().map(Stretch::run).distinct().toList();
    }

    /** The method of {@link #run()}. */
    public String method() {
        return stretches.get(0).method();
    }

    /** Every method it shows in, the one of {@link #run()} first. */
    public List<String> methods() {
        return stretches.stream().map(Stretch::method).distinct().toList();
    }

    /** Symbols it touches under {@link #method()}. */
    public List<String> analytes() {
        return stretches.stream()
                .filter(one -> one.method().equals(method()))
                .flatMap(one -> one.analytes().stream())
                .distinct()
                .toList();
    }

    /** First position it touches in {@link #run()}; 0 when it concerns no position. */
    public int firstPosition() {
        return inRun().mapToInt(Stretch::firstPosition).min().orElse(0);
    }

    /** Last position it touches in {@link #run()}; 0 when it concerns no position. */
    public int lastPosition() {
        return inRun().mapToInt(Stretch::lastPosition).max().orElse(0);
    }

    private Stream<Stretch> inRun() {
        return stretches.stream().filter(one -> one.run().equals(run()) && one.firstPosition() > 0);
    }

    /** Every determination it touches, each once, sorted. */
    public List<ResultKey> touched() {
        return stretches.size() == 1
                ? stretches.get(0).touched()
                : stretches.stream()
                        .flatMap(one -> one.touched().stream())
                        .sorted()
                        .distinct()
                        .toList();
    }

    /** The lab numbers it touches. */
    public Set<LabNumber> labNumbers() {
        Set<LabNumber> labNumbers = new HashSet<>();
        stretches.forEach(one -> one.touched().forEach(key -> labNumbers.add(key.labNumber())));
        return labNumbers;
    }

    /** Whether any result is held or to be made again for it; a blank that matters to no soil, for one, touches none. */
    public boolean touchesResults() {
        return stretches.stream().anyMatch(one -> !one.touched().isEmpty());
    }

    /** How many lab numbers it touches. */
    public int samples() {
        return labNumbers().size();
    }

    /** The evidence of all stretches, each sentence once; never names a hidden control. */
    public String evidence() {
        return stretches.stream().map(Stretch::evidence).distinct().collect(Collectors.joining(" "));
    }

    /** What it says of one run: the evidence of its stretches there, each sentence once. */
    public List<String> evidence(String ofRun) {
        return stretches.stream()
                .filter(one -> one.run().equals(ofRun))
                .map(Stretch::evidence)
                .distinct()
                .toList();
    }
}
