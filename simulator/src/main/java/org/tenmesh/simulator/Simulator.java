package org.tenmesh.simulator;

import java.time.LocalDate;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.bench.Faults;
import org.tenmesh.simulator.bench.Places;
import org.tenmesh.simulator.bench.RunOutcome;
import org.tenmesh.simulator.bench.RunPlan;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.Extract;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Specimen;

/** Makes days of an invented laboratory. */
public final class Simulator {
    private static final String NAME = "Ashgrove Soil Laboratory";
    private static final int RUN_SOILS = 240;
    private static final List<String> METHODS =
            List.of(ElectrodeModel.METHOD, IgnitionModel.METHOD, EmissionModel.METHOD);
    private static final String[] OPERATORS = {"bench 1", "bench 2", "bench 3"};

    private Simulator() {}

    /**
     * Makes a day. The same scenario gives the same day, to the last digit.
     *
     * @throws IllegalArgumentException when a fault cannot be planted where it was asked for, with the reason
     */
    public static SimulatedDay simulate(Scenario scenario) {
        return simulate(scenario, Intake.draw(scenario), NAME);
    }

    /**
     * Makes a day of soils whose contents are given. What a soil does not give is drawn as for invented soils of the scenario's ground, apart
     * from what it gives; {@link Truth#drawn} says what.
     *
     * @param scenario its number of soils must be that of the soils given
     * @throws IllegalArgumentException as above, or when the numbers differ
     */
    public static SimulatedDay simulate(Scenario scenario, List<GivenSoil> soils) {
        if (soils.size() != scenario.soils()) {
            throw new IllegalArgumentException(
                    "a day of given soils: found " + soils.size() + ", the scenario says " + scenario.soils());
        }
        return simulate(scenario, Intake.of(scenario, soils), NAME);
    }

    /**
     * Reads soils of a day again, from new portions and without faults: what lies in their wells is what it was.
     *
     * @throws IllegalArgumentException when a lab number has no soil on this day, or nothing of the day reads by the method
     */
    public static Run readAgain(Scenario scenario, ReadAgain again) {
        Intake intake = Intake.draw(scenario);
        LaidOut bench = new LaidOut(scenario, intake);
        Optional<Routine> routine = routine(scenario, intake, bench);
        List<RunPlan> plans = plans(scenario, bench, routine);
        // What was filled with another control soil by mistake still is.
        if (!mistaken(scenario, bench, plans, routine).isEmpty()) {
            routine = routine(scenario, intake, bench);
        }
        if (plans.stream().noneMatch(plan -> plan.method().equals(again.method()))) {
            throw new IllegalArgumentException("found method \"" + again.method() + "\", expected one of "
                    + String.join(
                            ", ", plans.stream().map(RunPlan::method).distinct().toList()));
        }
        Map<LabNumber, Specimen> lying = new HashMap<>();
        bench.specimens.forEach(specimen -> lying.put(specimen.number(), specimen));
        List<Specimen> specimens = new ArrayList<>();
        for (LabNumber number : again.soils()) {
            Specimen specimen = lying.get(number);
            if (specimen == null) {
                throw new IllegalArgumentException(
                        "found lab number " + number + ", which no soil of day " + scenario.date() + " has");
            }
            specimens.add(specimen);
        }
        RunPlan plan = new RunPlan(
                again.run(),
                again.method(),
                again.instrument(),
                again.operator(),
                again.start(),
                specimens,
                1,
                bench.places(),
                scenario.options().noise());
        return read(plan, scenario, plans, routine, List.of()).run();
    }

