package org.tenmesh.app.days;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.TreeSet;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.charts.DetectionStudy;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.history.LowReadingsFolder;
import org.tenmesh.exchange.json.Json;

/** {@code tenmesh limits FOLDER}: detection limits from the blanks and low check solutions of many judged days. */
public final class LimitsCommand implements Command {
    private static final int MOST_SHOWN = 12;

    private record Line(Method method, Analyte analyte, DetectionStudy study) {
        boolean above() {
            return study.isAbove(analyte.reportingLimit());
        }
    }

    @Override
    public Shape shape() {
        return new Shape(
                "limits",
                "Detection limits from the blanks and low check solutions of many judged days.",
                List.of(new Shape.Place(
                        "FOLDER", "a folder with a folder for each judged day, see docs/day-folder.md")),
                List.of(MethodChoice.OPTION, Shape.Option.flag("--json", "print the limits as JSON")),
                List.of(
                        "40 CFR 136, appendix B, revision 2 (2017): at least " + DetectionStudy.FEWEST + " readings on "
                                + DetectionStudy.FEWEST_DAYS + " days of 24 months.",
                        "Exit status: 0 every reporting limit is at or above its detection limit; 1 one is below it; 2 part"
                                + " of the input could not be taken (the rest is counted)."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        MethodBook book = MethodChoice.of(given);
        LowReadingsFolder read = LowReadingsFolder.read(
                GivenFolder.of(given.placed().get(0), "a folder with a folder for each judged day"), Limits.defaults());
        if (read.readings().isEmpty()) {
            read.problems().stream()
                    .limit(MOST_SHOWN)
                    .forEach(problem -> console.err().println("  " + problem.sentence()));
            throw new CannotUse("no blank and no low check solution of a judged day was found");
        }
        List<Line> lines = lines(book, read.readings());
        if (given.has("--json")) {
            json(console.out(), lines, read);
        } else {
            words(console.out(), lines, read);
        }
        if (!read.problems().isEmpty()) {
            return Status.UNUSABLE;
        }
        return lines.stream().anyMatch(Line::above) ? Status.HELD : Status.DONE;
    }

    private static List<Line> lines(MethodBook book, List<LowReading> readings) {
        List<Line> lines = new ArrayList<>();
        for (String id : new TreeSet<>(readings.stream().map(LowReading::method).toList())) {
            if (!book.knows(id)) {
                throw MethodChoice.unknown(id, book);
            }
            Method method = book.versions(id).get(0);
            boolean takenOff = method.extract().map(Extraction::subtractBlank).orElse(false);
            for (DetectionStudy study : DetectionStudy.of(id, takenOff, readings)) {
                method.analyte(study.analyte()).ifPresent(analyte -> lines.add(new Line(method, analyte, study)));
            }
        }
        return lines;
    }

    private static void words(PrintWriter out, List<Line> lines, LowReadingsFolder read) {
        int widest = Math.max(
                6, lines.stream().mapToInt(line -> name(line).length()).max().orElse(0));
        String row = "%-" + widest + "s  %-7s  %6s  %4s  %9s  %6s  %9s  %9s  %9s  %s%n";
        out.printf(row, "", "unit", "blanks", "days", "SD", "checks", "content", "detection", "reporting", "");
        for (Line line : lines) {
            DetectionStudy study = line.study();
            out.printf(
                    row,
                    name(line),
                    line.analyte().unit().spelling(),
                    study.blanks().n(),
                    study.blanks().days(),
                    short2(study.blanks().sd()),
                    study.checks().n(),
                    short2(study.checkContent().orElse(Double.NaN)),
                    study.limit().isPresent() ? short2(study.limit().getAsDouble()) : "too few",
                    short2(line.analyte().reportingLimit().orElse(Double.NaN)),
                    line.above() ? "reporting limit below detection limit" : "");
        }
        out.printf(
                "%nJudged days: %d; reporting limits below their detection limit: %d%n",
                read.days(), lines.stream().filter(Line::above).count());
        if (!read.problems().isEmpty()) {
            out.printf("%nInput that could not be taken: %d%n", read.problems().size());
            read.problems().stream().limit(MOST_SHOWN).forEach(problem -> out.println("  " + problem.sentence()));
        }
    }

    private static void json(PrintWriter out, List<Line> lines, LowReadingsFolder read) {
        out.println(Json.line(Json.object(
                "days",
                read.days(),
                "limits",
                lines.stream().map(LimitsCommand::json).toList(),
                "problems",
                read.problems().stream().map(Problem::sentence).toList())));
    }

    private static Object json(Line line) {
        DetectionStudy study = line.study();
        return Json.object(
                "method",
                line.method().id(),
                "analyte",
                line.analyte().symbol(),
                "unit",
                line.analyte().unit().ucum(),
                "blanks",
                study.blanks().n(),
                "blank_days",
                study.blanks().days(),
                "blank_limit",
                text(study.blanks().limit()),
                "checks",
                study.checks().n(),
                "check_limit",
                text(study.checks().limit()),
                "detection_limit",
                text(study.limit()),
                "reporting_limit",
                text(line.analyte().reportingLimit()),
                "reporting_below_detection",
                line.above());
    }

    private static String name(Line line) {
        return line.method().id() + " " + line.analyte().symbol();
    }

    private static String text(OptionalDouble number) {
        return number.isPresent() ? Significant.text(number.getAsDouble(), 4) : "";
    }

    private static String short2(double number) {
        return Double.isFinite(number) ? Significant.text(number, 2) : "-";
    }
}
