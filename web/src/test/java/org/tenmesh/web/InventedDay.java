package org.tenmesh.web;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * A made-up day for page tests: its verdicts are set by hand, so that a page is tested and not the judge. Tray 3 waits for
 * its last method, tray 1 drifted, the last run's gate is shut.
 */
record InventedDay(Day day, JudgedDay judged) {
    static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    static final OffsetDateTime MORNING = OffsetDateTime.parse("2026-11-25T07:30:00+00:00");
    static final String DRIFT = "drift@mehlich-1#00000000d1";
    static final String EVIDENCE = "e".repeat(64);
    static final String GATE = "calibration-rejected@mehlich-2#00000000c1";
    private static final String[] CLIENTS = {
        "Furrow & Field (invented)", "Hollow Lane Farm (invented)", "Tern Bay Growers (invented)"
    };

    static InventedDay of(int soils, MethodBook methods) {
        Layout.Plan plan = Layout.plan(
                soils, List.of("loam", "sand"), new Layout.Start(DATE, 1, 1), new Layout.Rules(12, 24, 24), 5);
        List<Submission> submissions = new ArrayList<>();
        List<Soil> all = new ArrayList<>();
        int perBox = 14;
        for (int i = 0; i < plan.soils().size(); i++) {
            String submission = String.format("SUB-%04d", 2201 + i / perBox);
            if (i % perBox == 0) {
                int n = i / perBox;
                submissions.add(MadeSubmission.named(submission)
                        .client(CLIENTS[n % CLIENTS.length])
                        .receivedAt(MORNING.minusDays(2))
                        .promisedOn(DATE.plusDays(n % 5 == 4 ? 1 : n % 7 == 6 ? -1 : 0))
                        .from("IE")
                        .asking("standard")
                        .submission());
            }
            all.add(MadeSoil.numbered(plan.soils().get(i))
                    .regulated(false)
                    .of(submission, i % perBox + 1)
                    .labelled("field " + (i % perBox + 1))
                    .topCm(0)
                    .bottomCm(15)
                    .soil());
        }
        plan.controls()
                .keySet()
                .forEach(l -> all.add(MadeSoil.numbered(l).regulated(false).soil()));
        all.sort((a, b) -> a.labNumber().compareTo(b.labNumber()));
        return judged(submissions, all, plan.trays(), plan.controls(), methods);
    }

    /** The same day in a laboratory that asks for this where a failure is accepted. */
    InventedDay with(AcceptedFailures asked) {
        Laboratory its = day.laboratory();
        return new InventedDay(
                MadeDay.like(day)
                        .laboratory(
                                MadeLaboratory.like(its).acceptedFailures(asked).laboratory())
                        .day(),
                judged);
    }

    /** The same day in a laboratory whose reports have these forms. */
    InventedDay with(ReportForms forms) {
        Laboratory its = day.laboratory();
        return new InventedDay(
                MadeDay.like(day)
                        .laboratory(MadeLaboratory.like(its).reports(forms).laboratory())
                        .day(),
                judged);
    }

    /** The same day with a control and a soil of the client's exchanged. */
    InventedDay exchanged(LabNumber control, LabNumber soil, MethodBook methods) {
        Map<LabNumber, String> controls = new LinkedHashMap<>(day.controls());
        String material = controls.remove(control);
        controls.put(soil, material == null ? "loam" : material);
        List<Soil> soils = new ArrayList<>();
        Map<LabNumber, Soil> byNumber = new HashMap<>();
        day.soils().forEach(s -> byNumber.put(s.labNumber(), s));
        for (Soil one : day.soils()) {
            Soil like = byNumber.getOrDefault(
                    one.labNumber().equals(control) ? soil : one.labNumber().equals(soil) ? control : one.labNumber(),
                    one);
            soils.add(MadeSoil.numbered(one.labNumber(), like).soil());
        }
        return judged(day.submissions(), soils, day.trays(), controls, methods);
    }