    /** Takes given soils through layout and instruments. */
    static SimulatedDay simulate(Scenario scenario, Intake intake, String laboratory) {
        LaidOut bench = new LaidOut(scenario, intake);
        Optional<Routine> tried = routine(scenario, intake, bench);
        List<RunPlan> plansTried = plans(scenario, bench, tried);
        List<Mistaken> mistaken = mistaken(scenario, bench, plansTried, tried);
        // What lies in a well decides every run that reads it.
        Optional<Routine> routine = mistaken.isEmpty() ? tried : routine(scenario, intake, bench);
        List<RunPlan> plans = mistaken.isEmpty() ? plansTried : plans(scenario, bench, routine);
        Map<String, List<Fault>> placed = place(scenario, plans);
        List<Run> runs = new ArrayList<>();
        List<Planted> planted = new ArrayList<>();
        // Every run draws from a stream of its own, so the threads that make them do not matter.
        List<RunOutcome> outcomes;
        try {
            outcomes = plans.parallelStream()
                    .map(plan -> read(plan, scenario, plans, routine, placed.getOrDefault(plan.run(), List.of())))
                    .toList();
        } catch (IllegalArgumentException wrong) {
            // What was thrown in another thread comes wrapped.
            throw wrong.getCause() instanceof IllegalArgumentException reason ? reason : wrong;
        }
        for (int i = 0; i < plans.size(); i++) {
            RunPlan plan = plans.get(i);
            RunOutcome outcome = outcomes.get(i);
            runs.add(outcome.run());
            planted.addAll(outcome.planted());
            mistaken.forEach(one -> one.in(outcome.run()).ifPresent(planted::add));
            if (placed.getOrDefault(plan.run(), List.of()).stream().anyMatch(Simulator::isRepeat)) {
                repeat(outcome.run(), plan, runs, planted);
            }
        }
        List<Material> materials = new ArrayList<>(AssignedValues.materials());
        List<Standard> standards = new ArrayList<>(AssignedValues.standards());
        if (routine.isPresent()) {
            materials.addAll(AssignedValues.routineMaterials());
            standards.addAll(AssignedValues.routineStandards());
        }
        Day day = new Day(
                new Laboratory(
                        laboratory,
                        scenario.options().zone().getId(),
                        "Ashgrove (an invented place)\nNo such laboratory exists",
                        true,
                        Policy.defaults()),
                routine.map(every -> every.submissions).orElse(intake.submissions()),
                routine.map(every -> every.soils).orElse(bench.soils),
                bench.trays,
                bench.controls,
                scenario.options()
                        .controlsKnown()
                        .of(widened(materials, scenario.options().noise())),
                standards,
                runs,
                routine.map(Routine::packages).orElse(List.of()),
                routine.map(Routine::shortages).orElse(List.of()));
        return new SimulatedDay(
                day,
                new Truth(planted, bench.specimens, routine.map(Routine::whole).orElse(Map.of()), bench.drawn));
    }

    // The laboratory's earlier runs shared errors as those of this day do.
    private static List<Material> widened(List<Material> materials, Noise noise) {
        double by = noise.widening();
        return by == 1
                ? materials
                : materials.stream()
                        .map(one -> new Material(
                                one.material(),
                                one.method(),
                                one.analyte(),
                                one.mean(),
                                by * one.sd(),
                                one.unit(),
                                one.n()))
                        .toList();
    }

    private static boolean isRepeat(Fault fault) {
        return fault.kind() == CauseKind.REPEATED_FILE;
    }

    private static RunOutcome read(
            RunPlan plan, Scenario scenario, List<RunPlan> plans, Optional<Routine> routine, List<Fault> placed) {
        List<Fault> faults = placed.stream().filter(fault -> !isRepeat(fault)).toList();
        long seed = scenario.seed();
        return switch (plan.method()) {
            case ElectrodeModel.METHOD ->
                ElectrodeModel.read(
                        plan,
                        seed,
                        faults,
                        scenario.options().metersGivePh()
                                && plan.instrument().equals(lastInstrument(plans, plan.method())));
            case IgnitionModel.METHOD ->
                IgnitionModel.read(plan, seed, faults, scenario.options().balanceDecimals());
            case EmissionModel.METHOD -> EmissionModel.read(plan, seed, faults);
            default -> routine.orElseThrow().read(plan, faults);
        };
    }

    private static String lastInstrument(List<RunPlan> plans, String method) {
        return plans.stream()
                .filter(plan -> plan.method().equals(method))
                .map(RunPlan::instrument)
                .max(Comparator.comparing(String::length).thenComparing(Comparator.naturalOrder()))
                .orElse("");
    }

