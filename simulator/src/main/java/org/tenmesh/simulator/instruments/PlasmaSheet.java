package org.tenmesh.simulator.instruments;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.bench.Faults;
import org.tenmesh.simulator.bench.Mixup;
import org.tenmesh.simulator.bench.RunPlan;
import org.tenmesh.simulator.bench.RunSheet;
import org.tenmesh.simulator.bench.Vessel;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;

/** The vessels of a plasma run in the order read, with what was extracted into them. */
public final class PlasmaSheet {
    static final int N = Element.ALL.size();

    private static final int SET = 80;
    private static final int CHECK_EVERY = 20;
    private static final double PORTION_RSD = Element.PORTION_RSD;
    private static final double POURING_RSD = 0.0015;
    /** Boron clings to glass; what is planted when nothing else is asked for. */
    static final List<String> CARRIED = List.of("B");

    static final double CARRIED_SHARE = 0.03;
    /** A result is touched by what was carried over or interferes when it changes by more than this share. */
    static final double SHOWN = 0.2;

    private static final int RICH_SOILS = 3;
    private static final double RICH_SHARE = 0.9;

    final RunSheet run;
    final double[] lot = new double[N];
    /** For every position the extraction set it belongs to, 0 = none. */
    final List<Integer> sets = new ArrayList<>();

    private int sinceCheck;

