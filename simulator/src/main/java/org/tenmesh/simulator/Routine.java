package org.tenmesh.simulator;

import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.simulator.bench.Places;
import org.tenmesh.simulator.bench.RunOutcome;
import org.tenmesh.simulator.bench.RunPlan;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.ExtractModel;
import org.tenmesh.simulator.instruments.HandModel;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Extract;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;
import org.tenmesh.simulator.soils.WholeSoil;

/** All routine methods on one day: who asks for what, the further runs, and what is known of their solutions and control soils. */
final class Routine {
    private static final int RUN_SOILS = 180;
    static final List<String> ELECTRODE = List.of(
            "ph-water-1-2",
            "ph-cacl2",
            "ph-kcl",
            "ph-paste",
            "buffer-ph-smp",
            "buffer-ph-sikora",
            "buffer-ph-mehlich",
            "buffer-ph-adams-evans",
            "buffer-ph-woodruff");
    private final Scenario scenario;
    private final List<Tray> trays;
    private final Places places;
    private final Map<LabNumber, Ground> elsewhere;
    private final Map<LabNumber, String> materials;
    private final Map<LabNumber, String> packageOf = new HashMap<>();
    private final Map<LabNumber, WholeSoil> whole = new HashMap<>();
    private final Map<LabNumber, Specimen> specimens = new HashMap<>();
    private final Set<Shortage> shortages = new HashSet<>();
    private final List<Specimen> waters = new ArrayList<>();
    final List<Submission> submissions = new ArrayList<>();
    final List<Soil> soils = new ArrayList<>();

    Routine(
            Scenario scenario,
            List<Submission> sent,
            List<Soil> laidOut,
            List<Tray> trays,
            Map<LabNumber, String> materials,
            List<Specimen> drawn,
            Places places,
            Map<LabNumber, Ground> elsewhere,
            int nextSerial) {
        this.scenario = scenario;
        this.trays = trays;
        this.places = places;
        this.elsewhere = elsewhere;
        this.materials = materials;
        drawn.forEach(specimen -> specimens.put(specimen.number(), specimen));
        Chance chance = new Chance(scenario.seed(), "packages");
        Map<String, String> asked = new HashMap<>();
        Map<String, Boolean> salty = new HashMap<>();
        Set<String> water = new HashSet<>();
        for (Submission submission : sent) {
            String name = Packages.drawn(chance);
            boolean paste = name.equals("paste-and-salts");
            boolean own = paste && chance.happens(0.5);
            asked.put(submission.submission(), name);
            salty.put(submission.submission(), (paste || name.equals("salt-survey")) && chance.happens(0.35));
            if (own) {
                water.add(submission.submission());
            }
            submissions.add(new Submission(
                    submission.submission(),
                    submission.client(),
                    submission.receivedAt(),
                    submission.promisedOn(),
                    submission.originCountry(),
                    submission.originRegion(),
                    Optional.of(name),
                    Optional.of(own),
                    submission.note()));
        }
        for (Soil soil : laidOut) {
            place(soil, asked, salty, chance);
        }
        int serial = nextSerial;
        for (String submission : water) {
            waterOf(submission, LabNumber.of(scenario.date(), serial++), chance);
        }
        soils.sort((a, b) -> a.labNumber().compareTo(b.labNumber()));
    }

    private void place(Soil soil, Map<String, String> asked, Map<String, Boolean> salty, Chance chance) {
        Optional<String> name = soil.submission().map(submission -> asked.getOrDefault(submission, ""));
        name.ifPresent(value -> packageOf.put(soil.labNumber(), value));
        Optional<Specimen> specimen = Optional.ofNullable(specimens.get(soil.labNumber()));
        boolean layers = name.filter("nitrogen-by-depth"::equals).isPresent();
        boolean deep = layers && soil.ordinal().orElse(1) % 2 == 0;
        specimen.ifPresent(drawn -> whole.put(
                soil.labNumber(),
                drawn.material()
                        .map(WholeSoil::ofMaterial)
                        .orElseGet(() -> WholeSoil.of(
                                drawn.content(),
                                deep,
                                soil.submission().map(salty::get).orElse(false),
                                Optional.ofNullable(elsewhere.get(soil.labNumber())),
                                chance))));
        soils.add(
                layers
                        ? new Soil(
                                soil.labNumber(),
                                soil.submission(),
                                soil.ordinal(),
                                soil.clientLabel(),
                                OptionalDouble.of(deep ? 30 : 0),
                                OptionalDouble.of(deep ? 60 : 30),
                                soil.packageName(),
                                soil.regulated())
                        : soil);
        name.ifPresent(value -> shorten(soil.labNumber(), value, chance));
    }

    // Now and then a bag is nearly empty: the largest portion cannot be taken.
    private void shorten(LabNumber number, String name, Chance chance) {
        if (!chance.happens(0.004)) {
            return;
        }
        for (String method : List.of("texture-hydrometer", "kcl-nitrogen", "hot-water-b", "chloride-water")) {
            if (Packages.named(name).of(method).isPresent()) {
                shortages.add(new Shortage(number, method));
            }
        }
    }

    private void waterOf(String submission, LabNumber number, Chance chance) {
        soils.add(new Soil(
                number,
                Optional.of(submission),
                OptionalInt.empty(),
                Optional.of("irrigation water"),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                Optional.of(Packages.WATER),
                Optional.of(false),
                Soil.Matter.WATER));
        packageOf.put(number, Packages.WATER);
        whole.put(number, WholeSoil.water(chance));
        waters.add(new Specimen(number, ControlSoil.ALL.get(0).content(), Optional.empty()));
    }

    /** What the further methods would find, by lab number. */
    Map<LabNumber, WholeSoil> whole() {
        return Map.copyOf(whole);
    }

