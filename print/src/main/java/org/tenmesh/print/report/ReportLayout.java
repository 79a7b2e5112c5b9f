package org.tenmesh.print.report;

import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Uncertainty;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.report.ReportSheet.AdviceText;
import org.tenmesh.print.report.ReportSheet.AnalyteText;
import org.tenmesh.print.report.ReportSheet.Fact;
import org.tenmesh.print.report.ReportSheet.Held;
import org.tenmesh.print.report.ReportSheet.HeldLine;
import org.tenmesh.print.report.ReportSheet.MethodText;
import org.tenmesh.print.svg.Svg;

/** Lays out a client report: every word of its sheet, with its tables. */
record ReportLayout(ClientReport report, ReportCells cells, ReportTables tables) {
    /** Up to this many soils each get a block of their own; more stand in a matrix. */
    private static final int BLOCKS_UP_TO = 5;

    private static final int CHANGES_NAMED = 12;
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("d MMMM yyyy, HH:mm", Locale.ENGLISH);

    static ReportSheet sheet(ClientReport report, Paper paper, String digest) {
        ReportCells cells = ReportCells.of(report);
        return new ReportLayout(report, cells, new ReportTables(cells, paper)).sheet(paper.css(), digest);
    }

    private ReportSheet sheet(String paper, String digest) {
        Submission submission = report.submission();
        Release release = report.release();
        ZoneId zone = zone(report.laboratory().zone());
        boolean single = report.soils().size() <= BLOCKS_UP_TO;
        List<String> address = report.laboratory().address().isBlank()
                ? List.of()
                : report.laboratory().address().lines().map(Glyphs::printable).toList();
        boolean regulated =
                report.soils().stream().anyMatch(soil -> soil.soil().regulated().orElse(false));
        return new ReportSheet(
                paper,
                Glyphs.printable("Soil report " + submission.submission() + ", " + submission.client()),
                report.laboratory().invented(),
                Glyphs.printable(report.laboratory().name()),
                address,
                Glyphs.printable(submission.client()),
                Glyphs.printable(submission.submission()),
                "Revision " + release.revision()
                        + (release.reason().isBlank() ? "" : ": " + Glyphs.printable(release.reason())),
                release.revision() > 1
                        ? Optional.of("This revision replaces revision " + (release.revision() - 1)
                                + " of the same submission in full. Please mark or destroy earlier copies."
                                + changes())
                        : Optional.empty(),
                facts(zone),
                single ? tables.blocks(line -> !ReportCells.isAdvice(line.method())) : List.of(),
                single ? List.of() : tables.matrices(line -> !line.method().isCalculated()),
                single
                        ? List.of()
                        : tables.matrices(line -> line.method().isCalculated() && !ReportCells.isAdvice(line.method())),
                advice(single),
                legend(single),
                symbols(),
                report.methods().stream().map(method -> method(method)).toList(),
                held(),
                accepted(),
                cautions(regulated, cells.has(line -> ReportCells.isAdvice(line.method()))),
                Glyphs.printable(release.signedBy()),
                moment(release.signedAt(), zone),
                digest);
    }

    private static ZoneId zone(String name) {
        try {
            return ZoneId.of(name);
        } catch (DateTimeException unknown) {
            // a report must not fail over a setting; UTC is then printed beside each time
            return ZoneId.of("UTC");
        }
    }

    private static String moment(OffsetDateTime when, ZoneId zone) {
        ZonedDateTime local = when.atZoneSameInstant(zone);
        return TIME.format(local) + " " + zone.getId();
    }

