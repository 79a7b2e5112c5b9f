package org.tenmesh.app.days;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.HistoryChoice;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Nearest;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Stated;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.reduction.Step;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.day.DayReading;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.history.HistoryReading;
import org.tenmesh.exchange.json.Json;

/** {@code tenmesh explain DAY LAB_NUMBER METHOD ANALYTE}. */
public final class ExplainCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "explain",
                "Tell how one number came to be, step by step.",
                List.of(
                        new Shape.Place("DAY", "a day folder"),
                        new Shape.Place("LAB_NUMBER", "as in samples.csv"),
                        new Shape.Place("METHOD", "such as ph-water-1-1"),
                        new Shape.Place("ANALYTE", "such as pH or P")),
                List.of(
                        MethodChoice.OPTION,
                        HistoryChoice.OPTION,
                        Shape.Option.flag("--json", "print the steps as JSON")),
                List.of("The last step of the value has the same digits as results.csv."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        MethodBook methods = MethodChoice.of(given);
        String method = given.place(2);
        String analyte = given.place(3);
        List<Method> versions = methods.versions(method);
        if (versions.isEmpty()) {
            throw MethodChoice.unknown(method, methods);
        }
        if (versions.stream().allMatch(version -> version.analyte(analyte).isEmpty())) {
            throw new CannotUse(method + " does not report \"" + analyte + "\"" + meant(analyte, versions)
                    + "; it reports " + reported(versions));
        }
        LabNumber labNumber;
        try {
            labNumber = new LabNumber(given.place(1));
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse(String.valueOf(wrong.getMessage()));
        }
        Path folder = GivenFolder.of(given.place(0), "a day folder");
        DayReading reading =
                console.during("Reading " + folder, () -> DayFolder.read(folder, methods, Limits.defaults()));
        if (!reading.usable()) {
            throw new CannotUse(folder + " is not a day folder that can be judged:\n  "
                    + String.join(
                            "\n  ",
                            reading.problems().stream()
                                    .limit(10)
                                    .map(problem -> problem.sentence())
                                    .toList()));
        }
        Optional<HistoryReading> history = HistoryChoice.of(given);
        Day day = HistoryChoice.with(reading.day(), history);
        Standing standing = console.during(
                "Judging " + folder,
                () -> Standing.of(day, DayJudge.judge(day, methods, HistoryChoice.soils(history)), methods));
        Story story = standing.of(labNumber, method, analyte)
                .map(result -> standing.story(day, methods, result))
                .orElseThrow(() -> new CannotUse(
                        mistyped(day, labNumber).orElseGet(() -> nothing(versions.get(0), labNumber, folder))));
        if (given.has("--json")) {
            json(console.out(), story);
        } else {
            words(console.out(), story, methods.version(method, story.result().methodVersion()));
        }
        return Status.DONE;
    }

    private static String meant(String typed, List<Method> versions) {
        return versions.stream()
                .flatMap(version -> version.head().analytes().stream())
                .filter(its ->
                        its.symbol().equalsIgnoreCase(typed) || its.name().equalsIgnoreCase(typed))
                .findFirst()
                .map(its -> "; perhaps " + its.symbol() + " was meant")
                .orElse("");
    }

    /** "P (phosphorus), K (potassium)" */
    private static String reported(List<Method> versions) {
        return versions.stream()
                .flatMap(version -> version.head().analytes().stream())
                .map(its -> its.symbol().equals(its.name()) ? its.symbol() : its.symbol() + " (" + its.name() + ")")
                .distinct()
                .collect(Collectors.joining(", "));
    }

    /** What to say of a lab number that the day does not have: the one most likely meant, or those that hold what was typed. */
    private static Optional<String> mistyped(Day day, LabNumber labNumber) {
        List<String> numbers =
                day.soils().stream().map(soil -> soil.labNumber().text()).toList();
        if (numbers.contains(labNumber.text())) {
            return Optional.empty();
        }
        Optional<LabNumber> likely = LabNumber.likely(labNumber.text()).stream()
                .filter(number -> numbers.contains(number.text()))
                .findFirst();
        if (likely.isPresent()) {
            return Optional.of(labNumber + " is no number of this day: its check character is wrong. Most likely "
                    + likely.get() + " is meant, which is one");
        }
        return Optional.of(labNumber + " is no lab number of this day" + Nearest.perhaps(labNumber.text(), numbers)
                + "; samples.csv lists them");
    }

    private static String nothing(Method method, LabNumber labNumber, Path folder) {
        return method.isCalculated()
                ? method.id() + " was not calculated for " + labNumber + " in " + folder
                        + ": its package does not ask for it, inputs were not read, or its region's advice is off"
                : "no run of " + method.id() + " in " + folder + " holds " + labNumber + ", and none was expected";
    }

    private static void words(PrintWriter out, Story story, Method method) {
        Result result = story.result();
        out.printf(
                "%s  %s, %s%n",
                result.labNumber(),
                method.analyte(result.analyte()).map(analyte -> analyte.name()).orElse(result.analyte()),
                method.head().title());
        if (result.position() > 0) {
            out.printf(
                    "run %s, position %d%s%n",
                    result.run(), result.position(), result.channel().isEmpty() ? "" : ", channel " + result.channel());
        }
        out.printf("method version %s%n", result.methodVersion());
        out.println();
        int number = 0;
        for (Step step : story.steps()) {
            out.printf("%2d  %s%n", ++number, step.what());
            if (!step.arithmetic().isEmpty()) {
                out.printf("      %s%n", step.arithmetic());
            }
            if (!Double.isNaN(step.result())) {
                out.printf("      = %s%s%n", step.result(), spelled(step.unit()));
            }
        }
        out.println();
        Optional<Stated> stated = method.analyte(result.analyte())
                .map(analyte -> Stated.of(result.amount(), analyte.rounding(), result.expandedUncertainty()));
        String sure = stated.map(its -> its.sentence(result.amount().unit())).orElse("");
        String text = stated.map(Stated::text).orElse(result.reported());
        out.printf(
                "Reported  %s%s%s%n",
                text.isEmpty() ? "nothing" + why(result.amount()) : text,
                text.isEmpty() ? "" : spelled(result.amount().unit()),
                sure.isEmpty() ? "" : ", expanded uncertainty (about 95 %) " + sure);
        out.printf(
                "Verdict   %s%s%n",
                result.verdict().word(),
                result.causes().isEmpty() ? "" : ", because of " + String.join(", ", result.causes()));
    }

    private static String why(Amount amount) {
        return amount instanceof Amount.Missing missing ? ": " + missing.reason() : "";
    }

    private static String spelled(Unit unit) {
        return unit.spelling().isEmpty() ? "" : " " + unit.spelling();
    }

    private static void json(PrintWriter out, Story story) {
        Result result = story.result();
        out.println(Json.line(Json.object(
                "lab_number",
                result.labNumber().text(),
                "method",
                result.method(),
                "method_version",
                result.methodVersion().toString(),
                "analyte",
                result.analyte(),
                "run",
                result.run(),
                "position",
                result.position(),
                "steps",
                story.steps().stream()
                        .map(step -> Json.object(
                                "what",
                                step.what(),
                                "arithmetic",
                                step.arithmetic(),
                                "result",
                                step.result(),
                                "unit",
                                step.unit().ucum()))
                        .toList(),
                "reported",
                result.reported(),
                "verdict",
                result.verdict().word(),
                "causes",
                result.causes())));
    }
}