    PlasmaSheet(RunPlan plan, List<Fault> faults, Noise.Shared shared, Chance chance, Chance mishap) {
        run = new RunSheet(plan);
        for (int e = 0; e < N; e++) {
            lot[e] = Element.ALL.get(e).blankMgL() * chance.factor(0.2);
        }
        for (int i = 1; i <= 6; i++) {
            solution(Role.STANDARD, "WS" + i, chance);
        }
        solution(Role.VERIFICATION, "ICV", chance);
        solution(Role.VERIFICATION, "LLC", chance);
        solution(Role.VERIFICATION, "CCV", chance);
        sinceCheck = 0;
        List<Specimen> specimens = plan.specimens();
        int count = Math.max(1, (specimens.size() + SET - 1) / SET);
        int material = chance.between(0, ControlSoil.ALL.size() - 1);
        for (int set = 1; set <= count; set++) {
            List<Specimen> mine =
                    specimens.subList(specimens.size() * (set - 1) / count, specimens.size() * set / count);
            add(blank(chance), set, chance);
            add(blank(chance), set, chance);
            ControlSoil soil = ControlSoil.ALL.get(material++ % ControlSoil.ALL.size());
            add(new Vessel(Role.CONTROL, soil.name(), Optional.empty(), extract(soil.content(), chance)), set, chance);
            for (Vessel vessel : RunSheet.soils(mine, chance)) {
                vessel.content = extract(vessel.specimen.orElseThrow().content(), chance);
                add(vessel, set, chance);
            }
            add(blank(chance), set, chance);
        }
        for (Vessel vessel : run.vessels) {
            if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                double[] errors = shared.next(N, 0);
                for (int e = 0; e < N; e++) {
                    vessel.content[e] *= 1 + PORTION_RSD * errors[e];
                }
            }
        }
        faults.stream().filter(fault -> fault.kind() == CauseKind.CARRY_OVER).forEach(this::enrich);
        new Mixup(
                        run,
                        Element.SYMBOLS,
                        specimen -> extract(specimen.content(), mishap),
                        () -> clean(mishap),
                        PlasmaSheet::unlike)
                .plant(faults);
        faults.forEach(this::portion);
        List<String> forgotten = new ArrayList<>();
        for (Fault fault : faults) {
            if (fault.kind() == CauseKind.OVER_RANGE) {
                forgotten.add(forget(fault));
            }
        }
        for (Vessel vessel : List.copyOf(run.vessels)) {
            // A reading within 3 % of the highest standard may come out above it, so it is read again as well.
            if (vessel.isSoil() && excess(vessel) > 0.97 && !forgotten.contains(vessel.identity)) {
                Vessel again = new Vessel(vessel.role, vessel.identity, vessel.specimen, vessel.content);
                again.holds = vessel.holds;
                again.dilution = excess(vessel) < 4.5 ? 5 : 10;
                share(vessel, again);
                add(again, 0, chance);
            }
        }
        if (sinceCheck > 0) {
            solution(Role.VERIFICATION, "CCV", chance);
            sets.add(0);
        }
        run.vessels.add(blank(chance));
    }

    private void add(Vessel vessel, int set, Chance chance) {
        run.vessels.add(vessel);
        while (sets.size() < run.size()) {
            sets.add(set);
        }
        if (++sinceCheck == CHECK_EVERY) {
            solution(Role.VERIFICATION, "CCV", chance);
            sets.add(0);
            sinceCheck = 0;
        }
    }

    private void solution(Role role, String name, Chance chance) {
        // Pouring and pipetting: one error for the whole flask.
        double poured = chance.factor(POURING_RSD);
        double[] content = contents(name);
        for (int e = 0; e < N; e++) {
            content[e] *= poured;
        }
        run.vessels.add(new Vessel(role, name, Optional.empty(), content));
    }

    private Vessel blank(Chance chance) {
        return new Vessel(Role.BLANK, "MB", Optional.empty(), clean(chance));
    }

    private double[] clean(Chance chance) {
        double[] content = new double[N];
        for (int e = 0; e < N; e++) {
            content[e] = dirt(e, chance);
        }
        return content;
    }

    /** Soils so rich that they show in the next one, where the run has too few; their true contents rise with them. */
    private void enrich(Fault fault) {
        List<String> analytes = analytes(fault, CARRIED);
        double size = fault.size().orElse(CARRIED_SHARE);
        List<Integer> poor = run.ordinarySoils().stream()
                .filter(p -> p > 1 && isOrdinary(run.at(p - 1)))
                .toList();
        long shown = poor.stream()
                .filter(p -> analytes.stream()
                        .mapToInt(Element::indexOf)
                        .anyMatch(e -> size * run.at(p - 1).content[e] > SHOWN * run.at(p).content[e]))
                .count();
        for (int i = 0; i < RICH_SOILS && shown < RICH_SOILS && !poor.isEmpty(); i++) {
            int p = poor.get((int) (poor.size() * (i + 0.5) / RICH_SOILS));
            for (String symbol : analytes) {
                raise(run.at(p - 1), Element.indexOf(symbol), RICH_SHARE);
            }
        }
    }

    private static boolean isOrdinary(Vessel vessel) {
        return vessel.role == Role.SAMPLE
                && vessel.specimen.orElseThrow().material().isEmpty();
    }

    /** A portion of one soil that is too large or too small, before anything is read. */
    private void portion(Fault fault) {
        if (fault.kind() == CauseKind.PORTION_WRONG) {
            double size = fault.size().orElse(0.4);
            if (size <= -1) {
                throw run.cannot(fault, "size is a share of the portion above -1, found " + size);
            }
            int position = run.take(fault, 0.35, run.ordinarySoils(), "portion at position");
            Vessel vessel = run.at(position);
            vessel.content = vessel.content.clone();
            scale(vessel, Element.SYMBOLS, 1 + size);
            run.note(
                    fault.kind(),
                    Element.SYMBOLS,
                    "",
                    List.of(position),
                    size,
                    "the scoop of this soil held " + Faults.percent(size) + " more than it should");
        } else if (fault.kind() == CauseKind.CONTROL_TREND) {
            double size = fault.size().orElse(-2);
            List<String> analytes = analytes(fault, List.of("P"));
            double[] progress = run.progress(fault.run().isEmpty());
            run.claimAll(fault, "trend", analytes, 0);
            for (int p = 1; p <= run.size(); p++) {
                Vessel vessel = run.at(p);
                if (vessel.isSoil() || vessel.role == Role.CONTROL) {
                    for (String symbol : analytes) {
                        int e = Element.indexOf(symbol);
                        double mgKg = vessel.content[e] * Element.ML_PER_G;
                        double crept = progress[p] * size * Element.ALL.get(e).totalSd(mgKg);
                        vessel.content[e] = Math.max(0, (mgKg + crept) / Element.ML_PER_G);
                    }
                }
            }
            run.noteLateHalf(
                    fault,
                    analytes,
                    0,
                    progress,
                    size,
                    "the extractant spoils: " + String.join(", ", analytes) + " creep by " + size
                            + " standard deviations");
        }
    }

    private double dirt(int e, Chance chance) {
        return Math.max(0, lot[e] + Element.ALL.get(e).blankSdMgL() * chance.normal());
    }

    double[] extract(SoilContent soil, Chance chance) {
        double[] content = new double[N];
        double scoop = chance.factor(PORTION_RSD);
        for (int e = 0; e < N; e++) {
            double own = chance.factor(Element.ALL.get(e).extractionRsd());
            content[e] = soil.mgKg()[e] / Element.ML_PER_G * scoop * own + dirt(e, chance);
        }
        return content;
    }

    private static void share(Vessel first, Vessel again) {
        Set<String> over = new TreeSet<>();
        Set<String> inRange = new TreeSet<>();
        for (int e = 0; e < N; e++) {
            Element element = Element.ALL.get(e);
            (first.content[e] > element.top() ? over : inRange).add(element.symbol());
        }
        first.standsFor = inRange;
        // When nothing came out above range after all, the second reading gives nothing.
        again.standsFor = over.isEmpty() ? Set.of("none") : over;
    }

    /** Picks an over-range soil that nobody reads again, or makes one; returns its lab number. */
    private String forget(Fault fault) {
        List<Integer> soils = run.ordinarySoils().stream()
                .filter(p -> run.at(p).holds.equals(run.at(p).specimen))
                .toList();
        List<Integer> over = new ArrayList<>();
        for (int p : soils) {
            if (excess(run.at(p)) > 1.1) {
                over.add(p);
            }
        }
        List<Integer> choice = over.isEmpty() || fault.position().isPresent() ? soils : over;
        Vessel vessel = run.at(run.take(fault, 0.5, choice, "over-range soil at position"));
        if (excess(vessel) <= 1.1) {
            raise(fault, vessel);
        }
        List<String> analytes = new ArrayList<>();
        for (int e = 0; e < N; e++) {
            if (vessel.content[e] > Element.ALL.get(e).top()) {
                analytes.add(Element.ALL.get(e).symbol());
            }
        }
        Faults.oneSoil(
                run, fault.kind(), analytes, vessel.identity, excess(vessel), "nobody diluted it and read it again");
        return vessel.identity;
    }

    private void raise(Fault fault, Vessel vessel) {
        int e = Element.indexOf(
                fault.analytes().isEmpty() ? "Ca" : fault.analytes().get(0));
        raise(vessel, e, fault.size().orElse(1.5));
    }

    /** Raises an element of a soil, in truth and in all its vessels, to a multiple of the highest standard. */
    private void raise(Vessel vessel, int e, double multiple) {
        double factor = multiple * Element.ALL.get(e).top() / vessel.content[e];
        SoilContent soil = vessel.specimen.orElseThrow().content();
        soil.mgKg()[e] *= factor;
        for (Vessel other : run.vessels) {
            if (other.identity.equals(vessel.identity)) {
                other.content[e] *= factor;
            }
        }
    }

    int size() {
        return run.size();
    }

    /** Contents of the second-source check, the low check and the running check, mg/L, in element order. */
    public static double[] contents(String name) {
        double[] values = new double[N];
        for (int e = 0; e < N; e++) {
            double[] standards = Element.ALL.get(e).standards();
            values[e] = switch (name) {
                case "ICV" -> 0.3 * standards[5];
                case "LLC" -> 0.5 * standards[1];
                case "CCV" -> standards[3];
                default -> standards[name.charAt(2) - '1'];
            };
        }
        return values;
    }

    /** How far a reading is above range: undiluted content over the highest standard, of the worst element. */
    static double excess(Vessel vessel) {
        double worst = 0;
        for (int e = 0; e < N; e++) {
            worst = Math.max(worst, vessel.content[e] / Element.ALL.get(e).top());
        }
        return worst;
    }

    /** How unlike two soils are: root mean square of the logarithms of their ratios. */
    private static double unlike(SoilContent one, SoilContent other) {
        double sum = 0;
        for (int e = 0; e < N; e++) {
            double log = StrictMath.log(one.mgKg()[e] / other.mgKg()[e]);
            sum += log * log;
        }
        return Math.sqrt(sum / N);
    }

    static void noChannel(Fault fault, RunSheet run) {
        if (fault.channel().isPresent()) {
            throw run.cannot(fault, "a plasma has one detector, found key \"channel\"");
        }
    }

    static void scale(Vessel vessel, List<String> analytes, double factor) {
        for (String symbol : analytes) {
            vessel.content[Element.indexOf(symbol)] *= factor;
        }
    }

    static List<String> analytes(Fault fault, List<String> usual) {
        for (String symbol : fault.analytes()) {
            if (Element.indexOf(symbol) < 0) {
                throw new IllegalArgumentException("fault " + fault.kind().word() + ": found analyte \"" + symbol
                        + "\", expected one of " + String.join(", ", Element.SYMBOLS));
            }
        }
        return fault.analytes().isEmpty() ? usual : fault.analytes();
    }
    /** What is in the tube, mg/L: extractant makes up what a dilution takes away. */
    double inTube(Vessel vessel, int e) {
        double d = vessel.trueDilution();
        return vessel.content[e] / d + lot[e] * (1 - 1 / d);
    }
}
