package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.ReadRun;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.cards.MeasureFigure;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/**
 * One run: one analyte along it, its facts, its calibration and its positions.
 *
 * @param choices every analyte that was read, the chosen one among them
 * @param other the same picture over positions instead of time, or over time instead of positions
 * @param parts of a long run, of which one is drawn at a time; empty for a run that is drawn whole
 * @param page of the table, from 1
 */
public record RunView(
        String run,
        String heading,
        String lead,
        List<Fact> facts,
        List<Choice> choices,
        Choice other,
        List<Choice> parts,
        RunPlot plot,
        List<CalibrationPlot> calibrations,
        List<CauseCard> causes,
        List<Row> rows,
        int page,
        int pages) {

    private static final int PER_PAGE = 120;
    private static final int PER_PICTURE = 800;

    /** One way to look at the run; the verdict is the worst of what it would show. */
    public record Choice(String symbol, String name, String href, boolean chosen, Verdict verdict) {}

    /** One card of facts. */
    public record Fact(String title, boolean open, List<String> says) {}

    /**
     * One position.
     *
     * @param href where its identity leads; empty text when nowhere
     * @param summary what it gave, in a few words
     */
    public record Row(
            int position,
            String time,
            String role,
            String identity,
            String href,
            String tray,
            String trayHref,
            String channel,
            String dilution,
            String summary,
            Verdict verdict) {}

    /** One line of the list of runs. */
    public record Line(
            String run,
            String method,
            String instrument,
            String operator,
            String began,
            int soils,
            String gates,
            boolean open,
            int fit,
            int hold,
            int redo) {}

    static List<Line> list(Desk desk) {
        Map<String, int[]> counts = new HashMap<>();
        for (Result result : desk.ruled().results()) {
            counts.computeIfAbsent(result.run(), k -> new int[3])[
                    result.verdict().ordinal()]++;
        }
        List<Line> lines = new ArrayList<>();
        desk.day().runs().stream()
                .sorted((a, b) -> b.startedAt().compareTo(a.startedAt()))
                .forEach(run -> {
                    int[] n = counts.getOrDefault(run.run(), new int[3]);
                    List<GateOutcome> gates = desk.gates(run.run());
                    lines.add(new Line(
                            run.run(),
                            desk.methodTitle(run.method()),
                            run.instrument(),
                            run.operator().orElse(""),
                            Words.time(run.startedAt(), desk.zone(), desk.day().date()),
                            desk.positions(run).count(Role.SAMPLE),
                            Pictures.gates(run.instrument(), gates),
                            !gates.isEmpty() && gates.stream().allMatch(GateOutcome::open),
                            n[0],
                            n[1],
                            n[2]));
                });
        return lines;
    }

    public static RunView of(Desk desk, Run run, boolean sealed, int page, String wanted, boolean byTime, int part) {
        RunPositions sheet = desk.positions(run);
        List<Result> results = desk.resultsOf(run);
        Map<Integer, List<Result>> byPosition = new HashMap<>();
        results.forEach(r ->
                byPosition.computeIfAbsent(r.position(), k -> new ArrayList<>()).add(r));
        List<ControlValue> controls = desk.judged().controlValues().stream()
                .filter(c -> c.run().equals(run.run()))
                .toList();
        List<CauseCard> causes = desk.judged().causes().stream()
                .filter(c -> c.runs().contains(run.run()))
                .map(c -> CauseCard.of(desk, c))
                .toList();
        Optional<ReadRun> read = desk.read(run);
        Set<String> symbols = new LinkedHashSet<>();
        results.forEach(result -> symbols.add(result.analyte()));
        read.ifPresent(one -> one.reduced().determinations().forEach(d -> symbols.add(d.analyte())));
        List<Analyte> analytes = desk.methodOf(run).map(method -> method.head().analytes()).orElse(List.of()).stream()
                .filter(one -> symbols.contains(one.symbol()))
                .toList();
        Optional<Analyte> chosen = chosen(desk, run, analytes, wanted);
        String symbol = chosen.map(Analyte::symbol).orElse("");
        int perPage = page == 0 ? Math.max(1, sheet.positions().size()) : PER_PAGE;
        int pages = Math.max(1, (sheet.positions().size() + perPage - 1) / perPage);
        int shown = Math.min(Math.max(1, page), pages);
        List<Row> rows = new ArrayList<>();
        for (RunPositions.Position p : sheet.positions()
                .subList(
                        (shown - 1) * perPage,
                        Math.min(shown * perPage, sheet.positions().size()))) {
            String gave = read.isPresent() && chosen.isPresent() ? gave(read.get(), chosen.get(), p.position()) : "";
            rows.add(row(desk, p, byPosition.getOrDefault(p.position(), List.of()), controls, sealed, gave));
        }
        String operator = run.operator().map(o -> ", by " + o).orElse("");
        return new RunView(
                run.run(),
                desk.methodTitle(run.method()) + " on " + run.instrument() + ", run " + run.run(),
                "Began " + Words.time(run.startedAt(), desk.zone(), desk.day().date()) + operator + ", "
                        + Words.of(sheet.positions().size(), "position") + ", "
                        + Words.of(sheet.count(Role.SAMPLE), "lab number") + ", method version "
                        + desk.methodOf(run)
                                .map(m -> m.head().version().toString())
                                .orElse("not known"),
                facts(desk, run, sheet, controls, sealed),
                choices(desk, run, analytes, chosen, byTime),
                new Choice(symbol, byTime ? "by position" : "by time", href(run, symbol, !byTime), false, Verdict.FIT),
                parts(run, sheet, symbol, byTime, part),
                chosen.map(one -> RunPlot.of(desk, run, read, one, byTime, sealed, part(sheet, part)))
                        .orElse(new RunPlot("", List.of("Nothing was read that the method can make a number of."))),
                read.isPresent() && chosen.isPresent() ? CalibrationPlot.of(read.get(), chosen.get()) : List.of(),
                causes,
                rows,
                shown,
                pages);
    }

    private static List<Fact> facts(
            Desk desk, Run run, RunPositions sheet, List<ControlValue> controls, boolean sealed) {
        List<Fact> facts = new ArrayList<>();
        Map<Gate, Integer> counts = Map.of(
                Gate.CALIBRATION, sheet.count(Role.STANDARD),
                Gate.KNOWN_SOLUTIONS, sheet.count(Role.VERIFICATION),
                Gate.BLANK, sheet.count(Role.BLANK),
                Gate.OWN_CONTROL, sheet.count(Role.CONTROL));
        Map<Gate, String> words = Map.of(
                Gate.CALIBRATION, "position of standards",
                Gate.KNOWN_SOLUTIONS, "position of check solutions",
                Gate.BLANK, "position of blanks",
                Gate.OWN_CONTROL, "position of open controls");
        for (Gate gate : Gate.values()) {
            List<GateOutcome> outcomes =
                    desk.gates(run.run()).stream().filter(g -> g.gate() == gate).toList();
            List<String> says = new ArrayList<>();
            int n = counts.getOrDefault(gate, 0);
            String word = words.getOrDefault(gate, "");
            if (n == 0 && outcomes.isEmpty()) {
                continue;
            }
            if (!word.isEmpty()) {
                says.add(Words.of(n, word, word.replaceFirst("position", "positions")));
            }
            for (GateOutcome outcome : outcomes) {
                says.add(outcome.observed() + "; expected " + outcome.limit());
            }
            if (gate == Gate.OWN_CONTROL && sealed) {
                long hidden = controls.stream()
                        .filter(ControlValue::hidden)
                        .map(ControlValue::position)
                        .distinct()
                        .count();
                double worst = controls.stream()
                        .mapToDouble(c -> Math.abs(c.z()))
                        .max()
                        .orElse(0);
                says.add(Words.of(hidden, "hidden control") + ", largest deviation "
                        + String.format(java.util.Locale.ROOT, "%.1f", worst) + " standard deviations");
            }
            facts.add(new Fact(Words.sentence(gate.phrase()), outcomes.stream().allMatch(GateOutcome::open), says));
        }
        return facts;
    }

    private static Row row(
            Desk desk,
            RunPositions.Position p,
            List<Result> results,
            List<ControlValue> controls,
            boolean sealed,
            String gave) {
        boolean lab = p.role() == Role.SAMPLE || p.role() == Role.DUPLICATE;
        Optional<Desk.Place> place = lab ? desk.place(new LabNumber(p.identity())) : Optional.empty();
        Verdict worst = Verdict.FIT;
        List<String> wrong = new ArrayList<>();
        Set<String> accepted = new LinkedHashSet<>();
        for (Result result : results) {
            worst = worst.or(result.verdict());
            if (result.verdict() != Verdict.FIT) {
                wrong.add(result.analyte());
            }
            desk.acceptances()
                    .of(result)
                    .forEach(who -> accepted.add("accepted by " + who.actor() + ", " + who.reason()));
        }
        String summary = results.size() == 1 || results.size() == 2
                ? String.join(
                        ", ",
                        results.stream()
                                .map(r -> r.analyte() + " " + (r.reported().isEmpty() ? "no number" : r.reported()))
                                .toList())
                : wrong.isEmpty()
                        ? (results.isEmpty() ? "" : Words.of(results.size(), "result"))
                        : String.join(", ", wrong);
        if (!accepted.isEmpty()) {
            summary += (summary.isEmpty() ? "" : "; ") + String.join("; ", accepted);
        }
        if (!lab) {
            summary = gave;
            worst = gave.endsWith(": outside") ? Verdict.HOLD : Verdict.FIT;
        }
        if (p.role() == Role.CONTROL && summary.isEmpty()) {
            summary = controlSummary(controls, p.position());
            worst = controls.stream()
                            .anyMatch(c ->
                                    c.position() == p.position() && !c.rules().isEmpty())
                    ? Verdict.HOLD
                    : Verdict.FIT;
        }
        String role = p.role().word().equals("sample") ? "soil" : p.role().word();
        if (sealed && lab && desk.hiddenControl(new LabNumber(p.identity()))) {
            role = "hidden control, " + desk.day().controls().get(new LabNumber(p.identity()));
            String said = controlSummary(controls, p.position());
            summary += summary.isEmpty() || said.isEmpty() ? said : ", " + said;
        }
        return new Row(
                p.position(),
                Words.second(p.at(), desk.zone()),
                role,
                p.identity(),
                lab ? "/soils/" + Words.part(p.identity()) : "",
                place.map(at -> at.tray().tray() + " " + at.well()).orElse(""),
                place.map(at -> "/trays/" + Words.part(at.tray().tray())).orElse(""),
                p.channel(),
                p.dilution() > 1 ? "× " + Words.plain(p.dilution()) : "",
                summary,
                worst);
    }

    /** How far a control soil was off, for those who may know that it is one. */
    private static String controlSummary(List<ControlValue> controls, int position) {
        return controls.stream()
                .filter(c -> c.position() == position)
                .max(java.util.Comparator.comparingDouble(c -> Math.abs(c.z())))
                .map(c -> c.analyte() + " z "
                        + String.format(java.util.Locale.ROOT, "%+.1f", c.z()).replace('-', '−'))
                .orElse("");
    }

    private static List<RunPositions.Position> part(RunPositions sheet, int part) {
        int all = sheet.positions().size();
        int from = Math.min(Math.max(0, part - 1), Math.max(0, (all - 1) / PER_PICTURE)) * PER_PICTURE;
        return sheet.positions().subList(from, Math.min(all, from + PER_PICTURE));
    }

    private static List<Choice> parts(Run run, RunPositions sheet, String symbol, boolean byTime, int part) {
        List<Choice> parts = new ArrayList<>();
        int all = sheet.positions().size();
        for (int one = 1; all > PER_PICTURE && (one - 1) * PER_PICTURE < all; one++) {
            List<RunPositions.Position> its = part(sheet, one);
            parts.add(new Choice(
                    Integer.toString(one),
                    "positions " + its.get(0).position() + " to "
                            + its.get(its.size() - 1).position(),
                    href(run, symbol, byTime) + "&part=" + one,
                    one == Math.max(1, part),
                    Verdict.FIT));
        }
        return parts;
    }

    // What a cause of this run is about comes first; otherwise what the method reports first.
    private static Optional<Analyte> chosen(Desk desk, Run run, List<Analyte> read, String wanted) {
        Optional<Analyte> asked =
                read.stream().filter(one -> one.symbol().equals(wanted)).findFirst();
        if (asked.isPresent()) {
            return asked;
        }
        for (Cause cause : desk.judged().causes()) {
            for (Stretch one : cause.stretches()) {
                if (one.run().equals(run.run())
                        && one.verdict() != Verdict.FIT
                        && !one.analytes().isEmpty()) {
                    String symbol = one.measures().stream()
                            .map(Measure::analyte)
                            .filter(its -> !its.isEmpty())
                            .findFirst()
                            .orElse(one.analytes().get(0));
                    Optional<Analyte> found = read.stream()
                            .filter(its -> its.symbol().equals(symbol))
                            .findFirst();
                    if (found.isPresent()) {
                        return found;
                    }
                }
            }
        }
        return read.stream().findFirst();
    }

    private static List<Choice> choices(
            Desk desk, Run run, List<Analyte> read, Optional<Analyte> chosen, boolean byTime) {
        List<Choice> choices = new ArrayList<>();
        for (Analyte one : read) {
            Verdict verdict = Verdict.FIT;
            for (Cause cause : desk.judged().causes()) {
                boolean accepted = desk.acceptances().of(cause.id()).isPresent();
                for (Stretch stretch : cause.stretches()) {
                    if (!accepted
                            && stretch.run().equals(run.run())
                            && stretch.analytes().contains(one.symbol())) {
                        verdict = verdict.or(stretch.verdict());
                    }
                }
            }
            choices.add(new Choice(
                    one.symbol(),
                    one.name(),
                    href(run, one.symbol(), byTime),
                    chosen.filter(its -> its.equals(one)).isPresent(),
                    verdict));
        }
        return choices;
    }

    private static String href(Run run, String symbol, boolean byTime) {
        return "/runs/" + Words.part(run.run()) + "?of=" + Words.part(symbol) + (byTime ? "&by=time" : "");
    }

    // What a standard, a check solution or a blank gave of the chosen analyte.
    private static String gave(ReadRun read, Analyte analyte, int position) {
        for (Measure one : read.measures()) {
            if (one.position() == position && one.analyte().equals(analyte.symbol())) {
                String allowed = MeasureFigure.allowed(one);
                return analyte.symbol() + " " + MeasureFigure.found(one) + (allowed.isEmpty() ? "" : ", " + allowed)
                        + (one.isOutside() ? ": outside" : "");
            }
        }
        for (Reduced.CalibrationOutcome outcome : read.reduced().calibrations()) {
            for (Reduced.CalibrationOutcome.Point point : outcome.points()) {
                if (point.position() == position && outcome.analyte().equals(analyte.symbol())) {
                    return analyte.symbol() + " label " + Significant.text(point.value(), 4) + ", signal "
                            + Svg.figure(point.signal(), 5);
                }
            }
        }
        return "";
    }
}