    /** The same day with its hidden controls in a submission of their own, as soils of an invented client. */
    InventedDay withControlsAsSoils(MethodBook methods) {
        String own = String.format("SUB-%04d", 2201 + day.submissions().size());
        List<Submission> submissions = new ArrayList<>(day.submissions());
        submissions.add(MadeSubmission.named(own)
                .client("Heron Field Dairy (invented)")
                .receivedAt(MORNING.minusDays(2))
                .promisedOn(DATE.plusDays(1))
                .from("IE")
                .asking("standard")
                .submission());
        List<Soil> soils = new ArrayList<>();
        int ordinal = 0;
        for (Soil one : day.soils()) {
            soils.add(
                    day.controls().containsKey(one.labNumber())
                            ? MadeSoil.like(one)
                                    .of(own, ++ordinal)
                                    .labelled("field " + ordinal)
                                    .topCm(0)
                                    .bottomCm(15)
                                    .soil()
                            : one);
        }
        return judged(submissions, soils, day.trays(), day.controls(), methods);
    }

    /** The same day of which the key alone says that the other one of two lab numbers is the control. */
    InventedDay withKeyExchanged(LabNumber control, LabNumber soil, MethodBook methods) {
        Map<LabNumber, String> controls = new LinkedHashMap<>(day.controls());
        String material = controls.remove(control);
        controls.put(soil, material == null ? "loam" : material);
        return judged(day.submissions(), day.soils(), day.trays(), controls, methods);
    }

    private static InventedDay judged(
            List<Submission> submissions,
            List<Soil> soils,
            List<Tray> trays,
            Map<LabNumber, String> controls,
            MethodBook methods) {
        List<Run> runs = new ArrayList<>();
        List<Result> results = new ArrayList<>();
        List<GateOutcome> gates = new ArrayList<>();
        List<ControlValue> values = new ArrayList<>();
        int half = Math.max(1, trays.size() / 2);
        run("ph-1", "pH robot 1", "ph-water-1-1", trays, methods, controls, runs, results, gates, values);
        run("loss-1", "balance 1", "om-loi-360", trays, methods, controls, runs, results, gates, values);
        run(
                "mehlich-1",
                "plasma 1",
                "mehlich3-icp",
                trays.subList(0, half),
                methods,
                controls,
                runs,
                results,
                gates,
                values);
        List<Tray> rest = trays.subList(half, trays.size() > 2 ? trays.size() - 1 : trays.size());
        run("mehlich-2", "plasma 2", "mehlich3-icp", rest, methods, controls, runs, results, gates, values);
        List<Cause> causes = List.of(
                cause(
                        DRIFT,
                        results,
                        Verdict.REDO,
                        "mehlich-1",
                        List.of("K", "Mg"),
                        6,
                        11,
                        "Checks read 101, 97 and 89 % of their value, all moving one way.",
                        "Make potassium and magnesium of positions 6 to 11 again from the tray.",
                        OptionalDouble.of(6.2),
                        Optional.of(new Finding.RunnerUp(CauseKind.STANDARD_WRONG, 0.4))),
                cause(
                        GATE,
                        results,
                        Verdict.HOLD,
                        "mehlich-2",
                        List.of("Na"),
                        1,
                        400,
                        "The lowest standard of sodium reads back at 162 % of its value.",
                        "Calibrate again, then read the trays again.",
                        OptionalDouble.empty(),
                        Optional.empty()));
        Laboratory laboratory = MadeLaboratory.named("Ashgrove Soil Laboratory")
                .in("Europe/Dublin")
                .at("1 Invented Lane")
                .invented(true)
                .laboratory();
        List<Material> materials =
                List.of(new Material("loam", "ph-water-1-1", "pH", 6.4, 0.08, Unit.PH, OptionalInt.of(40)));
        return new InventedDay(
                MadeDay.empty()
                        .laboratory(laboratory)
                        .submissions(submissions)
                        .soils(soils)
                        .trays(trays)
                        .controls(controls)
                        .materials(materials)
                        .runs(runs)
                        .packages(List.of(new TestPackage(
                                "standard",
                                "Standard",
                                List.of(
                                        new TestPackage.Asked("ph-water-1-1", List.of()),
                                        new TestPackage.Asked("om-loi-360", List.of()),
                                        new TestPackage.Asked("mehlich3-icp", List.of())))))
                        .day(),
                new JudgedDay(results, causes, gates, values));
    }

