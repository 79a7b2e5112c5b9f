package org.tenmesh.simulator;

import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;
import org.tenmesh.simulator.soils.Mixture;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.SoilModel;

/** What the invented clients sent: boxes of soils from fields of alike soils. */
record Intake(List<Submission> submissions, List<Box> boxes) {
    private static final String PACKAGE = "routine";
    private static final String[] FIRST = {
        "Larkmill",
        "Hollowcombe",
        "Thornwick",
        "Fernhythe",
        "Marshgate",
        "Quillmoor",
        "Oatlea",
        "Drumvale",
        "Siltbrook",
        "Ravensley",
        "Cloverhurst",
        "Barleymere",
        "Windlow",
        "Ottershaw Green",
        "Kestrelstead",
        "Millrace"
    };
    private static final String[] LAST = {
        "Farm", "Growers", "Estate", "Dairy", "Vineyard", "Agronomy", "Nursery", "Holding"
    };
    private static final String[] REGION = {"north", "east", "south", "west"};
    /** Countries whose soil would be regulated here; that is a setting of the invented laboratory, not law. */
    private static final String[] ABROAD = {"KE", "BR", "NZ", "US"};

    /**
     * Soils of one submission.
     *
     * @param submission the name of the submission
     * @param regulated whether all of it is regulated
     * @param soils in the order of the client's sheet
     */
    record Box(String submission, boolean regulated, List<Sent> soils) {}

    /**
     * One soil as sent.
     *
     * @param field which field of the client it comes from, a name within its submission
     * @param label the client's own
     * @param topCm upper edge of the layer, cm; empty when not known
     * @param bottomCm lower edge, cm
     * @param drawn symbols whose content was drawn where the rest was given
     * @param elsewhere another kind of ground than its client's, where it comes from one
     */
    record Sent(
            String field,
            String label,
            OptionalDouble topCm,
            OptionalDouble bottomCm,
            SoilContent content,
            List<String> drawn,
            Optional<Ground> elsewhere) {
        /** A soil of its client's ground, all of it given or all of it drawn. */
        Sent(String field, String label, OptionalDouble topCm, OptionalDouble bottomCm, SoilContent content) {
            this(field, label, topCm, bottomCm, content, List.of(), Optional.empty());
        }
    }

    static Intake draw(Scenario scenario) {
        long seed = scenario.seed();
        int soils = scenario.soils();
        LocalDate day = scenario.date();
        ZoneId zone = scenario.options().zone();
        Ground[] grounds = scenario.options().grounds().toArray(new Ground[0]);
        Chance chance = new Chance(seed, "intake");
        Chance where = new Chance(seed, "ground");
        Strangers strangers = new Strangers(scenario);
        List<Submission> submissions = new ArrayList<>();
        List<Box> boxes = new ArrayList<>();
        int left = soils;
        while (left > 0) {
            int size = Math.min(left, chance.between(5, 60));
            if (left - size < 5) {
                size = Math.min(left, 60);
            }
            left -= size;
            int number = boxes.size() + 1;
            String name = String.format("S%04d", number);
            boolean regulated = number % 23 == 7 || number == 4 && soils >= 300;
            boolean grass = chance.happens(0.3);
            int minutes = chance.between(0, 7 * 60);
            submissions.add(new Submission(
                    name,
                    chance.pick(FIRST) + " " + chance.pick(LAST) + " (invented)",
                    day.minusDays(1)
                            .atTime(LocalTime.of(7, 0).plusMinutes(minutes))
                            .atZone(zone)
                            .toOffsetDateTime(),
                    Optional.of(day.plusDays(chance.between(1, 4))),
                    Optional.of(regulated ? chance.pick(ABROAD) : "IE"),
                    Optional.of(chance.pick(REGION)),
                    Optional.of(PACKAGE),
                    Optional.of(chance.happens(0.05)),
                    number % 11 == 3 ? Optional.of("please call before spreading lime") : Optional.empty()));
            boxes.add(new Box(
                    name,
                    regulated,
                    strangers.among(soils(
                            size, grass, where.pick(grounds), scenario.options().likeness(), chance))));
        }
        return new Intake(List.copyOf(submissions), List.copyOf(boxes));
    }

