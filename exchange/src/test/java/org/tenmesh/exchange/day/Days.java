package org.tenmesh.exchange.day;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Made-up days of any size for tests: three runs for each block of soils. */
public final class Days {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final OffsetDateTime MORNING = OffsetDateTime.parse("2026-11-25T07:00:00+01:00");
    private static final String[] LINES = {
        "P 213.618",
        "K 766.491",
        "Ca 430.253",
        "Mg 285.213",
        "Na 589.592",
        "S 181.972",
        "B 249.772",
        "Cu 324.754",
        "Fe 259.940",
        "Mn 257.610",
        "Zn 213.857",
        "Al 394.401",
        "Y 371.029"
    };

    private Days() {}

    public static Day of(int soils, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Soil> list = new ArrayList<>();
        List<Tray> trays = new ArrayList<>();
        List<Tray.Place> places = new ArrayList<>();
        for (int i = 1; i <= soils; i++) {
            LabNumber number = LabNumber.of(DATE, i);
            boolean hidden = i % 50 == 17;
            list.add(new Soil(
                    number,
                    hidden ? Optional.empty() : Optional.of("S-" + (1 + i / 40)),
                    hidden ? OptionalInt.empty() : OptionalInt.of(1 + i % 40),
                    hidden ? Optional.empty() : Optional.of("Field " + i + (i % 7 == 0 ? ", \"north\"" : "")),
                    i % 3 == 0 ? OptionalDouble.of(0) : OptionalDouble.empty(),
                    i % 3 == 0 ? OptionalDouble.of(15.5) : OptionalDouble.empty(),
                    Optional.empty(),
                    i % 5 == 0 ? Optional.of(false) : Optional.empty()));
            places.add(new Tray.Place(new Well(places.size()), Optional.of(number), Tray.Purpose.SOIL));
            if (places.size() == Well.PER_TRAY - 1 || i == soils) {
                places.add(new Tray.Place(new Well(places.size()), Optional.empty(), Tray.Purpose.KEY));
                trays.add(new Tray("T" + (trays.size() + 1), places));
                places = new ArrayList<>();
            }
        }
        Map<LabNumber, String> controls = new java.util.HashMap<>();
        for (int i = 17; i <= soils; i += 50) {
            controls.put(LabNumber.of(DATE, i), "ASH-1");
        }
        List<Submission> submissions = new ArrayList<>();
        for (int i = 1; i <= 1 + soils / 40; i++) {
            submissions.add(new Submission(
                    "S-" + i,
                    "Müller & Sons " + i,
                    MORNING,
                    Optional.of(DATE.plusDays(2)),
                    Optional.of("IE"),
                    Optional.empty(),
                    Optional.of("standard"),
                    i % 2 == 0 ? Optional.of(true) : Optional.empty(),
                    Optional.empty()));
        }
        List<Run> runs = new ArrayList<>();
        for (int from = 1, block = 1; from <= soils; from += 300, block++) {
            int to = Math.min(soils, from + 299);
            runs.add(ph("PH-" + block, from, to, random));
            runs.add(loi("LOI-" + block, from, to, random));
            runs.add(icp("ICP-" + block, from, to, random));
        }
        return new Day(
                new Laboratory(
                        "Ashgrove Soil Laboratory",
                        "Europe/Dublin",
                        "1 Made-up Road\nAshgrove: \"the\" town",
                        true,
                        Policy.defaults()
                                .named("2026-11-02")
                                .with(Setting.CONTROL_FALSE_ALARM, 0.005)
                                .with(Setting.RETENTION_DAYS, 35)),
                submissions,
                list,
                trays,
                controls,
                List.of(
                        new Material("ASH-1", "ph-water-1-1", "pH", 6.42, 0.04, Unit.PH, OptionalInt.of(40)),
                        new Material("ASH-1", "om-loi-360", "LOI", 3.1, 0.08, Unit.PERCENT, OptionalInt.empty()),
                        new Material(
                                "ASH-1",
                                "mehlich3-icp",
                                "P",
                                31.25,
                                1.5,
                                Unit.MILLIGRAM_PER_KILOGRAM,
                                OptionalInt.of(38))),
                List.of(
                        new Standard(
                                "ph-water-1-1",
                                "4.01",
                                "pH",
                                4.01,
                                Unit.PH,
                                OptionalDouble.empty(),
                                OptionalDouble.empty()),
                        new Standard(
                                "ph-water-1-1",
                                "7.00",
                                "pH",
                                7,
                                Unit.PH,
                                OptionalDouble.of(0.05),
                                OptionalDouble.empty()),
                        new Standard(
                                "mehlich3-icp",
                                "STD-1",
                                "P",
                                5,
                                Unit.MILLIGRAM_PER_LITRE,
                                OptionalDouble.empty(),
                                OptionalDouble.of(10))),
                runs);
    }