    private static Cause cause(
            String key,
            List<Result> results,
            Verdict verdict,
            String run,
            List<String> analytes,
            int first,
            int last,
            String evidence,
            String action,
            OptionalDouble odds,
            Optional<Finding.RunnerUp> runnerUp) {
        List<ResultKey> touched = results.stream()
                .filter(r -> r.causes().contains(key))
                .map(ResultKey::of)
                .toList();
        return new Cause(
                CauseKey.of(key).orElseThrow(),
                List.of(new Stretch(run, "mehlich3-icp", verdict, analytes, first, last, touched, evidence)),
                action,
                odds,
                runnerUp,
                EVIDENCE);
    }

    private static void run(
            String name,
            String instrument,
            String method,
            List<Tray> trays,
            MethodBook methods,
            Map<LabNumber, String> controls,
            List<Run> runs,
            List<Result> results,
            List<GateOutcome> gates,
            List<ControlValue> values) {
        Method known = methods.of(method, MORNING.toLocalDate());
        Readings.Builder readings = Readings.builder();
        SplittableRandom random = new SplittableRandom(name.hashCode());
        OffsetDateTime at = MORNING.plusMinutes(runs.size() * 40L);
        int position = 0;
        for (String standard : List.of("low", "high")) {
            readings.add(++position, Role.STANDARD, standard, "1", "signal", 100, Unit.PER_SECOND, at, 1);
        }
        readings.add(++position, Role.VERIFICATION, "second source", "1", "signal", 60, Unit.PER_SECOND, at, 1);
        readings.add(++position, Role.BLANK, "blank", "1", "signal", 2, Unit.PER_SECOND, at, 1);
        readings.add(++position, Role.CONTROL, "clay", "1", "signal", 50, Unit.PER_SECOND, at, 1);
        for (Tray tray : trays) {
            for (Tray.Place place : tray.wells()) {
                if (place.labNumber().isEmpty()) {
                    continue;
                }
                LabNumber lab = place.labNumber().get();
                position++;
                at = at.plusSeconds(20);
                readings.add(position, Role.SAMPLE, lab.text(), "1", "signal", 40, Unit.PER_SECOND, at, 1);
                for (Analyte analyte : known.head().analytes()) {
                    double value = analyte.scaleLow()
                            + (analyte.scaleHigh() - analyte.scaleLow()) * (0.2 + 0.5 * random.nextDouble());
                    boolean drift = name.equals("mehlich-1")
                            && position >= 6
                            && position <= 11
                            && List.of("K", "Mg").contains(analyte.symbol());
                    boolean shut = name.equals("mehlich-2") && analyte.symbol().equals("Na");
                    results.add(new Result(
                            lab,
                            method,
                            known.head().version(),
                            analyte.symbol(),
                            name,
                            position,
                            "1",
                            new Amount.Measured(value, analyte.unit()),
                            analyte.rounding().text(value),
                            OptionalDouble.of(value * 0.06),
                            drift ? Verdict.REDO : shut ? Verdict.HOLD : Verdict.FIT,
                            drift ? List.of(DRIFT) : shut ? List.of(GATE) : List.of()));
                    if (controls.containsKey(lab)) {
                        values.add(new ControlValue(
                                name,
                                method,
                                position,
                                lab.text(),
                                true,
                                "loam",
                                analyte.symbol(),
                                value,
                                1.2,
                                List.of()));
                    }
                }
            }
        }
        for (Gate gate : Gate.values()) {
            boolean open = !(name.equals("mehlich-2") && gate == Gate.CALIBRATION);
            gates.add(new GateOutcome(
                    instrument, name, gate, open, open ? "within" : "162 % at the lowest standard", "50 to 150 %", at));
        }
        runs.add(MadeRun.of(name, method)
                .instrument(instrument)
                .operator("C. Okafor (invented)")
                .startedAt(MORNING.plusMinutes(runs.size() * 40L))
                .readings(readings.build())
                .run());
    }
}