    private static void repeat(Run run, RunPlan plan, List<Run> runs, List<Planted> planted) {
        String name = run.run() + "-B";
        runs.add(new Run(name, run.method(), run.instrument(), run.operator(), run.startedAt(), run.readings()));
        int last = run.readings().position(run.readings().size() - 1);
        planted.add(new Planted(
                CauseKind.REPEATED_FILE,
                name,
                run.method(),
                analytes(run.method()),
                "",
                1,
                last,
                plan.specimens().stream().map(Specimen::number).toList(),
                1,
                "the file of " + run.run() + " came a second time"));
    }

    private static List<String> analytes(String method) {
        return switch (method) {
            case ElectrodeModel.METHOD -> ElectrodeModel.ANALYTES;
            case IgnitionModel.METHOD -> IgnitionModel.ANALYTES;
            case EmissionModel.METHOD -> Element.SYMBOLS;
            default -> Routine.reported().getOrDefault(method, List.of());
        };
    }

    private static Optional<Routine> routine(Scenario scenario, Intake intake, LaidOut bench) {
        return scenario.options().everyMethod()
                ? Optional.of(new Routine(
                        scenario,
                        intake.submissions(),
                        bench.soils,
                        bench.trays,
                        bench.controls,
                        bench.specimens,
                        bench.places(),
                        bench.elsewhere,
                        bench.nextSerial))
                : Optional.empty();
    }

    /** A hidden control's well that holds another control soil than it is recorded to. */
    private record Mistaken(LabNumber number, String intended, String truly) {
        /** What it touches in a run. */
        Optional<Planted> in(Run run) {
            int position = position(run, number);
            return position == 0
                    ? Optional.empty()
                    : Optional.of(new Planted(
                            CauseKind.CONTROL_MATERIAL_MISTAKEN,
                            run.run(),
                            run.method(),
                            analytes(run.method()),
                            "",
                            position,
                            position,
                            List.of(number),
                            1,
                            "the well of hidden control " + number + " was filled with " + truly + " instead of "
                                    + intended));
        }

        private static int position(Run run, LabNumber number) {
            for (int i = 0; i < run.readings().size(); i++) {
                if (run.readings().role(i) == Role.SAMPLE
                        && run.readings().identity(i).equals(number.text())) {
                    return run.readings().position(i);
                }
            }
            return 0;
        }
    }

    private static boolean isHiddenMistake(Fault fault) {
        return fault.kind() == CauseKind.CONTROL_MATERIAL_MISTAKEN
                && !fault.key("open").equals(Optional.of("yes"));
    }

    /** Fills wells of hidden controls with what the faults say. */
    private static List<Mistaken> mistaken(
            Scenario scenario, LaidOut bench, List<RunPlan> plans, Optional<Routine> routine) {
        List<Mistaken> mistaken = new ArrayList<>();
        for (Fault fault : scenario.faults()) {
            if (!isHiddenMistake(fault)) {
                continue;
            }
            RunPlan plan = fault.run().isPresent()
                    ? named(fault, plans, fault.run().get())
                    : ofMethod(fault, plans, scenario).get(0);
            List<LabNumber> here = plan.specimens().stream()
                    .map(Specimen::number)
                    .filter(bench.controls::containsKey)
                    .filter(number -> Faults.canBeMistaken(fault, bench.controls.getOrDefault(number, "")))
                    .filter(number -> fault.position().isPresent()
                            || mistaken.stream().noneMatch(one -> one.number().equals(number)))
                    .toList();
            // As the run would be read on a clean day: faults move no lab number before its last soil.
            Run clean = read(plan, scenario, plans, routine, List.of()).run();
            int wish = fault.position()
                    .orElse(clean.readings().position(clean.readings().size() - 1) / 2);
            LabNumber number = here.stream()
                    .min(Comparator.comparingInt(one -> Math.abs(Mistaken.position(clean, one) - wish)))
                    .orElseThrow(() -> new IllegalArgumentException("fault "
                            + fault.kind().word() + " in run " + plan.run()
                            + " cannot be planted: the run holds no further hidden control"));
            if (mistaken.stream().anyMatch(one -> one.number().equals(number))) {
                throw new IllegalArgumentException("fault " + fault.kind().word() + " in run " + plan.run()
                        + " cannot be planted: an earlier fault already took the well of " + number);
            }
            String intended = bench.controls.getOrDefault(number, "");
            ControlSoil other = Faults.mistakenFor(fault, intended);
            bench.specimens.replaceAll(specimen -> specimen.number().equals(number)
                    ? new Specimen(number, other.content(), Optional.of(other.name()))
                    : specimen);
            mistaken.add(new Mistaken(number, intended, other.name()));
        }
        return mistaken;
    }

