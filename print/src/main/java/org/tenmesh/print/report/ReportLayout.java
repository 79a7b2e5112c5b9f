package org.tenmesh.print.report;

import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Uncertainty;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.print.report.ReportSheet.AdviceText;
import org.tenmesh.print.report.ReportSheet.Changed;
import org.tenmesh.print.report.ReportSheet.Fact;
import org.tenmesh.print.report.ReportSheet.Held;
import org.tenmesh.print.report.ReportSheet.HeldLine;
import org.tenmesh.print.report.ReportSheet.Letterhead;
import org.tenmesh.print.report.ReportSheet.MethodText;
import org.tenmesh.print.report.ReportSheet.Signature;
import org.tenmesh.print.svg.Svg;

/** Lays out a client report: every word of its sheet, with its tables. */
record ReportLayout(ClientReport report, ReportCells cells, ReportTables tables, boolean blocks) {
    /** Changes named one by one; the rest is counted, and marked in the table. */
    private static final int CHANGES_NAMED = 240;

    /** Letterhead and facts of one line each, a further line of them, and the words on what a revision replaces, pt. */
    private static final double TOP_PT = 78;

    private static final double LINE_PT = 11.2;
    private static final double REPLACES_PT = 24;

    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMMM yyyy", Locale.ENGLISH);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("d MMMM yyyy, HH:mm", Locale.ENGLISH);

    /** @param digest empty for a preview */
    static ReportSheet sheet(ClientReport report, ReportForm form, Optional<String> digest) {
        ReportCells cells = ReportCells.of(report);
        Sheet sheet = Sheet.of(form.paper());
        // A single soil has no row to be compared with: its results stand down the page, each with its scale.
        boolean blocks = report.soils().size() == 1 || form.layout() == ReportForm.Layout.SOIL_PAGES;
        return new ReportLayout(report, cells, new ReportTables(cells, sheet), blocks)
                .sheet(sheet, form.layout() == ReportForm.Layout.SOIL_PAGES, digest);
    }

    private ReportSheet sheet(Sheet sheet, boolean pageForEachSoil, Optional<String> digest) {
        Submission submission = report.submission();
        Release release = report.release();
        ZoneId zone = zone(report.laboratory().zone());
        return new ReportSheet(
                sheet.css(),
                Glyphs.printable("Soil report " + submission.submission() + ", " + submission.client()),
                report.laboratory().invented(),
                digest.isEmpty(),
                new Letterhead(
                        Glyphs.printable(report.laboratory().name()),
                        report.laboratory()
                                .address()
                                .lines()
                                .map(Glyphs::printable)
                                .filter(line -> !line.isEmpty())
                                .collect(Collectors.joining(", ")),
                        Glyphs.printable(submission.client()),
                        contents(),
                        Glyphs.printable(submission.submission()),
                        "revision " + release.revision()),
                facts(zone, digest.isEmpty()),
                replaces(),
                unprintable(),
                pageForEachSoil,
                blocks ? tables.blocks(line -> !ReportCells.isAdvice(line.method())) : List.of(),
                blocks ? List.of() : tables.bands(line -> !ReportCells.isAdvice(line.method()), aboveFirst(sheet)),
                advice(),
                legend(),
                key(),
                held(),
                accepted(),
                changed(),
                report.methods().stream().map(this::method).toList(),
                about(),
                cautions(),
                new Signature(
                        Glyphs.printable(release.signedBy()), moment(release.signedAt(), zone), digest.orElse("")));
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

    private String contents() {
        int soils = report.soils().size();
        List<String> depths = report.soils().stream()
                .map(soil -> ReportCells.depth(soil.soil()))
                .distinct()
                .toList();
        return (soils == 1 ? "1 soil" : soils + " soils")
                + (depths.size() == 1 && !depths.get(0).isEmpty() ? ", " + depths.get(0) : "");
    }

    private List<Fact> facts(ZoneId zone, boolean preview) {
        Submission submission = report.submission();
        Release release = report.release();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("Received", DAY.format(submission.receivedAt().atZoneSameInstant(zone))));
        facts.add(new Fact(
                "Reported", preview ? "not yet" : DAY.format(release.signedAt().atZoneSameInstant(zone))));
        facts.add(new Fact(
                "Revision",
                release.revision() + (release.reason().isBlank() ? "" : ", " + Glyphs.printable(release.reason()))));
        facts.add(new Fact("Released by", preview ? "nobody yet" : Glyphs.printable(release.signedBy())));
        submission
                .packageName()
                .filter(name -> !name.isBlank())
                .ifPresent(name -> facts.add(new Fact("Package", Glyphs.printable(name))));
        return facts;
    }