    private static Run ph(String name, int from, int to, SplittableRandom random) {
        Readings.Builder b = Readings.builder();
        int position = 1;
        for (String buffer : List.of("4.01", "7.00")) {
            for (int probe = 1; probe <= 4; probe++, position++) {
                both(b, position, Role.STANDARD, buffer, probe, random);
            }
        }
        for (int i = from; i <= to; i++, position++) {
            both(b, position, Role.SAMPLE, LabNumber.of(DATE, i).text(), 1 + (position - 1) % 4, random);
        }
        return new Run(name, "ph-water-1-1", "pH-A", Optional.of("Ida"), MORNING, b.build());
    }

    private static void both(
            Readings.Builder b, int position, Role role, String identity, int probe, SplittableRandom r) {
        OffsetDateTime at = MORNING.plusSeconds(20L * ((position - 1) / 4));
        String channel = Integer.toString(probe);
        b.add(
                position,
                role,
                identity,
                channel,
                "potential",
                places(r.nextDouble(-120, 180), 1),
                Unit.MILLIVOLT,
                at,
                1);
        b.add(position, role, identity, channel, "temperature", places(r.nextDouble(21, 24), 1), Unit.CELSIUS, at, 1);
    }

    private static Run loi(String name, int from, int to, SplittableRandom r) {
        Readings.Builder b = Readings.builder();
        int position = 1;
        for (int i = from - 5; i <= to; i++, position++) {
            boolean known = i < from;
            Role role = known ? Role.CONTROL : Role.SAMPLE;
            String identity = known ? "ASH-1" : LabNumber.of(DATE, i).text();
            String channel = Integer.toString(1 + (position - 1) % 4);
            OffsetDateTime at = MORNING.plusSeconds(9L * position);
            b.add(position, role, identity, channel, "tare", places(r.nextDouble(18, 22), 4), Unit.GRAM, at, 1);
            b.add(
                    position,
                    role,
                    identity,
                    channel,
                    "dry",
                    places(r.nextDouble(23, 26), 4),
                    Unit.GRAM,
                    at.plusHours(3),
                    1);
            b.add(
                    position,
                    role,
                    identity,
                    channel,
                    "ash",
                    places(r.nextDouble(22, 25), 4),
                    Unit.GRAM,
                    at.plusHours(23),
                    1);
        }
        return new Run(name, "om-loi-360", "LOI-A", Optional.empty(), MORNING, b.build());
    }

    private static Run icp(String name, int from, int to, SplittableRandom r) {
        Readings.Builder b = Readings.builder();
        int position = 1;
        lines(b, position++, Role.STANDARD, "STD-1", 1, r);
        lines(b, position++, Role.BLANK, "blank", 1, r);
        for (int i = from; i <= to; i++, position++) {
            lines(b, position, Role.SAMPLE, LabNumber.of(DATE, i).text(), i % 100 == 0 ? 5 : 1, r);
        }
        return new Run(name, "mehlich3-icp", "ICP-A", Optional.of("Jo"), MORNING, b.build());
    }

    private static void lines(
            Readings.Builder b, int position, Role role, String identity, double dilution, SplittableRandom r) {
        OffsetDateTime at = MORNING.plusNanos(41_250_000_000L * position);
        for (String line : LINES) {
            b.add(
                    position,
                    role,
                    identity,
                    "",
                    line,
                    places(r.nextDouble(200, 2_000_000), 1),
                    Unit.PER_SECOND,
                    at,
                    dilution);
        }
    }

    private static double places(double value, int decimals) {
        double scale = Math.pow(10, decimals);
        return Math.rint(value * scale) / scale;
    }

    /** Readings have no equals of their own; two are the same when every row is. */
    public static boolean same(Readings a, Readings b) {
        if (a.size() != b.size()) {
            return false;
        }
        for (int i = 0; i < a.size(); i++) {
            if (a.position(i) != b.position(i)
                    || a.role(i) != b.role(i)
                    || !a.identity(i).equals(b.identity(i))
                    || !a.channel(i).equals(b.channel(i))
                    || !a.quantity(i).equals(b.quantity(i))
                    || Double.doubleToLongBits(a.value(i)) != Double.doubleToLongBits(b.value(i))
                    || a.unit(i) != b.unit(i)
                    || !a.at(i).equals(b.at(i))
                    || a.dilution(i) != b.dilution(i)) {
                return false;
            }
        }
        return true;
    }
}