    /** Shares the lab numbers out to runs and the runs to instruments. */
    private static List<RunPlan> plans(Scenario scenario, LaidOut bench, Optional<Routine> routine) {
        List<RunPlan> plans = new ArrayList<>();
        Places places = bench.places();
        for (String method : METHODS) {
            List<Specimen> specimens =
                    routine.map(every -> every.askedOf(method)).orElse(bench.specimens);
            int runs = Math.max(1, (specimens.size() + RUN_SOILS - 1) / RUN_SOILS);
            // In a day still in progress a third of the runs is to come and the last one begun is half read.
            int begun = scenario.options().inProgress() ? Math.max(1, runs - runs / 3) : runs;
            int instruments = instruments(method, specimens.size());
            for (int i = 0; i < begun; i++) {
                String instrument = prefix(method) + (i % instruments + 1);
                int turn = i / instruments;
                boolean beingRead = scenario.options().inProgress()
                        && method.equals(EmissionModel.METHOD)
                        && begun > 1
                        && i == begun - 1;
                plans.add(new RunPlan(
                        String.format("%s-%02d", instrument, turn + 1),
                        method,
                        instrument,
                        OPERATORS[i % OPERATORS.length],
                        start(scenario, method, turn, i % instruments),
                        List.copyOf(
                                routine.isPresent()
                                        ? specimens.subList(
                                                specimens.size() * i / runs, specimens.size() * (i + 1) / runs)
                                        : specimens.subList(bench.wholeTrays(i, runs), bench.wholeTrays(i + 1, runs))),
                        beingRead ? 0.55 : 1,
                        places,
                        scenario.options().noise()));
            }
        }
        routine.ifPresent(every -> plans.addAll(every.plans()));
        Map<String, Integer> turns = new HashMap<>();
        plans.forEach(plan -> turns.merge(plan.method() + " " + plan.instrument(), 1, Integer::sum));
        Map<String, Integer> next = new HashMap<>();
        plans.replaceAll(plan -> {
            String key = plan.method() + " " + plan.instrument();
            return plan.inTurn(next.merge(key, 1, Integer::sum) - 1, turns.getOrDefault(key, 1));
        });
        return plans;
    }

    private static String prefix(String method) {
        return switch (method) {
            case ElectrodeModel.METHOD -> "PH";
            case IgnitionModel.METHOD -> "LOI";
            default -> "ICP";
        };
    }

    private static int instruments(String method, int soils) {
        return method.equals(IgnitionModel.METHOD)
                ? Math.max(1, (soils + 959) / 960)
                : Math.max(2, (soils + 1439) / 1440);
    }

    /** Crucibles go into the furnace overnight before the laboratory day, the rest starts in its morning. */
    private static OffsetDateTime start(Scenario scenario, String method, int turn, int instrument) {
        LocalDate day = scenario.date();
        boolean evening = method.equals(IgnitionModel.METHOD);
        LocalTime first = switch (method) {
            case ElectrodeModel.METHOD -> LocalTime.of(7, 40);
            case IgnitionModel.METHOD -> LocalTime.of(14, 30);
            default -> LocalTime.of(7, 15);
        };
        int minutes = method.equals(ElectrodeModel.METHOD) ? 85 : evening ? 45 : 135;
        return (evening ? day.minusDays(1) : day)
                .atTime(first)
                .plusMinutes((long) turn * minutes + 6L * instrument)
                .atZone(scenario.options().zone())
                .toOffsetDateTime();
    }