    /** What stands above the table on the first page, pt. */
    private double aboveFirst(Sheet sheet) {
        double half = sheet.textPt() / 2;
        int laboratory = ColumnWidths.lines(
                report.laboratory().name() + " · "
                        + report.laboratory().address().replace('\n', ' '),
                8,
                false,
                half);
        int client = ColumnWidths.lines(report.submission().client(), 10, true, half);
        int reason = ColumnWidths.lines(report.release().reason(), 8, true, sheet.textPt() / 5 - 10);
        return TOP_PT
                + LINE_PT * (Math.max(laboratory, client) - 1 + reason - 1)
                + (report.release().revision() > 1 ? REPLACES_PT : 0)
                + (unprintable().isPresent() ? REPLACES_PT : 0);
    }

    private Optional<String> replaces() {
        int revision = report.release().revision();
        if (revision == 1) {
            return Optional.empty();
        }
        String changes = report.amendment()
                .map(amendment -> amendment.changes().size())
                .map(count -> count == 0
                        ? " No result has changed."
                        : count == 1
                                ? " One result has changed; it is marked r, and both values are listed below."
                                : " " + count
                                        + " results have changed; they are marked r, and both values are listed below.")
                .orElse("");
        return Optional.of("This revision replaces revision " + (revision - 1)
                + " of the same submission in full. Please mark or destroy earlier copies." + changes);
    }

    /** Nothing is lost in silence: where a name has characters that no shipped face has, the first page says so. */
    private Optional<String> unprintable() {
        return Unprintable.of(report).isEmpty()
                ? Optional.empty()
                : Optional.of(
                        "\u25a1 stands for a character of a name or label that this report cannot print. The tables of results"
                                + " that come with it (CSV, XLSX) give every name and label as it was written.");
    }

