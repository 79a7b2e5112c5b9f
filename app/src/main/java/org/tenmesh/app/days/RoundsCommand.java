package org.tenmesh.app.days;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.proficiency.Action;
import org.tenmesh.core.proficiency.SamplesExchanged;
import org.tenmesh.core.proficiency.Scored;
import org.tenmesh.core.proficiency.Series;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.rounds.RoundFiles;
import org.tenmesh.exchange.rounds.RoundsRead;

/** {@code tenmesh rounds FILE… --out DIR}. */
public final class RoundsCommand implements Command {
    private static final int MOST_SHOWN = 12;

    /** All there is to say of some rounds, and the folder it was written to. */
    private record Scoring(
            List<Series> series,
            List<Action> actions,
            List<SamplesExchanged> exchanged,
            List<Problem> problems,
            Path folder) {}

    @Override
    public Shape shape() {
        return new Shape(
                "rounds",
                "Score rounds of proficiency testing; bias over the rounds, samples exchanged, actions with look-back.",
                List.of(new Shape.Place("FILE…", "files of rounds, see docs/proficiency.md")),
                List.of(
                        Shape.Option.required("--out", "DIR", "where the scores go; made when missing"),
                        Shape.Option.of("--judged", "DIR", "a judged day, for rounds that name our lab numbers"),
                        Shape.Option.flag("--json", "print counts and actions as JSON")),
                List.of(
                        "Exit status: 0 all satisfactory; 1 a warning, an action, or a result without a score; 2 part of"
                                + " the input could not be taken (the rest is scored)."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path out = Path.of(given.text("--out").orElseThrow());
        RoundsRead read = RoundFiles.read(
                given.placed().stream().map(Path::of).toList(),
                given.text("--judged").map(Path::of),
                Limits.defaults());
        if (read.results().isEmpty()) {
            read.problems().stream()
                    .limit(MOST_SHOWN)
                    .forEach(problem -> console.err().println("  " + problem.sentence()));
            throw new CannotUse("no result of a round could be taken; nothing was written");
        }
        List<Series> series = Series.of(read.results());
        List<SamplesExchanged> exchanged = SamplesExchanged.find(read.results());
        RoundFiles.write(out, series, exchanged, read.problems());
        Scoring scoring = new Scoring(
                series,
                series.stream().flatMap(one -> one.actions().stream()).toList(),
                exchanged,
                read.problems(),
                out);
        if (given.has("--json")) {
            json(console.out(), scoring);
        } else {
            words(console.out(), scoring);
        }
        if (!read.problems().isEmpty()) {
            return Status.UNUSABLE;
        }
        long satisfactory = count(series, Optional.of(Scored.Verdict.SATISFACTORY));
        return satisfactory == read.results().size() ? Status.DONE : Status.HELD;
    }

    private static long count(List<Series> series, Optional<Scored.Verdict> verdict) {
        return series.stream()
                .flatMap(one -> one.scored().stream())
                .filter(scored -> scored.verdict().equals(verdict))
                .count();
    }

    private static void words(PrintWriter out, Scoring of) {
        int widest = Math.max(
                7,
                of.series().stream().mapToInt(one -> name(one).length()).max().orElse(0));
        String row = "%-" + widest + "s  %7s  %12s  %7s  %6s  %10s  %12s  %s%n";
        out.printf(row, "", "results", "satisfactory", "warning", "action", "mean score", "replicate SD", "bias");
        for (Series one : of.series()) {
            List<Series> alone = List.of(one);
            out.printf(
                    Locale.ROOT,
                    row,
                    name(one),
                    one.scored().size(),
                    count(alone, Optional.of(Scored.Verdict.SATISFACTORY)),
                    count(alone, Optional.of(Scored.Verdict.WARNING)),
                    count(alone, Optional.of(Scored.Verdict.ACTION)),
                    short3(one.meanScore()),
                    short3(one.replicateSd()),
                    bias(one));
        }
        long unscored = count(of.series(), Optional.empty());
        if (unscored > 0) {
            out.printf(
                    "%nWithout a score: %d, because there is neither a standard deviation for assessment nor both"
                            + " uncertainties%n",
                    unscored);
        }
        if (!of.exchanged().isEmpty()) {
            out.println();
            of.exchanged().forEach(one -> out.println(one.sentence()));
        }
        if (!of.actions().isEmpty()) {
            out.printf("%nActions%n");
        }
        for (Action action :
                of.actions().subList(0, Math.min(MOST_SHOWN, of.actions().size()))) {
            out.printf(
                    "  %s %s, round %s of %s: %s (%s), %s %s%n      %s%n",
                    action.method(),
                    action.analyte(),
                    action.round(),
                    action.date(),
                    action.rule().word(),
                    Significant.text(action.worst(), 3),
                    action.samples().size() == 1 ? "sample" : "samples",
                    String.join(", ", action.samples()),
                    action.whatToDo());
        }
        if (of.actions().size() > MOST_SHOWN) {
            out.printf(
                    "  and %d more in %s%n",
                    of.actions().size() - MOST_SHOWN, of.folder().resolve("actions.csv"));
        }
        if (!of.problems().isEmpty()) {
            out.printf("%nInput that could not be taken: %d%n", of.problems().size());
            of.problems().stream().limit(MOST_SHOWN).forEach(problem -> out.println("  " + problem.sentence()));
        }
        out.printf("%nWritten to %s%n", of.folder());
    }

    private static String name(Series series) {
        return series.method() + " " + series.analyte();
    }

    /** Whether the mean score lies farther from 0 than chance would have it. */
    private static String bias(Series series) {
        if (series.meanScore().isEmpty() || series.meanScoreLimit().isEmpty()) {
            return "too few to tell";
        }
        double mean = series.meanScore().getAsDouble();
        double limit = series.meanScoreLimit().getAsDouble();
        String within = " (" + Significant.text(limit, 2) + " by chance)";
        return Math.abs(mean) <= limit ? "none seen" + within : (mean > 0 ? "high" : "low") + within;
    }

    private static void json(PrintWriter out, Scoring of) {
        out.println(Json.line(Json.object(
                "satisfactory",
                count(of.series(), Optional.of(Scored.Verdict.SATISFACTORY)),
                "warning",
                count(of.series(), Optional.of(Scored.Verdict.WARNING)),
                "action",
                count(of.series(), Optional.of(Scored.Verdict.ACTION)),
                "unscored",
                count(of.series(), Optional.empty()),
                "actions",
                of.actions().stream()
                        .map(action -> Json.object(
                                "round",
                                action.round(),
                                "date",
                                action.date().toString(),
                                "method",
                                action.method(),
                                "analyte",
                                action.analyte(),
                                "samples",
                                action.samples(),
                                "rule",
                                action.rule().word(),
                                "worst_score",
                                action.worst(),
                                "look_back_days",
                                action.lookBackDays(),
                                "what_to_do",
                                action.whatToDo()))
                        .toList(),
                "exchanged",
                of.exchanged().stream()
                        .map(one -> Json.object(
                                "round",
                                one.round(),
                                "first",
                                one.first(),
                                "second",
                                one.second(),
                                "methods",
                                one.methods(),
                                "log10_odds",
                                Json.decimal(one.log10Odds(), 3)))
                        .toList(),
                "problems",
                of.problems().stream().map(Problem::sentence).toList(),
                "out",
                of.folder().toString())));
    }

    private static String short3(OptionalDouble number) {
        return number.isPresent() ? Significant.text(number.getAsDouble(), 3) : "-";
    }
}