    /** Finds a run for every fault; what a whole instrument does all day gets all its runs. */
    private static Map<String, List<Fault>> place(Scenario scenario, List<RunPlan> plans) {
        Map<String, List<Fault>> placed = new HashMap<>();
        Map<String, Integer> used = new HashMap<>();
        for (Fault fault : scenario.faults()) {
            if (isHiddenMistake(fault)) {
                continue;
            }
            if (fault.run().isPresent()) {
                String run = named(fault, plans, fault.run().get()).run();
                add(placed, run, fault);
                continue;
            }
            List<RunPlan> whole = ofMethod(fault, plans, scenario);
            String method = whole.get(0).method();
            RunPlan first = whole.get((used.merge(method, 1, Integer::sum) - 1) % whole.size());
            boolean allDay = fault.kind() == CauseKind.CHANNEL_BIAS || fault.kind() == CauseKind.CONTROL_TREND;
            if (allDay) {
                if (fault.position().isPresent()) {
                    throw new IllegalArgumentException(
                            "fault " + fault.kind().word() + ": found a position and no run, expected run= as well");
                }
                plans.stream()
                        .filter(plan -> plan.method().equals(method)
                                && plan.instrument().equals(first.instrument()))
                        .forEach(plan -> add(placed, plan.run(), fault));
            } else {
                add(placed, first.run(), fault);
            }
        }
        return placed;
    }

    private static void add(Map<String, List<Fault>> placed, String run, Fault fault) {
        List<Fault> here = placed.computeIfAbsent(run, key -> new ArrayList<>());
        if (isRepeat(fault) && here.stream().anyMatch(Simulator::isRepeat)) {
            throw new IllegalArgumentException("fault " + fault.kind().word() + " in run " + run
                    + " cannot be planted: the run already comes twice");
        }
        here.add(fault);
    }

    private static RunPlan named(Fault fault, List<RunPlan> plans, String run) {
        return plans.stream()
                .filter(plan -> plan.run().equals(run))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("fault "
                        + fault.kind().word() + ": found run \"" + run
                        + "\", expected one of "
                        + String.join(", ", plans.stream().map(RunPlan::run).toList())));
    }

    /** Runs of the method a fault asks for, or of a usual one, that are read to their end. */
    private static List<RunPlan> ofMethod(Fault fault, List<RunPlan> plans, Scenario scenario) {
        String flowing = flowing(plans);
        boolean byBalance = fault.key("weighing").isPresent();
        String usual = byBalance
                ? IgnitionModel.METHOD
                : fault.kind() == CauseKind.CARRY_OVER && !flowing.isEmpty() ? flowing : usualMethod(fault.kind());
        String method = fault.key("method").orElse(usual);
        List<RunPlan> whole = plans.stream()
                .filter(plan -> plan.method().equals(method) && plan.readShare() == 1)
                .toList();
        if (whole.isEmpty()) {
            throw new IllegalArgumentException("fault " + fault.kind().word() + ": found no run of method \"" + method
                    + "\" on this day of " + scenario.soils() + " soils, expected one of "
                    + String.join(
                            ", ", plans.stream().map(RunPlan::method).distinct().toList()));
        }
        return whole;
    }

    // Flow carries over most of all; which of these methods a day has depends on what clients asked for.
    private static String flowing(List<RunPlan> plans) {
        return plans.stream()
                .map(RunPlan::method)
                .filter(method -> Extract.ALL.stream()
                        .anyMatch(extract -> extract.flow() && extract.method().equals(method)))
                .findFirst()
                .orElse("");
    }

    private static String usualMethod(CauseKind kind) {
        return switch (kind) {
            case CALIBRATION_REJECTED,
                    MISSING_READING,
                    TRUNCATED_RUN,
                    REPEATED_FILE,
                    CHANNEL_BIAS,
                    IMPLAUSIBLE_TOGETHER -> ElectrodeModel.METHOD;
            case CONTROL_FAILED, WEIGHING_IMPOSSIBLE, DUPLICATES_DISAGREE, NOT_DRY, RUN_SHIFTED -> IgnitionModel.METHOD;
            default -> EmissionModel.METHOD;
        };
    }
}