    private List<Fact> facts(ZoneId zone) {
        Submission submission = report.submission();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("Client", Glyphs.printable(submission.client())));
        facts.add(new Fact("Submission", Glyphs.printable(submission.submission())));
        facts.add(new Fact("Soils", Integer.toString(report.soils().size())));
        facts.add(new Fact("Received", moment(submission.receivedAt(), zone)));
        facts.add(new Fact("Reported", moment(report.release().signedAt(), zone)));
        submission.promisedOn().ifPresent(day -> facts.add(new Fact("Promised for", DAY.format(day))));
        submission
                .packageName()
                .filter(name -> !name.isBlank())
                .ifPresent(name -> facts.add(new Fact("Package", Glyphs.printable(name))));
        report.pasteWater().ifPresent(water -> facts.add(new Fact("Paste water", Glyphs.printable(water))));
        String origin = submission.originRegion().map(region -> region + ", ").orElse("")
                + submission.originCountry().orElse("");
        if (!origin.isBlank()) {
            facts.add(new Fact("Origin stated", Glyphs.printable(origin.replaceAll(", $", ""))));
        }
        submission
                .note()
                .filter(note -> !note.isBlank())
                .ifPresent(note -> facts.add(new Fact("Client's note", Glyphs.printable(note))));
        return facts;
    }

    private Optional<AdviceText> advice(boolean single) {
        Predicate<Line> given = line -> ReportCells.isAdvice(line.method());
        if (!cells.has(given)) {
            return Optional.empty();
        }
        List<String> says = new ArrayList<>();
        for (Method method : report.methods()) {
            method.regionalAdvice()
                    .ifPresent(advice -> says.add(cells.number(method) + " "
                            + Glyphs.printable(method.head().title()) + ", for "
                            + Glyphs.printable(advice.region()) + " and nowhere else. "
                            + Glyphs.printable(advice.deference())));
        }
        return Optional.of(new AdviceText(
                says, single ? tables.blocks(given) : List.of(), single ? List.of() : tables.matrices(given)));
    }

    /** What the marks and words in place of numbers mean: those that occur. */
    private List<String> legend(boolean single) {
        List<String> legend = new ArrayList<>();
        if (cells.has(ReleasedCase.BELOW)) {
            legend.add("< below the reporting limit");
        }
        if (cells.has(ReleasedCase.ABOVE)) {
            legend.add("> above what the method can state");
        }
        if (cells.has(ReleasedCase.SATURATED)) {
            legend.add((single ? "" : "sat.: ") + "saturated, more than the detector can measure");
        }
        if (cells.has(ReleasedCase.NOT_ENOUGH_SOIL)) {
            legend.add((single ? "" : "too little: ") + "not enough soil was sent for this portion");
        }
        if (cells.has(ReleasedCase.NUMBER_BELOW_STANDARDS)) {
            legend.add(ReportCells.BELOW_STANDARDS
                    + " below the lowest standard that the instrument was calibrated with: extrapolated");
        }
        if (cells.has(ReleasedCase.NUMBER_AT_END)) {
            legend.add(ReportCells.NOT_STATED + ": uncertainty " + Uncertainty.NOT_STATED);
        }
        boolean open = report.soils().stream()
                        .map(soil -> soil.lines().size())
                        .distinct()
                        .count()
                > 1;
        if (open && !single) {
            legend.add("– not asked for");
        }
        if (cells.has(line -> ReportCells.isHeld(line.result()))) {
            legend.add("▲ with a letter: held back, the reason stands below under that letter");
        }
        return legend;
    }

    /** What a revision says otherwise than the one before it, in a sentence; the first ones by name, the rest counted. */
    private String changes() {
        if (report.amendment().isEmpty()) {
            return "";
        }
        List<Amendment.Change> changes = report.amendment().get().changes();
        if (changes.isEmpty()) {
            return " No result has changed.";
        }
        String named = changes.stream()
                .limit(CHANGES_NAMED)
                .map(change -> change.labNumber().text() + " " + change.analyte() + " was "
                        + (change.was().isEmpty() ? "not reported" : change.was()) + ", is "
                        + (change.is().isEmpty() ? "held back" : change.is()))
                .collect(Collectors.joining("; "));
        int more = changes.size() - CHANGES_NAMED;
        return " Changed: " + Glyphs.printable(named)
                + (more > 0 ? "; and " + more + (more == 1 ? " more result." : " more results.") : ".");
    }

    private String symbols() {
        Set<String> said = new LinkedHashSet<>();
        for (ReportedSoil soil : report.soils()) {
            for (Line line : soil.lines()) {
                Analyte analyte = line.analyte();
                if (!analyte.symbol().equals(analyte.name())) {
                    said.add(Glyphs.printable(analyte.symbol()) + " " + Glyphs.printable(analyte.name()));
                }
            }
        }
        return String.join(", ", said);
    }

    private MethodText method(Method method) {
        Method.Head head = method.head();
        List<AnalyteText> analytes = new ArrayList<>();
        for (Analyte analyte : head.analytes()) {
            analytes.add(new AnalyteText(
                    Glyphs.printable(analyte.symbol()),
                    Glyphs.printable(analyte.name()),
                    analyte.unit().spelling(),
                    analyte.reportingLimit().isPresent()
                            ? Svg.figure(analyte.reportingLimit().getAsDouble(), 4)
                            : "none",
                    Svg.figure(analyte.scaleLow(), 4) + " to " + Svg.figure(analyte.scaleHigh(), 5)));
        }
        return new MethodText(
                cells.number(method),
                Glyphs.printable(head.title()),
                "version of " + DAY.format(head.version()),
                Glyphs.printable(head.summary()),
                Glyphs.printable(head.note()),
                formulas(method),
                analytes);
    }

    /** How a result is calculated from others. */
    private static List<String> formulas(Method method) {
        if (!method.isCalculated()) {
            return List.of();
        }
        List<String> formulas = new ArrayList<>();
        for (Computed one : method.results()) {
            one.formula().ifPresent(formula -> formulas.add(Glyphs.printable(one.name() + " = " + formula.text())));
        }
        return formulas;
    }

    private List<Held> held() {
        List<Held> held = new ArrayList<>();
        cells.marks()
                .forEach((reason, mark) -> held.add(reason(
                        mark,
                        reason,
                        line -> ReportCells.isHeld(line.result())
                                && ReportCells.reason(line.result()).equals(reason))));
        return held;
    }

    /** Results that stand although a check failed, by the check, where the laboratory tells its clients. */
    private List<Held> accepted() {
        if (!report.laboratory().acceptedFailures().onReport()) {
            return List.of();
        }
        return report.soils().stream()
                .flatMap(soil -> soil.lines().stream())
                .map(line -> line.result().despite())
                .filter(despite -> !despite.isEmpty())
                .distinct()
                .map(despite ->
                        reason("", despite, line -> line.result().despite().equals(despite)))
                .toList();
    }

    private Held reason(String mark, String reason, Predicate<Line> applies) {
        // soils with the same analytes share one line: a bracket of forty soils is one fact
        Map<String, List<String>> soilsByAnalytes = new LinkedHashMap<>();
        int soils = 0;
        for (ReportedSoil soil : report.soils()) {
            List<String> analytes = soil.lines().stream()
                    .filter(applies)
                    .map(line -> line.analyte().name())
                    .toList();
            if (!analytes.isEmpty()) {
                soils++;
                soilsByAnalytes
                        .computeIfAbsent(String.join(", ", analytes), key -> new ArrayList<>())
                        .add(soil.soil().labNumber().text());
            }
        }
        List<HeldLine> lines = new ArrayList<>();
        boolean all = soils == report.soils().size() && soils > 1 && soilsByAnalytes.size() == 1;
        soilsByAnalytes.forEach((analytes, numbers) -> lines.add(new HeldLine(
                Glyphs.printable(analytes),
                all
                        ? List.of("all " + numbers.size() + " soils")
                        : numbers.stream().map(Glyphs::printable).toList())));
        return new Held(mark, Glyphs.printable(reason), lines);
    }

    private static List<String> cautions(boolean regulated, boolean advises) {
        List<String> cautions = new ArrayList<>();
        cautions.add(
                "Results relate to the items as received. Sampling, and whether a sample stands for its field, were "
                        + "the client's part.");
        cautions.add(
                "The bars show where a number lies between the two ends of its method's plain scale. The scale is no "
                        + "interpretation: it does not say what is low, high, or enough for any crop.");
        cautions.add((advises
                        ? "Advice in this report stands apart from its results and holds for the region it names. "
                        : "This report advises no rates. ")
                + "How much lime or fertiliser to use, if any, belongs to local "
                + "recommendations, the law of the place, and licensed or certified practice. Lime and fertiliser can "
                + "injure: read the product's label and safety sheet before handling.");
        cautions.add(
                "Numbers made by different methods or extractants are not exchangeable. Compare only like with like.");
        cautions.add(
                "± is the expanded uncertainty, about 95 % (coverage factor k = 2, larger where it rests on few readings),"
                        + " of the determination in the laboratory; it does not hold the uncertainty of sampling. < stands before a reporting limit,"
                        + " not before a result.");
        if (regulated) {
            cautions.add(
                    "This submission holds regulated soil. What is left of it is kept apart and destroyed under the "
                            + "laboratory's permit; it cannot be returned by ordinary post.");
        }
        cautions.add("This report may be copied in full only.");
        return cautions;
    }
}
