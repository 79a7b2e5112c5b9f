package org.tenmesh.simulator;

import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.Submission;

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
     */
    record Sent(String field, String label, OptionalDouble topCm, OptionalDouble bottomCm, SoilContent content) {}

    static Intake draw(Scenario scenario) {
        long seed = scenario.seed();
        int soils = scenario.soils();
        LocalDate day = scenario.date();
        ZoneId zone = scenario.options().zone();
        Ground[] grounds = scenario.options().grounds().toArray(new Ground[0]);
        Chance chance = new Chance(seed, "intake");
        Chance where = new Chance(seed, "ground");
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
            boxes.add(new Box(name, regulated, soils(size, grass, where.pick(grounds), scenario.options().likeness(), chance)));
        }
        return new Intake(List.copyOf(submissions), List.copyOf(boxes));
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
}