    private Optional<AdviceText> advice() {
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
                says, blocks ? tables.blocks(given) : List.of(), blocks ? List.of() : tables.bands(given, 0)));
    }

    /** What the marks and words in place of numbers mean: those that occur. */
    private List<String> legend() {
        List<String> legend = new ArrayList<>();
        if (cells.has(line -> !line.result().uncertainty().isEmpty())) {
            legend.add("±: expanded uncertainty, about 95 %, of the determination in the laboratory; sampling is not"
                    + " included");
        }
        if (cells.has(line -> ReportCells.isHeld(line.result()))) {
            legend.add("▲ with a letter: held back, for the reason that stands below under that letter");
        }
        if (report.amendment()
                .filter(amendment -> !amendment.changes().isEmpty())
                .isPresent()) {
            legend.add("r: changed since revision " + (report.release().revision() - 1));
        }
        if (cells.has(ReleasedCase.BELOW)) {
            legend.add("<: below the reporting limit that follows");
        }
        if (cells.has(ReleasedCase.ABOVE)) {
            legend.add(">: above what the method can state");
        }
        if (cells.has(ReleasedCase.SATURATED)) {
            legend.add((blocks ? "saturated" : "sat.") + ": more than the detector can measure");
        }
        if (cells.has(ReleasedCase.NOT_ENOUGH_SOIL)) {
            legend.add((blocks ? "not enough soil" : "too little") + ": not enough soil was sent for this portion");
        }
        if (cells.has(ReleasedCase.NUMBER_BELOW_STANDARDS)) {
            legend.add(ReportCells.BELOW_STANDARDS
                    + ": below the lowest standard that the instrument was calibrated with, extrapolated");
        }
        if (cells.has(ReleasedCase.NUMBER_AT_END)) {
            legend.add("± " + ReportCells.NOT_STATED + ": uncertainty " + Uncertainty.NOT_STATED);
        }
        boolean open = report.soils().stream()
                        .map(soil -> soil.lines().stream()
                                .map(line -> line.method().id() + "\n"
                                        + line.analyte().symbol())
                                .collect(Collectors.toSet()))
                        .distinct()
                        .count()
                > 1;
        if (open && !blocks) {
            legend.add("–: not asked for");
        }
        return legend;
    }

    /** The same in few words, for the foot of each page. */
    private String key() {
        List<String> key = new ArrayList<>();
        if (cells.has(line -> !line.result().uncertainty().isEmpty())) {
            key.add("± about 95 %");
        }
        if (cells.has(line -> ReportCells.isHeld(line.result()))) {
            key.add("▲ held back, reason at the end");
        }
        if (report.amendment()
                .filter(amendment -> !amendment.changes().isEmpty())
                .isPresent()) {
            key.add("r changed");
        }
        if (cells.has(ReleasedCase.BELOW)) {
            key.add("< below reporting limit");
        }
        if (cells.has(ReleasedCase.NUMBER_BELOW_STANDARDS)) {
            key.add("† extrapolated");
        }
        return String.join(" · ", key);
    }

    private MethodText method(Method method) {
        Method.Head head = method.head();
        // limits in one unit name it once
        Map<String, List<String>> reports = new LinkedHashMap<>();
        for (Analyte analyte : head.analytes()) {
            boolean given = cells.has(line ->
                    line.method().equals(method) && line.analyte().symbol().equals(analyte.symbol()));
            if (given && analyte.reportingLimit().isPresent()) {
                reports.computeIfAbsent(analyte.unit().spelling(), unit -> new ArrayList<>())
                        .add(Glyphs.printable(analyte.name()) + "\u00a0"
                                + Svg.figure(analyte.reportingLimit().getAsDouble(), 4));
            }
        }
        String how = Glyphs.printable(head.summary())
                + (method.isCalculated() ? " Calculated from other results of this report." : "")
                + (head.note().isBlank() ? "" : " " + Glyphs.printable(head.note()));
        return new MethodText(
                cells.number(method),
                Glyphs.printable(head.title()),
                "version of " + DAY.format(head.version()),
                how,
                reports.isEmpty()
                        ? "none"
                        : reports.entrySet().stream()
                                .map(its -> (its.getKey().isEmpty() ? "" : its.getKey() + ": ")
                                        + String.join(", ", its.getValue()))
                                .collect(Collectors.joining("; ")));
    }

    private List<Held> held() {
        List<Held> held = new ArrayList<>();
        cells.letters()
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
        Map<String, List<Integer>> soilsByAnalytes = new LinkedHashMap<>();
        for (int place = 0; place < report.soils().size(); place++) {
            List<String> analytes = report.soils().get(place).lines().stream()
                    .filter(applies)
                    .map(line -> line.analyte().name())
                    .toList();
            if (!analytes.isEmpty()) {
                soilsByAnalytes
                        .computeIfAbsent(String.join(", ", analytes), key -> new ArrayList<>())
                        .add(place);
            }
        }
        List<HeldLine> lines = new ArrayList<>();
        soilsByAnalytes.forEach(
                (analytes, places) -> lines.add(new HeldLine(Glyphs.printable(analytes), which(places))));
        return new Held(mark, sentence(Glyphs.printable(reason)), lines);
    }

    /** Soils by their places in the report, neighbours of the report taken together. */
    private List<String> which(List<Integer> places) {
        int soils = report.soils().size();
        if (places.size() == soils && soils > 1) {
            return List.of("all " + soils + " soils");
        }
        List<String> which = new ArrayList<>();
        int from = 0;
        while (from < places.size()) {
            int to = from;
            while (to + 1 < places.size() && places.get(to + 1) == places.get(to) + 1) {
                to++;
            }
            if (to - from >= 2) {
                which.add(labNumber(places.get(from)) + " to " + labNumber(places.get(to)) + " (" + (to - from + 1)
                        + " soils)");
                from = to + 1;
            } else {
                which.add(labNumber(places.get(from)));
                from++;
            }
        }
        return which;
    }

    private String labNumber(int place) {
        return Glyphs.printable(report.soils().get(place).soil().labNumber().text());
    }

    private static String sentence(String text) {
        return text.isEmpty() ? text : text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
    }

    /** What a revision says otherwise than the one before it, by result and soil. */
    private List<Changed> changed() {
        List<Amendment.Change> changes =
                report.amendment().map(Amendment::changes).orElse(List.of());
        Map<String, List<String>> byResult = new LinkedHashMap<>();
        changes.stream()
                .limit(CHANGES_NAMED)
                .forEach(change -> byResult.computeIfAbsent(what(change), key -> new ArrayList<>())
                        .add(Glyphs.printable(change.labNumber().text() + " was " + said(change.was(), "not reported")
                                + ", now " + said(change.is(), "held back"))));
        List<Changed> changed = new ArrayList<>();
        byResult.forEach((what, soils) -> changed.add(new Changed(what, soils)));
        int more = changes.size() - CHANGES_NAMED;
        if (more > 0) {
            changed.add(new Changed(
                    "and " + more + (more == 1 ? " more result" : " more results"),
                    List.of("marked r in the table; the file of this report names each with its value before")));
        }
        return changed;
    }

    private static String said(String text, String otherwise) {
        return text.isEmpty() ? otherwise : text;
    }

    private String what(Amendment.Change change) {
        for (Method method : report.methods()) {
            if (method.id().equals(change.method())) {
                Optional<Analyte> analyte = method.analyte(change.analyte());
                if (analyte.isPresent()) {
                    String unit = analyte.get().unit().spelling();
                    return Glyphs.printable(analyte.get().name()) + (unit.isEmpty() ? "" : ", " + unit) + " ("
                            + cells.number(method) + ")";
                }
            }
        }
        return Glyphs.printable(change.analyte());
    }

    /** What else was said of the submission. */
    private List<Fact> about() {
        Submission submission = report.submission();
        List<Fact> about = new ArrayList<>();
        report.pasteWater().ifPresent(water -> about.add(new Fact("Paste water", Glyphs.printable(water))));
        String origin = submission.originRegion().map(region -> region + ", ").orElse("")
                + submission.originCountry().orElse("");
        if (!origin.isBlank()) {
            about.add(new Fact("Origin stated", Glyphs.printable(origin.replaceAll(", $", ""))));
        }
        submission
                .note()
                .filter(note -> !note.isBlank())
                .ifPresent(note -> about.add(new Fact("Client's note", Glyphs.printable(note))));
        return about;
    }

    private List<String> cautions() {
        boolean regulated =
                report.soils().stream().anyMatch(soil -> soil.soil().regulated().orElse(false));
        boolean advises = cells.has(line -> ReportCells.isAdvice(line.method()));
        List<String> cautions = new ArrayList<>();
        cautions.add(
                "Results relate to the items as received. Sampling, and whether a sample represents its field, are the"
                        + " client's responsibility. Results of different methods or extractants are not exchangeable: compare only"
                        + " like with like. ± has a coverage factor of k = 2, or larger where it rests on few readings."
                        + (blocks
                                ? " The scale places a result between two plain ends; it is no rating and does not say what is low,"
                                        + " high, or enough for any crop."
                                : "")
                        + " This report may be copied in full only.");
        cautions.add((advises
                        ? "Advice in this report stands apart from its results and holds for the region it names. "
                        : "This report advises no rates. ")
                + "How much lime or fertiliser to use, if any, belongs to local recommendations, the law of the place, and"
                + " licensed or certified practice. Lime and fertiliser can injure: read the product's label and safety"
                + " sheet before handling.");
        if (regulated) {
            cautions.add(
                    "This submission contains regulated soil. What is left of it is kept apart and destroyed under the"
                            + " laboratory's permit; it cannot be returned by ordinary post.");
        }
        return cautions;
    }
}