    /** What came in when the soils are given; what none of them says is drawn. */
    static Intake of(Scenario scenario, List<GivenSoil> given) {
        Chance chance = new Chance(scenario.seed(), "given soils");
        Chance where = new Chance(scenario.seed(), "ground");
        Ground[] grounds = scenario.options().grounds().toArray(new Ground[0]);
        Map<String, List<GivenSoil>> byClient = new LinkedHashMap<>();
        given.forEach(soil -> byClient.computeIfAbsent(soil.client(), key -> new ArrayList<>())
                .add(soil));
        List<Submission> submissions = new ArrayList<>();
        List<Box> boxes = new ArrayList<>();
        byClient.forEach((client, soils) -> {
            String name = String.format("S%04d", boxes.size() + 1);
            submissions.add(new Submission(
                    name,
                    client,
                    scenario.date()
                            .minusDays(1)
                            .atTime(LocalTime.of(9, 0))
                            .atZone(scenario.options().zone())
                            .toOffsetDateTime(),
                    Optional.of(scenario.date().plusDays(3)),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.of(PACKAGE),
                    Optional.empty(),
                    Optional.empty()));
            boxes.add(new Box(name, false, filled(soils, where.pick(grounds), scenario, chance)));
        });
        return new Intake(List.copyOf(submissions), List.copyOf(boxes));
    }

    private static List<Sent> filled(List<GivenSoil> soils, Ground ground, Scenario scenario, Chance chance) {
        double[] client = SoilModel.level(ground, chance);
        Map<String, double[]> fields = new HashMap<>();
        List<Sent> sent = new ArrayList<>();
        for (GivenSoil soil : soils) {
            String field = soil.field().isEmpty() ? "alone " + sent.size() : soil.field();
            double[] land = fields.computeIfAbsent(field, key -> SoilModel.level(ground, chance));
            SoilContent drawn = SoilModel.soil(
                    ground, scenario.options().likeness(), client, land, SoilModel.level(ground, chance));
            double[] mgKg = new double[Element.ALL.size()];
            List<String> missing = new ArrayList<>();
            if (soil.ph().isEmpty()) {
                missing.add("pH");
            }
            if (soil.loiPct().isEmpty()) {
                missing.add("LOI");
            }
            for (int e = 0; e < mgKg.length; e++) {
                String symbol = Element.ALL.get(e).symbol();
                Double known = soil.mgKg().get(symbol);
                if (known == null) {
                    missing.add(symbol);
                }
                mgKg[e] = known == null ? drawn.mgKg()[e] : known;
            }
            sent.add(new Sent(
                    field,
                    soil.label(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    new SoilContent(soil.ph().orElse(drawn.ph()), soil.loiPct().orElse(drawn.loiPct()), mgKg),
                    List.copyOf(missing),
                    Optional.empty()));
        }
        return sent;
    }

    private static List<Sent> soils(int size, boolean grass, Ground ground, Likeness likeness, Chance chance) {
        double[] client = SoilModel.level(ground, chance);
        List<Sent> soils = new ArrayList<>();
        int field = 0;
        while (soils.size() < size) {
            field++;
            double[] land = SoilModel.level(ground, chance);
            int points = Math.min(size - soils.size(), chance.between(3, 16));
            for (int point = 1; point <= points; point++) {
                soils.add(new Sent(
                        "F" + field,
                        "F" + field + "-" + String.format("%02d", point),
                        OptionalDouble.of(0),
                        OptionalDouble.of(grass ? 10 : 20),
                        SoilModel.soil(ground, likeness, client, land, SoilModel.level(ground, chance))));
            }
        }
        return soils;
    }

    /** Soils that are not of their client's fields; drawn apart from everything else. */
    private static final class Strangers {
        private final Mixture mixture;
        private final Likeness likeness;
        private final Ground[] grounds;
        private final Chance chance;

        Strangers(Scenario scenario) {
            mixture = scenario.options().mixture();
            likeness = scenario.options().likeness();
            grounds = scenario.options().grounds().toArray(new Ground[0]);
            chance = new Chance(scenario.seed(), "mixture");
        }

        List<Sent> among(List<Sent> fields) {
            boolean single = chance.happens(mixture.singleSoils());
            List<Sent> sent = new ArrayList<>();
            for (Sent soil : fields) {
                boolean other = chance.happens(mixture.otherGround());
                if (!single && !other) {
                    sent.add(soil);
                    continue;
                }
                int number = sent.size() + 1;
                Ground ground = other ? chance.pick(Ground.values()) : chance.pick(grounds);
                sent.add(new Sent(
                        single ? "alone " + number : soil.field(),
                        single ? "sample " + number : soil.label(),
                        soil.topCm(),
                        soil.bottomCm(),
                        SoilModel.soil(
                                ground,
                                likeness,
                                SoilModel.level(ground, chance),
                                SoilModel.level(ground, chance),
                                SoilModel.level(ground, chance)),
                        List.of(),
                        other ? Optional.of(ground) : Optional.empty()));
            }
            return sent;
        }
    }
}