    List<TestPackage> packages() {
        return Packages.ALL;
    }

    List<Shortage> shortages() {
        return shortages.stream()
                .sorted((a, b) -> a.labNumber().compareTo(b.labNumber()))
                .toList();
    }

    /** Lab numbers that a method is asked of, with the hidden controls of their trays, in tray order; then waters. */
    List<Specimen> askedOf(String method) {
        List<Specimen> asked = new ArrayList<>();
        for (Tray tray : trays) {
            List<LabNumber> inside = tray.wells().stream()
                    .flatMap(place -> place.labNumber().stream())
                    .toList();
            Predicate<LabNumber> wants = number -> packageOf.containsKey(number)
                    && Packages.named(packageOf.getOrDefault(number, ""))
                            .of(method)
                            .isPresent()
                    && !shortages.contains(new Shortage(number, method));
            if (inside.stream().noneMatch(wants)) {
                continue;
            }
            for (LabNumber number : inside) {
                Specimen specimen = specimens.get(number);
                if (specimen != null && (wants.test(number) || materials.containsKey(number))) {
                    asked.add(specimen);
                }
            }
        }
        for (Specimen water : waters) {
            if (Packages.named(Packages.WATER).of(method).isPresent()) {
                asked.add(water);
            }
        }
        return asked;
    }

    /** The runs of every method beyond pH, loss on ignition and Mehlich-3. */
    List<RunPlan> plans() {
        List<RunPlan> plans = new ArrayList<>();
        Map<String, Integer> turns = new HashMap<>();
        List<String> methods = new ArrayList<>(ELECTRODE);
        Extract.ALL.forEach(extract -> methods.add(extract.method()));
        methods.addAll(HandModel.METHODS);
        for (String method : methods) {
            List<Specimen> asked = askedOf(method);
            int runs = (asked.size() + RUN_SOILS - 1) / RUN_SOILS;
            for (int i = 0; i < runs; i++) {
                plans.add(new RunPlan(
                        String.format("%s-%02d", method.toUpperCase(Locale.ROOT).replace("-", ""), i + 1),
                        method,
                        instrument(method),
                        "bench " + (1 + Math.floorMod(method.hashCode(), 3)),
                        start(turns.merge(instrument(method), 1, Integer::sum) - 1),
                        List.copyOf(asked.subList(asked.size() * i / runs, asked.size() * (i + 1) / runs)),
                        1,
                        places,
                        scenario.options().noise()));
            }
        }
        return plans;
    }

    /** Methods share instruments, as in any laboratory. */
    private static String instrument(String method) {
        return switch (method) {
            case "ph-water-1-2", "ph-cacl2", "ph-kcl", "ph-paste" -> "PH-A";
            case "bray-p1-1-10", "bray-p1-1-7", "bray-p2", "olsen-p" -> "FLOW-A";
            case "kcl-nitrogen", "chloride-water", "paste-chloride", "paste-nitrate" -> "FLOW-B";
            case "nh4oac-bases", "mehlich3-icp-scooped" -> "ICP-A";
            case "dtpa", "hot-water-b", "sulfate-phosphate", "paste-cations" -> "ICP-B";
            case "ec-1-1", "ec-1-2", "ec-1-5", "ec-paste" -> "CELL-A";
            case "texture-hydrometer" -> "HYDROM-A";
            case "oc-wet-oxidation", "paste-bicarbonate" -> "BURETTE-A";
            case "moisture-air-dry", "coarse-fragments", "saturated-paste" -> "BALANCE-A";
            default -> "PH-B";
        };
    }

    private OffsetDateTime start(int turn) {
        return scenario.date()
                .atTime(LocalTime.of(7, 30))
                .plusMinutes(turn * 95L)
                .atZone(scenario.options().zone())
                .toOffsetDateTime();
    }

    private WholeSoil wholeOf(Specimen specimen) {
        WholeSoil soil = whole.get(specimen.number());
        if (soil == null) {
            throw new IllegalArgumentException("nothing is known of " + specimen.number());
        }
        return soil;
    }

    /** Every further method with what it reports, in one order. */
    static Map<String, List<String>> reported() {
        Map<String, List<String>> reported = new LinkedHashMap<>();
        ELECTRODE.forEach(method -> reported.put(method, List.of(ElectrodeModel.analyte(method))));
        Extract.ALL.forEach(extract -> reported.put(extract.method(), extract.analytes()));
        HandModel.METHODS.forEach(method -> reported.put(method, HandModel.analytes(method)));
        return reported;
    }

    /** Reads a run of {@link #plans}. */
    RunOutcome read(RunPlan plan, List<Fault> faults) {
        for (Extract extract : Extract.ALL) {
            if (extract.method().equals(plan.method())) {
                return ExtractModel.read(extract, plan, scenario.seed(), faults, this::wholeOf);
            }
        }
        if (HandModel.METHODS.contains(plan.method())) {
            return HandModel.read(plan, scenario.seed(), faults, this::wholeOf);
        }
        UnaryOperator<Specimen> dipped = specimen -> new Specimen(
                specimen.number(), withPh(specimen.content(), wholeOf(specimen), plan.method()), specimen.material());
        RunPlan seen = plan.with(plan.specimens().stream().map(dipped).toList(), places.seen(dipped));
        return ElectrodeModel.read(
                seen,
                scenario.seed(),
                faults,
                false,
                control -> withPh(control.content(), WholeSoil.ofMaterial(control.name()), plan.method()));
    }

    private static SoilContent withPh(SoilContent content, WholeSoil soil, String method) {
        return new SoilContent(soil.of(method, ElectrodeModel.analyte(method)), content.loiPct(), content.mgKg());
    }
}
