package org.tenmesh.app.days;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.HistoryChoice;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.redo.Answers;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.day.DayReading;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.history.HistoryReading;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.judged.DayAccount;
import org.tenmesh.exchange.judged.JudgedFiles;

/** {@code tenmesh judge DAY --out DIR}. */
public final class JudgeCommand implements Command {
    private static final int MOST_SHOWN = 12;

    @Override
    public Shape shape() {
        return new Shape(
                "judge",
                "Judge a day folder and write results, causes, gates and control values.",
                List.of(new Shape.Place("DAY", "a day folder, see docs/day-folder.md")),
                List.of(
                        Shape.Option.required("--out", "DIR", "where the judged files go; made when missing"),
                        MethodChoice.OPTION,
                        HistoryChoice.OPTION,
                        Shape.Option.flag("--json", "print the counts and causes as JSON")),
                List.of(
                        "Exit status: 0 all fit; 1 something is held, must be made again or was set aside; 2 part of the"
                                + " input could not be taken (the rest is judged)."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        long start = System.nanoTime();
        Path folder = GivenFolder.of(given.place(0), "a day folder");
        Path out = Path.of(given.text("--out").orElseThrow());
        MethodBook methods = MethodChoice.of(given);
        DayReading reading =
                console.during("Reading " + folder, () -> DayFolder.read(folder, methods, Limits.defaults()));
        if (!reading.usable()) {
            print(reading.problems(), console.err());
            throw new CannotUse(folder + " is not a day folder that can be judged; nothing was written");
        }
        Optional<HistoryReading> history = HistoryChoice.of(given);
        Day day = HistoryChoice.with(reading.day(), history);
        List<Problem> problems = new ArrayList<>(reading.problems());
        problems.addAll(HistoryChoice.problems(history));
        JudgedDay judged =
                console.during(judging(day), () -> DayJudge.judge(day, methods, HistoryChoice.soils(history)));
        Standing standing = Standing.of(day, judged, methods);
        DayAccount account = DayAccount.of(reading.rows(), day, standing, methods);
        problems.addAll(account.problems());
        console.during("Writing " + out, () -> {
            JudgedFiles.write(out, day, standing, methods, account, problems, reading.notes());
            return out;
        });

        Map<Verdict, Integer> counts = new EnumMap<>(Verdict.class);
        for (Verdict verdict : Verdict.values()) {
            counts.put(verdict, 0);
        }
        for (Result result : standing.standing()) {
            counts.merge(result.verdict(), 1, Integer::sum);
        }
        double seconds = (System.nanoTime() - start) / 1e9;
        if (given.has("--json")) {
            json(console.out(), counts, day, judged, account, problems, reading.notes(), out, seconds);
        } else {
            words(
                    console.out(),
                    counts,
                    judged,
                    standing,
                    day,
                    history,
                    account,
                    problems,
                    reading.notes(),
                    out,
                    seconds);
        }
        if (!problems.isEmpty()) {
            return Status.UNUSABLE;
        }
        // A cause may touch nothing that stands, as a file that came twice does; somebody must look at it all the same.
        boolean allFit =
                counts.getOrDefault(Verdict.FIT, 0) == standing.standing().size();
        return allFit && judged.causes().isEmpty() && account.setAside() == 0 ? Status.DONE : Status.HELD;
    }

    private static String judging(Day day) {
        return String.format(
                Locale.ROOT,
                "Judging %,d soils in %,d runs",
                day.soils().size(),
                day.runs().size());
    }

    private static void words(
            PrintWriter out,
            Map<Verdict, Integer> counts,
            JudgedDay judged,
            Standing standing,
            Day day,
            Optional<HistoryReading> history,
            DayAccount account,
            List<Problem> problems,
            List<Problem> notes,
            Path folder,
            double seconds) {
        out.printf(
                Locale.ROOT,
                "%,d determinations in %,d runs%s%n",
                standing.standing().size(),
                day.runs().size(),
                standing.superseded().isEmpty()
                        ? ""
                        : String.format(
                                Locale.ROOT,
                                ", and %,d superseded",
                                standing.superseded().size()));
        history.ifPresent(read -> out.printf(
                Locale.ROOT,
                "  with %,d control values and %,d soils of %,d earlier days%n",
                read.history().before(today(day)).entries().size(),
                read.soils().before(today(day)).soils().size(),
                read.days()));
        counts.forEach((verdict, count) -> out.printf(Locale.ROOT, "  %-6s %,9d%n", verdict.word(), count));
        List<Answer> answers = Answers.of(day, judged);
        if (!judged.causes().isEmpty()) {
            out.printf("%nCauses, costliest first%n");
        }
        for (Cause cause :
                judged.causes().subList(0, Math.min(MOST_SHOWN, judged.causes().size()))) {
            out.printf(
                    Locale.ROOT,
                    "  %s: %s, run %s%s, %s, %,d lab number%s%n      %s%n      %s%n",
                    cause.verdict() == Verdict.FIT ? "look" : cause.verdict().word(),
                    cause.kind().phrase(),
                    cause.run(),
                    place(cause),
                    cause.analytes().isEmpty() ? cause.method() : String.join(" ", cause.analytes()),
                    cause.samples(),
                    cause.samples() == 1 ? "" : "s",
                    cause.evidence(),
                    cause.action());
            cause.runnerUp().ifPresent(next -> out.printf("      %s%n", next.sentence()));
            answered(answers, cause)
                    .filter(one -> one.compared() > 0)
                    .ifPresent(one -> out.printf("      %s: %s%n", one.said().word(), one.sentence()));
        }
        Answer.byKind(answers).forEach((kind, count) -> {
            if (count.compared() > 0) {
                out.printf(
                        Locale.ROOT,
                        "%nRead again, %s: %d confirmed, %d refuted, %d undecided, %d open; %,d of %,d results changed%n",
                        kind.phrase(),
                        count.confirmed(),
                        count.refuted(),
                        count.undecided(),
                        count.open(),
                        count.changed(),
                        count.compared());
            }
        });
        if (judged.causes().size() > MOST_SHOWN) {
            out.printf("  and %d more in %s%n", judged.causes().size() - MOST_SHOWN, folder.resolve("causes.csv"));
        }
        if (!problems.isEmpty()) {
            out.printf(Locale.ROOT, "%nInput that could not be taken: %,d%n", problems.size());
            print(problems, out);
        }
        if (!notes.isEmpty()) {
            out.printf(Locale.ROOT, "%nNotes on the input: %,d%n", notes.size());
            print(notes, out);
        }
        out.printf(Locale.ROOT, "%nReadings: %,d%n", account.balance().read());
        account.balance().places().forEach((place, count) -> {
            if (count > 0) {
                out.printf(Locale.ROOT, "  %-10s %,9d%n", place.word(), count);
            }
        });
        List<String> aside = account.sentences();
        if (!aside.isEmpty()) {
            out.printf(Locale.ROOT, "%nSet aside: %,d%n", account.setAside());
            aside.stream().limit(MOST_SHOWN).forEach(sentence -> out.println("  " + sentence));
            if (aside.size() > MOST_SHOWN) {
                out.printf(
                        Locale.ROOT,
                        "  and %,d more in %s%n",
                        aside.size() - MOST_SHOWN,
                        folder.resolve("summary.json"));
            }
        }
        out.printf(Locale.ROOT, "%nWritten to %s, %.2f s%n", folder, seconds);
    }

    private static Optional<Answer> answered(List<Answer> answers, Cause cause) {
        return answers.stream().filter(one -> one.cause().equals(cause.id())).findFirst();
    }

    private static LocalDate today(Day day) {
        return day.runs().stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElse(LocalDate.MAX);
    }

    private static String place(Cause cause) {
        if (cause.firstPosition() <= 0) {
            return "";
        }
        return cause.firstPosition() == cause.lastPosition()
                ? ", position " + cause.firstPosition()
                : ", positions " + cause.firstPosition() + " to " + cause.lastPosition();
    }

    private static void print(List<Problem> problems, PrintWriter out) {
        for (Problem problem : problems.subList(0, Math.min(MOST_SHOWN, problems.size()))) {
            out.println("  " + problem.sentence());
        }
        if (problems.size() > MOST_SHOWN) {
            out.printf(Locale.ROOT, "  and %,d more%n", problems.size() - MOST_SHOWN);
        }
    }

    private static void json(
            PrintWriter out,
            Map<Verdict, Integer> counts,
            Day day,
            JudgedDay judged,
            DayAccount account,
            List<Problem> problems,
            List<Problem> notes,
            Path folder,
            double seconds) {
        List<Answer> answers = Answers.of(day, judged);
        Map<String, Object> verdicts = new LinkedHashMap<>();
        counts.forEach((verdict, count) -> verdicts.put(verdict.word(), count));
        out.println(Json.line(Json.object(
                "verdicts",
                verdicts,
                "causes",
                judged.causes().stream()
                        .map(cause -> Json.object(
                                "cause",
                                cause.id(),
                                "kind",
                                cause.kind().word(),
                                "run",
                                cause.run(),
                                "analytes",
                                cause.analytes(),
                                "first_position",
                                cause.firstPosition(),
                                "last_position",
                                cause.lastPosition(),
                                "samples",
                                cause.samples(),
                                "evidence",
                                cause.evidence(),
                                "action",
                                cause.action(),
                                "runner_up",
                                cause.runnerUp().map(next -> next.kind().word()).orElse(""),
                                "runner_up_odds",
                                cause.runnerUp().map(next -> Json.decimal(next.log10Odds(), 3)),
                                "answer",
                                answered(answers, cause)
                                        .map(one -> one.said().word())
                                        .orElse(""),
                                "answered",
                                answered(answers, cause).map(Answer::sentence).orElse("")))
                        .toList(),
                "problems",
                problems.stream().map(Problem::sentence).toList(),
                "notes",
                notes.stream().map(Problem::sentence).toList(),
                "set_aside",
                account.sentences(),
                "out",
                folder.toString(),
                "elapsed_s",
                Json.decimal(seconds, 3))));
    }
}
