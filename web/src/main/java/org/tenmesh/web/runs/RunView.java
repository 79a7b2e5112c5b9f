package org.tenmesh.web.runs;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.QuantityMatch;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.print.drawings.LinesDrawing;
import org.tenmesh.print.drawings.StripDrawing;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/**
 * One run: its strip, its facts, its lines and its positions.
 *
 * @param page of the table, from 1
 */
public record RunView(
        String run,
        String heading,
        String lead,
        List<Fact> facts,
        String strip,
        String legend,
        String lines,
        List<CauseCard> causes,
        List<Row> rows,
        int page,
        int pages) {

    private static final int PER_PAGE = 120;

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
                            Words.time(run.startedAt(), desk.zone()),
                            desk.positions(run).count(Role.SAMPLE),
                            Pictures.gates(run.instrument(), gates),
                            !gates.isEmpty() && gates.stream().allMatch(GateOutcome::open),
                            n[0],
                            n[1],
                            n[2]));
                });
        return lines;
    }

    public static RunView of(Desk desk, Run run, boolean sealed, int page) {
        RunPositions sheet = desk.positions(run);
        List<Result> results = desk.ruled().results().stream()
                .filter(r -> r.run().equals(run.run()))
                .toList();
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
        int pages = Math.max(1, (sheet.positions().size() + PER_PAGE - 1) / PER_PAGE);
        int shown = Math.min(Math.max(1, page), pages);
        List<Row> rows = new ArrayList<>();
        for (RunPositions.Position p : sheet.positions()
                .subList(
                        (shown - 1) * PER_PAGE,
                        Math.min(shown * PER_PAGE, sheet.positions().size()))) {
            rows.add(row(desk, run, p, byPosition.getOrDefault(p.position(), List.of()), controls, sealed));
        }
        String operator = run.operator().map(o -> ", by " + o).orElse("");
        return new RunView(
                run.run(),
                desk.methodTitle(run.method()) + " on " + run.instrument() + ", run " + run.run(),
                "Began " + Words.time(run.startedAt(), desk.zone()) + operator + ", "
                        + Words.of(sheet.positions().size(), "position") + ", "
                        + Words.of(sheet.count(Role.SAMPLE), "lab number") + ", method version "
                        + desk.methodOf(run)
                                .map(m -> m.head().version().toString())
                                .orElse("not known"),
                facts(desk, run, sheet, controls, sealed),
                strip(desk, run, sheet, byPosition, controls, sealed),
                StripDrawing.legend(sealed, Palette.SCREEN),
                lines(desk, run, sheet),
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
            Run run,
            RunPositions.Position p,
            List<Result> results,
            List<ControlValue> controls,
            boolean sealed) {
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
        if (p.role() == Role.CONTROL) {
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

    private static String strip(
            Desk desk,
            Run run,
            RunPositions sheet,
            Map<Integer, List<Result>> byPosition,
            List<ControlValue> controls,
            boolean sealed) {
        double highest = sheet.positions().stream()
                .mapToDouble(p -> Math.abs(p.signal()))
                .max()
                .orElse(1);
        // A second portion stands where the first one does: its own number shows in the verdict, not in the drawing.
        Map<String, Result> byIdentity = new HashMap<>();
        byPosition
                .values()
                .forEach(list -> byIdentity.putIfAbsent(list.get(0).labNumber().text(), list.get(0)));
        Map<Integer, Verdict> controlVerdicts = new HashMap<>();
        controls.forEach(c ->
                controlVerdicts.merge(c.position(), c.rules().isEmpty() ? Verdict.FIT : Verdict.HOLD, Verdict::or));
        List<StripDrawing.Position> positions = new ArrayList<>();
        List<StripDrawing.TrayStretch> stretches = new ArrayList<>();
        String tray = "";
        int from = 0;
        int to = 0;
        for (RunPositions.Position p : sheet.positions()) {
            boolean lab = p.role() == Role.SAMPLE || p.role() == Role.DUPLICATE;
            boolean hidden = lab && desk.hiddenControl(new LabNumber(p.identity()));
            List<Result> results = byPosition.getOrDefault(p.position(), List.of());
            Verdict worst = results.stream().map(Result::verdict).reduce(Verdict.FIT, Verdict::or);
            if (sealed && hidden || p.role() == Role.CONTROL) {
                worst = worst.or(controlVerdicts.getOrDefault(p.position(), Verdict.FIT));
            }
            Optional<Result> drawn =
                    results.isEmpty() ? Optional.ofNullable(byIdentity.get(p.identity())) : Optional.of(results.get(0));
            OptionalDouble share = drawn.map(result -> share(desk, result))
                    .orElseGet(() -> OptionalDouble.of(Math.abs(p.signal()) / Math.max(highest, 1e-12)));
            positions.add(new StripDrawing.Position(
                    p.position(),
                    switch (p.role()) {
                        case STANDARD -> StripDrawing.Kind.STANDARD;
                        case VERIFICATION -> StripDrawing.Kind.KNOWN_SOLUTION;
                        case BLANK -> StripDrawing.Kind.BLANK;
                        case CONTROL -> StripDrawing.Kind.OPEN_CONTROL;
                        case WASH -> StripDrawing.Kind.WASH;
                        case SAMPLE, DUPLICATE -> hidden ? StripDrawing.Kind.HIDDEN_CONTROL : StripDrawing.Kind.SOIL;
                    },
                    share,
                    worst,
                    p.identity()));
            if (lab) {
                String here = desk.place(new LabNumber(p.identity()))
                        .map(at -> at.tray().tray())
                        .orElse("");
                if (!here.equals(tray)) {
                    if (!tray.isEmpty()) {
                        stretches.add(new StripDrawing.TrayStretch(tray, from, to));
                    }
                    tray = here;
                    from = p.position();
                }
                to = p.position();
            }
        }
        if (!tray.isEmpty()) {
            stretches.add(new StripDrawing.TrayStretch(tray, from, to));
        }
        List<StripDrawing.Bracket> brackets = new ArrayList<>();
        for (Cause cause : desk.judged().causes()) {
            for (Stretch one : cause.stretches()) {
                if (one.run().equals(run.run()) && one.firstPosition() > 0) {
                    boolean all = one.analytes().size() > 4;
                    Optional<Acted> accepted = desk.acceptances().of(cause.id());
                    brackets.add(new StripDrawing.Bracket(
                            one.firstPosition(),
                            Math.max(one.firstPosition(), one.lastPosition()),
                            accepted.isPresent() ? Verdict.FIT : one.verdict(),
                            cause.kind().phrase() + ", "
                                    + accepted.map(who -> "accepted by " + who.actor() + " ("
                                                    + Words.shortened(who.reason(), 40) + "),")
                                            .orElse(one.verdict().word())
                                    + " "
                                    + (all ? Words.of(one.analytes().size(), "result") : Words.and(one.analytes()))));
                }
            }
        }
        return StripDrawing.of(
                new StripDrawing.Strip(
                        desk.methodTitle(run.method()) + " on " + run.instrument() + ", run " + run.run(),
                        positions,
                        brackets.subList(0, Math.min(6, brackets.size())),
                        stretches,
                        sealed),
                1240,
                Palette.SCREEN);
    }

    private static OptionalDouble share(Desk desk, Result result) {
        double raw = result.amount().raw();
        Optional<Analyte> analyte = desk.analyte(result.method(), result.analyte());
        if (Double.isNaN(raw) || analyte.isEmpty()) {
            return OptionalDouble.empty();
        }
        Analyte known = analyte.get();
        return OptionalDouble.of((raw - known.scaleLow()) / (known.scaleHigh() - known.scaleLow()));
    }

    /** Raw signals of the check solutions along a run of extracts, % of the first; empty text for other methods. */
    private static String lines(Desk desk, Run run, RunPositions sheet) {
        Method method = desk.methodOf(run).orElse(null);
        Optional<Extraction> extract = method == null ? Optional.empty() : method.extract();
        if (method == null || extract.isEmpty()) {
            return "";
        }
        // Under the method's names, whatever the export called its lines.
        Readings readings = QuantityMatch.of(method, run.readings()).readings();
        Map<Integer, Double> internal = new HashMap<>();
        method.internalStandard().ifPresent(line -> {
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) == Role.VERIFICATION
                        && readings.quantity(i).equals(line)) {
                    internal.put(readings.position(i), readings.value(i));
                }
            }
        });
        double tolerance = extract.get().verificationTolerancePct();
        List<LinesDrawing.Line> lines = new ArrayList<>();
        for (Extraction.Line line : method.lines()) {
            if (!line.preferred()) {
                continue;
            }
            Map<String, Double> first = new LinkedHashMap<>();
            List<LinesDrawing.Check> checks = new ArrayList<>();
            double worst = 0;
            for (int i = 0; i < readings.size(); i++) {
                if (readings.role(i) != Role.VERIFICATION
                        || !readings.quantity(i).equals(line.quantity())) {
                    continue;
                }
                double against = internal.getOrDefault(readings.position(i), 1.0);
                double signal = readings.value(i) / (against > 0 ? against : 1);
                double start = first.computeIfAbsent(readings.identity(i), k -> signal);
                if (start <= 0) {
                    continue;
                }
                double percent = 100 * signal / start;
                boolean outside = Math.abs(percent - 100) > tolerance;
                worst = Math.abs(percent - 100) > Math.abs(worst) ? percent - 100 : worst;
                checks.add(new LinesDrawing.Check(readings.position(i), percent, outside ? Verdict.REDO : Verdict.FIT));
            }
            if (checks.size() < 2) {
                continue;
            }
            boolean bad = Math.abs(worst) > tolerance;
            lines.add(new LinesDrawing.Line(
                    line.element(),
                    checks,
                    100 - tolerance,
                    100 + tolerance,
                    bad ? Verdict.REDO : Verdict.FIT,
                    bad
                            ? (worst < 0 ? "fell " : "rose ") + Math.round(Math.abs(worst)) + " %"
                            : "within " + Words.plain(tolerance) + " %"));
        }
        if (lines.isEmpty()) {
            return "";
        }
        lines.sort((a, b) -> b.verdict().compareTo(a.verdict()));
        return LinesDrawing.of(
                "Check solutions along the run, raw signal",
                lines,
                sheet.positions().isEmpty()
                        ? 1
                        : sheet.positions().get(sheet.positions().size() - 1).position(),
                1240,
                Palette.SCREEN);
    }
}
