package org.tenmesh.proof.custody;

import static java.util.Objects.requireNonNull;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.custody.Age;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Prepared;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;

/**
 * A simulated year: 100,000 soils, one in fifty regulated. People forget to enter portions, lose and misplace some, spill, send lines twice and
 * wrongly, and charges fail. What really happened is kept apart ({@link World}), and each month what the account says is compared with it. Which
 * portions a method leaves is written down here a second time, by hand. Loans do not come back, parcels stay whose booking was taken back, rejects
 * and dust have no line, and ordinary soil is ground after regulated soil without anybody saying so. Arguments: seed, days, and "clean" for a year
 * without mistakes; usually 1 and 250. Exit status 0 when every planted mistake was found, nothing else was, and every balance was exact.
 *
 * <p>Long because what people do in the year and what its months must find of it belong together.
 */
public final class LedgerYear {
    private static final LocalDate FIRST = LocalDate.of(2026, 1, 5);
    private static final int SOILS_A_DAY = 400;
    private static final double REGULATED = 0.02;
    private static final int MOST_BAGS = 39;
    private static final int MONTH_DAYS = 20;
    private static final int STORAGE_DAYS = 180;
    private static final int SHELF_DAYS = 45;
    static final Treatment HEAT = new Treatment(
            "dry heat",
            List.of(new Treatment.Limit(121, Duration.ofHours(2))),
            true,
            Duration.ofMinutes(5),
            Set.of(),
            List.of(),
            "an invented permit");

    /** What a method leaves, by hand: kind and soil in it, g. */
    private record Leaves(String method, String portion, Map<PortionKind, Double> kinds) {}

    private static final List<Leaves> LEAVES = List.of(
            new Leaves(
                    "mehlich3-icp",
                    "mehlich3",
                    Map.of(PortionKind.FILTER, 1.0, PortionKind.EXTRACT, 0.0, PortionKind.CUP, 0.0)),
            new Leaves("ph-water-1-1", "suspension-1-1", Map.of(PortionKind.SUSPENSION, 7.0)),
            new Leaves("buffer-ph-sikora", "suspension-1-1", Map.of()),
            new Leaves("om-loi-360", "ignition", Map.of(PortionKind.CRUCIBLE, 5.0)),
            new Leaves(
                    "kcl-nitrogen",
                    "kcl",
                    Map.of(PortionKind.FILTER, 10.0, PortionKind.EXTRACT, 0.0, PortionKind.CUP, 0.0)),
            new Leaves("moisture-air-dry", "moisture", Map.of(PortionKind.DRIED, 20.0)),
            new Leaves("saturated-paste", "paste", Map.of(PortionKind.PASTE, 250.0)));

    /** What was planted of one kind, and what of it was found. */
    public static final class Tally {
        private int planted;
        private int found;
        private int wronglyFound;

        private void compare(Set<String> really, Set<String> said) {
            planted += really.size();
            for (String one : said) {
                if (really.contains(one)) {
                    found++;
                } else {
                    wronglyFound++;
                }
            }
        }

        public int planted() {
            return planted;
        }

        public int found() {
            return found;
        }

        public int wronglyFound() {
            return wronglyFound;
        }
    }

    private final Random random;
    private final int days;
    private final World world = new World();
    private final Map<String, Method> methods = new HashMap<>();
    private final Ledger ledger = new Ledger();
    private final List<Move> kept = new ArrayList<>();
    private final List<Parcel> parcels = new ArrayList<>();
    private final Map<String, Expected.Evidence> evidence = new LinkedHashMap<>();
    private final Map<String, Integer> soilDay = new HashMap<>();
    private final Map<String, Tally> tallies = new TreeMap<>();
    private final Set<String> forgotten = new HashSet<>();
    private final Set<String> vanished = new HashSet<>();
    private final Set<String> misplaced = new HashSet<>();
    private final Set<String> hidden = new HashSet<>();
    private final Map<String, PortionKind> kinds = new HashMap<>();
    private final boolean clean;
    private final List<BenchAct> notes = new ArrayList<>();
    private final Map<Integer, List<String>> loans = new TreeMap<>();
    private final Set<String> notBack = new HashSet<>();
    private final Set<String> notCancelled = new HashSet<>();
    private final Set<String> notPosted = new HashSet<>();
    private final Set<String> keptAsOrdinary = new HashSet<>();
    private int cancelled;
    private int inexact;
    private int balances;
    private int charges;
    private int falsePasses;
    private long lines;

    private LedgerYear(long seed, int days, boolean clean) {
        this.clean = clean;
        random = new Random(seed);
        this.days = days;
        MethodBook book = MethodFiles.shipped();
        LEAVES.forEach(one -> methods.put(one.method(), book.of(one.method(), LocalDate.of(2026, 12, 1))));
    }

    public static void main(String[] arguments) {
        long seed = arguments.length > 0 ? Long.parseLong(arguments[0]) : 1;
        int days = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 250;
        LedgerYear year = run(seed, days, List.of(arguments).contains("clean"));
        System.out.println(year.words());
        System.exit(year.sound() ? 0 : 1);
    }

    /**
     * Simulates so many working days.
     *
     * @param clean whether nobody makes a mistake: then nothing may be found
     */
    public static LedgerYear run(long seed, int days, boolean clean) {
        LedgerYear year = new LedgerYear(seed, days, clean);
        for (int day = 0; day < days; day++) {
            year.day(day);
            if (day % MONTH_DAYS == MONTH_DAYS - 1 || day == days - 1) {
                year.month(day);
            }
        }
        year.ages(days - 1);
        return year;
    }

    /** Every planted mistake was found, nothing else was, every balance was exact and no cold charge passed. */
    public boolean sound() {
        return inexact == 0
                && falsePasses == 0
                && tallies.values().stream().allMatch(one -> one.found == one.planted && one.wronglyFound == 0);
    }

    public Map<String, Tally> tallies() {
        return Map.copyOf(tallies);
    }

    /** Every line of the account, in the order in which they were kept. */
    List<Move> lines() {
        return List.copyOf(kept);
    }

    public int inexact() {
        return inexact;
    }

    public int falsePasses() {
        return falsePasses;
    }

    /** The figures, for people. */
    public String words() {
        StringBuilder words = new StringBuilder(String.format(
                "%d days, %d soils a day, %d regulated soils in %d parcels, %d portions, %d lines%n",
                days,
                SOILS_A_DAY,
                evidence.size(),
                parcels.size(),
                ledger.portions().size(),
                lines));
        tallies.forEach((name, one) -> words.append(String.format(
                "  %-44s planted %4d  found %4d  wrongly found %d%n", name, one.planted, one.found, one.wronglyFound)));
        words.append(String.format("  %d balances against the world, not exact %d%n", balances, inexact));
        words.append(String.format("  %d charges, cold ones that passed %d%n", charges, falsePasses));
        words.append("  ").append(ledger.balance()).append(System.lineSeparator());
        return words.toString();
    }

    private Tally tally(String name) {
        return tallies.computeIfAbsent(name, any -> new Tally());
    }

    private static Instant at(int day, int hour) {
        return FIRST.plusDays(Math.round(day * 1.4)).atTime(hour, 0).toInstant(ZoneOffset.UTC);
    }

    private static LocalDate date(int day) {
        return at(day, 12).atZone(ZoneOffset.UTC).toLocalDate();
    }

    private boolean chance(double share) {
        return random.nextDouble() < share;
    }

    private boolean mistake(double share) {
        return chance(share) && !clean;
    }

    // What people do

    private void day(int day) {
        loansEnd(day);
        if (chance(0.1)) {
            booking(day);
        }
        double mean = SOILS_A_DAY * REGULATED;
        double size = (2 + MOST_BAGS) / 2.0;
        if (chance(mean / size)) {
            parcel(day, 2 + random.nextInt(MOST_BAGS - 1));
        }
        if (day % 10 == 9) {
            charge(day);
        }
    }

    private void parcel(int day, int bags) {
        String code = String.format("R%03d", parcels.size() + 1);
        long massMg = bags * (450_000L + random.nextInt(200_000));
        parcels.add(new Parcel(
                code,
                "S" + code,
                new Origin(Optional.of("KE"), List.of("Nakuru")),
                "an invented list",
                "P-1",
                1,
                date(day),
                Optional.of(date(day).plusDays(STORAGE_DAYS)),
                "dry",
                true));
        world.put(code, massMg, bags, "dock");
        enter(line(Move.What.RECEIVED, code, code, PortionKind.PARCEL, "", "dock", massMg, bags, at(day, 8)));
        long water = massMg / 12;
        world.thing(code).massMg -= water;
        enter(line(Move.What.DRIED, code, code, PortionKind.PARCEL, "", "", water, 0, at(day, 9)));
        made(code, code, code + ".packaging", PortionKind.PACKAGING, 0, "waste", at(day, 10));
        prepare(day, code, bags);
        long each = world.thing(code).massMg / bags;
        for (int i = 1; i <= bags; i++) {
            soil(day, code, String.format("%s-%02d", code, i), i == bags ? world.thing(code).massMg : each);
        }
        if (chance(0.2)) {
            lend(day, code);
        }
        // The empty bags are waste.
        kinds.put(code, PortionKind.PARCEL);
        move(code, code, "waste", at(day, 12));
        if (parcels.size() % 29 == 7 && !clean) {
            // A box at the back of a shelf that nobody thinks of again.
            evidence.values().stream()
                    .filter(one -> one.parcel().equals(code))
                    .findFirst()
                    .ifPresent(one -> hidden.add(one.labNumber()));
        }
    }

    /** The rack is sieved and ground; then ordinary soil is ground in the same mill, most often after it was cleaned. */
    private void prepare(int day, String code, int bags) {
        note("R1", "", BenchAct.What.LOADED, "S" + code, at(day, 9), load(bags, true));
        weighed("R1", 500, at(day, 9).plusSeconds(600));
        note(
                "R1",
                "",
                BenchAct.What.COARSE,
                "",
                at(day, 9).plusSeconds(1200),
                Map.of(Measure.PLACE, 1.0, Measure.MASS_G, 500.0, Measure.COARSE_G, 4.0 * bags));
        note("R1", Rack.GRIND, BenchAct.What.DONE, "M1", at(day, 9).plusSeconds(1800), Map.of());
        weighed("R1", 500 - 4.0 * bags - 1.5, at(day, 9).plusSeconds(2400));
        note("R1", "rack.lay-out", BenchAct.What.DONE, "", at(day, 11), Map.of());
        world.thing(code).massMg -= 4_000L * bags + 1_500;
        world.put(code + ".rejects", 4_000L * bags, 1, "rejects of the sieve");
        world.put(code + ".dust", 0, 1, "mill M1");
        kinds.put(code + ".rejects", PortionKind.REJECTS);
        kinds.put(code + ".dust", PortionKind.DUST);
        for (Move line :
                Prepared.lines(lately(), List.of(parcels.get(parcels.size() - 1)), ofParcel(code), at(day, 10))) {
            if (line.what() == Move.What.TAKEN && mistake(0.1)) {
                notPosted.add(line.portion());
            } else {
                enter(line);
                if (line.what() == Move.What.TAKEN) {
                    move(code, line.portion(), "waste", at(day, 10));
                }
            }
        }
        boolean met = mistake(0.3);
        if (!met) {
            cleaned(at(day, 10));
        }
        String ordinary = "O" + code;
        note("R2", "", BenchAct.What.LOADED, ordinary, at(day, 10), load(3, false));
        note("R2", Rack.GRIND, BenchAct.What.DONE, "M1", at(day, 10).plusSeconds(600), Map.of());
        note("R2", "rack.lay-out", BenchAct.What.DONE, "", at(day, 11), Map.of());
        cleaned(at(day, 11));
        if (met && chance(0.5)) {
            keptAsOrdinary.add(ordinary);
        } else if (met) {
            becomes(ordinary, at(day, 12));
        }
    }

    /** As the program does: into the account, with dust of the mill; the permit may be entered later. */
    private void becomes(String submission, Instant at) {
        parcels.add(new Parcel(
                submission,
                submission,
                new Origin(Optional.of("KE"), List.of("Nakuru")),
                "ground after regulated soil",
                "",
                0,
                at.atZone(ZoneOffset.UTC).toLocalDate(),
                Optional.empty(),
                "regulated since it was ground",
                false));
        kinds.put(submission, PortionKind.PARCEL);
        world.put(submission, 0, 3, "laid out");
        world.put(submission + ".dust", 0, 1, "mill M1");
        enter(line(Move.What.RECEIVED, submission, submission, PortionKind.PARCEL, "", "laid out", 0, 3, at));
        Prepared.lines(notes, List.of(parcels.get(parcels.size() - 1)), ofParcel(submission), at)
                .forEach(this::enter);
    }

    private List<Move> ofParcel(String code) {
        return kept.stream().filter(line -> line.parcel().equals(code)).toList();
    }

    /** The notes of the newest rack: those before it were followed when they came. */
    private List<BenchAct> lately() {
        return notes.subList(Math.max(0, notes.size() - 6), notes.size());
    }

    private static Map<Measure, Double> load(int bags, boolean regulated) {
        return Map.of(
                Measure.FIRST_BAG,
                1.0,
                Measure.LAST_BAG,
                (double) bags,
                Measure.PLACE,
                1.0,
                Measure.REGULATED,
                regulated ? 1.0 : 0.0);
    }

    private void weighed(String rack, double massG, Instant at) {
        note(rack, "", BenchAct.What.WEIGHED, "", at, Map.of(Measure.PLACE, 1.0, Measure.MASS_G, massG));
    }

    private void cleaned(Instant at) {
        notes.add(new BenchAct(
                "n" + notes.size(),
                Subject.equipment("M1"),
                "",
                BenchAct.What.CLEANED,
                "",
                "",
                "A. Bench",
                "tablet",
                at,
                at));
    }

    private void note(
            String rack, String step, BenchAct.What what, String about, Instant at, Map<Measure, Double> measured) {
        notes.add(new BenchAct(
                "n" + notes.size(), Subject.rack(rack), step, what, about, "", "A. Bench", "tablet", at, at, measured));
    }

    /** A booking that is taken back: the parcel leaves the account, unless the program stopped in between. */
    private void booking(int day) {
        String code = String.format("B%03d", ++cancelled);
        enter(line(Move.What.RECEIVED, code, code, PortionKind.PARCEL, "", "dock", 900_000, 2, at(day, 8)));
        if (mistake(0.3)) {
            notCancelled.add(code);
        } else {
            enter(line(Move.What.MISTAKEN, code, code, PortionKind.PARCEL, "", "", 900_000, 2, at(day, 9)));
        }
    }

    /** The second soil of a parcel is lent for a week. */
    private void lend(int day, String parcel) {
        String lab = parcel + "-02";
        move(parcel, lab, "lent to Invented College until " + date(day + 5), at(day, 16));
        loans.computeIfAbsent(day + 6, any -> new ArrayList<>()).add(lab);
    }

    private void loansEnd(int day) {
        for (String lab : loans.getOrDefault(day, List.of())) {
            if (!world.has(lab)) {
                continue;
            }
            if (mistake(0.4)) {
                world.gone(lab);
                notBack.add(lab);
            } else {
                move(requireNonNull(evidence.get(lab)).parcel(), lab, "shelf R1", at(day, 8));
            }
        }
    }

    private void soil(int day, String parcel, String lab, long massMg) {
        world.thing(parcel).massMg -= massMg;
        world.put(lab, massMg, 1, "rack");
        kinds.put(lab, PortionKind.SOIL);
        soilDay.put(lab, day);
        enter(line(Move.What.TAKEN, parcel, lab, PortionKind.SOIL, parcel, "rack", massMg, 1, at(day, 11)));
        List<Expected.Reading> read = new ArrayList<>();
        for (Leaves one : LEAVES) {
            if (chance(0.8)) {
                read.add(new Expected.Reading(requireNonNull(methods.get(one.method())), "RUN-" + day, at(day, 14)));
                leaves(day, parcel, lab, one, read);
            }
        }
        List<Expected.Spill> spilt = new ArrayList<>();
        if (chance(0.01)) {
            spilt.add(new Expected.Spill("kcl", at(day, 15)));
            String code = lab + ".kcl.spill1";
            if (made(parcel, lab, code, PortionKind.SPILL, 2_000, "waste", at(day, 15), 0.5)) {
                forgotten.add(code);
            }
        }
        evidence.put(lab, new Expected.Evidence(parcel, lab, at(day, 11), read, spilt));
        if (chance(0.5)) {
            move(parcel, lab, "shelf R" + (1 + random.nextInt(4)), at(day, 16));
        }
    }

    private void leaves(int day, String parcel, String lab, Leaves one, List<Expected.Reading> read) {
        // Without the pH the buffer makes the suspension; with it they share one.
        boolean shared = read.stream().anyMatch(before -> before.method().id().equals("ph-water-1-1"));
        Map<PortionKind, Double> kindsLeft =
                one.method().equals("buffer-ph-sikora") && !shared ? Map.of(PortionKind.SUSPENSION, 7.0) : one.kinds();
        kindsLeft.forEach((kind, massG) -> {
            String name = kind == PortionKind.CUP ? one.method() + ".RUN-" + day : one.portion();
            made(
                    parcel,
                    lab,
                    lab + "." + name + "." + kind.word(),
                    kind,
                    Math.round(massG * 1000),
                    "waste",
                    at(day, 14));
        });
    }

    private void made(
            String parcel, String from, String code, PortionKind kind, long massMg, String place, Instant at) {
        if (made(parcel, from, code, kind, massMg, place, at, 0.005)) {
            forgotten.add(code);
        }
    }

    /** Something is made of something, and somebody enters it, or forgets to. */
    private boolean made(
            String parcel,
            String from,
            String code,
            PortionKind kind,
            long massMg,
            String place,
            Instant at,
            double forgets) {
        world.thing(from).massMg -= massMg;
        world.put(code, massMg, 1, place);
        kinds.put(code, kind);
        if (mistake(forgets)) {
            return true;
        }
        Move line = line(Move.What.TAKEN, parcel, code, kind, from, place, massMg, 1, at);
        enter(line);
        if (mistake(0.01)) {
            wrong(line);
        }
        if (mistake(0.002)) {
            world.gone(code);
            vanished.add(code);
        } else if (mistake(0.002)) {
            world.thing(code).place = "bench";
            misplaced.add(code);
        }
        return false;
    }

    private void move(String parcel, String code, String place, Instant at) {
        world.thing(code).place = place;
        enter(line(Move.What.MOVED, parcel, code, requireNonNull(kinds.get(code)), "", place, 0, 0, at));
    }

    /** A line that cannot be true: sent twice, taken twice, too much, destroyed without a charge. */
    private void wrong(Move line) {
        Move bad = switch (random.nextInt(4)) {
            case 0 -> line;
            case 1 ->
                line(
                        Move.What.TAKEN,
                        line.parcel(),
                        line.portion(),
                        line.kind(),
                        line.from(),
                        "waste",
                        1,
                        1,
                        line.at());
            case 2 ->
                line(
                        Move.What.TAKEN,
                        line.parcel(),
                        line.portion() + ".x",
                        line.kind(),
                        line.from(),
                        "waste",
                        Long.MAX_VALUE / 4,
                        1,
                        line.at());
            default ->
                new Move(
                        "bad-" + lines++,
                        Move.What.DESTROYED,
                        line.parcel(),
                        line.portion(),
                        line.kind(),
                        "",
                        "",
                        line.massMg(),
                        1,
                        "C-none",
                        "",
                        "A. Bench",
                        line.at());
        };
        tally("lines that cannot be true").planted++;
        // As the store does: what does not fit is refused and not kept.
        if (ledger.add(bad).isPresent()) {
            tally("lines that cannot be true").found++;
        } else {
            kept.add(bad);
        }
    }

    private void charge(int day) {
        String name = "C" + ++charges;
        List<Held> load = ledger.here().stream()
                .filter(held ->
                        world.has(held.code()) && !misplaced.contains(held.code()) && !hidden.contains(held.code()))
                .filter(held -> held.place().equals("waste")
                        || (held.kind() == PortionKind.SOIL
                                && day - requireNonNull(soilDay.get(held.code())) > SHELF_DAYS))
                .toList();
        Instant closed = at(day, 17);
        load.forEach(held -> enter(chargeLine(Move.What.LOADED, held, name, closed)));
        int how = clean ? 9 : random.nextInt(10);
        double door = how == 0 ? 118 : 126;
        int minutes = how == 1 ? 110 : 160;
        Charge charge = new Charge(name, "oven", "P-1", 1, HEAT, List.of("middle", "door"), 0.5, "A. Bench", closed);
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = 0; minute <= minutes; minute += 2) {
            Instant moment = closed.plus(Duration.ofMinutes(minute)).minus(Duration.ofDays(how == 3 ? 1 : 0));
            double warm = minute < 20 ? 60 : 0;
            points.add(new Charge.Point(moment, "middle", 130 - warm + minute % 3 * 0.1));
            if (how != 2 || minute < 60 || minute > 70) {
                points.add(new Charge.Point(moment, "door", door - warm + minute % 5 * 0.1));
            }
        }
        boolean passed = HeatRecord.of(charge, closed, closed.plus(Duration.ofMinutes(minutes)), points)
                .passed();
        boolean really = how > 3;
        tally("charges whose record does not prove enough")
                .compare(really ? Set.of() : Set.of(name), passed ? Set.of() : Set.of(name));
        falsePasses += passed && how <= 1 ? 1 : 0;
        load.forEach(held -> enter(
                chargeLine(passed ? Move.What.DESTROYED : Move.What.UNLOADED, held, name, closed.plusSeconds(60))));
        if (passed) {
            load.forEach(held -> world.gone(held.code()));
        }
    }

    private Move chargeLine(Move.What what, Held held, String charge, Instant at) {
        return new Move(
                "l" + lines++,
                what,
                held.parcel(),
                held.code(),
                held.kind(),
                "",
                "",
                held.massMg(),
                held.pieces(),
                charge,
                "",
                "A. Bench",
                at);
    }

    private Move line(
            Move.What what,
            String parcel,
            String code,
            PortionKind kind,
            String from,
            String place,
            long massMg,
            int pieces,
            Instant at) {
        return new Move(
                "l" + lines++,
                what,
                parcel,
                code,
                kind,
                from,
                place,
                massMg,
                pieces,
                "",
                "as it happened",
                "A. Bench",
                at);
    }

    private void enter(Move line) {
        ledger.add(line).ifPresent(fault -> {
            throw new IllegalStateException("a true line was refused: " + fault.says());
        });
        kept.add(line);
    }

    // What the month's review finds, and settles

    private void month(int day) {
        ordinarySoil(day);
        notPosted(day);
        forgottenPortions(day);
        counts(day);
        balances++;
        boolean exact = ledger.balance().exact()
                && ledger.balance().held().massMg() == world.massMg()
                && ledger.balance().held().pieces() == world.pieces()
                && Ledger.of(kept).faults().isEmpty()
                && Ledger.at(kept, at(day, 18)).balance().equals(ledger.balance());
        inexact += exact ? 0 : 1;
    }

    private void ordinarySoil(int day) {
        Set<String> said = new HashSet<>();
        Set<String> known = new HashSet<>();
        parcels.forEach(one -> known.add(one.submission()));
        for (Met met : Met.of(notes)) {
            met.round().loads().stream()
                    .map(Rack.Load::submission)
                    .filter(one -> !known.contains(one))
                    .forEach(said::add);
        }
        tally("soil kept as ordinary that met regulated soil").compare(keptAsOrdinary, said);
        said.forEach(one -> becomes(one, at(day, 16)));
        keptAsOrdinary.clear();
    }

    private void notPosted(int day) {
        Set<String> said = new HashSet<>();
        List<Parcel> lacking = new ArrayList<>();
        for (Prepared one : Prepared.lacking(notes, parcels, kept)) {
            parcels.stream()
                    .filter(parcel -> parcel.submission().equals(one.submission()))
                    .findFirst()
                    .ifPresent(parcel -> {
                        said.add(parcel.code() + "." + one.kind().word());
                        lacking.add(parcel);
                    });
        }
        for (PortionKind kind : List.of(PortionKind.REJECTS, PortionKind.DUST)) {
            tally(kind.phrase() + " without a line").compare(ofKind(notPosted, kind), ofKind(said, kind));
        }
        for (Parcel parcel : new LinkedHashSet<>(lacking)) {
            for (Move line : Prepared.lines(notes, List.of(parcel), ofParcel(parcel.code()), at(day, 16))) {
                enter(line);
                if (line.what() == Move.What.TAKEN) {
                    move(parcel.code(), line.portion(), "waste", at(day, 16));
                }
            }
        }
        notPosted.clear();
    }

    private static Set<String> ofKind(Set<String> codes, PortionKind kind) {
        Set<String> its = new HashSet<>();
        codes.stream().filter(code -> code.endsWith("." + kind.word())).forEach(its::add);
        return its;
    }

    private void forgottenPortions(int day) {
        List<Expected> missing = Expected.missing(Expected.of(evidence.values()), ledger);
        Set<String> said = new HashSet<>();
        missing.forEach(one -> said.add(one.code()));
        tally("portions that nobody entered").compare(forgotten, said);
        for (Expected one : missing) {
            if (!world.has(one.code())) {
                continue;
            }
            // Found in the waste and entered late, with what it weighs.
            World.Thing thing = world.thing(one.code());
            Held from = ledger.portion(one.from())
                    .or(() -> ledger.portion(one.parcel()))
                    .orElseThrow();
            long massMg = from.state() == Held.State.HELD ? thing.massMg : 0;
            enter(line(
                    Move.What.TAKEN,
                    one.parcel(),
                    one.code(),
                    one.kind(),
                    from.code(),
                    thing.place,
                    massMg,
                    1,
                    at(day, 17)));
            if (massMg < thing.massMg) {
                // What it was taken of is destroyed, with all its soil by the account: weighing puts that right.
                enter(line(
                        Move.What.WEIGHED, one.parcel(), one.code(), one.kind(), "", "", thing.massMg, 0, at(day, 17)));
            }
        }
        forgotten.clear();
    }

    private void counts(int day) {
        Set<String> places = new HashSet<>(world.places());
        ledger.here().forEach(held -> places.add(held.place()));
        Map<String, Held> notSeen = new TreeMap<>();
        Map<String, String> elsewhere = new TreeMap<>();
        places.removeIf(place -> isLent(place) && !date(day).isAfter(until(place)));
        for (String place : places) {
            Ledger.Count count = ledger.count(place, world.at(place));
            count.missing().forEach(one -> notSeen.put(one.code(), one));
            count.elsewhere().forEach(one -> elsewhere.put(one.code(), place));
            if (!count.gone().isEmpty() || !count.unknown().isEmpty()) {
                tally("things that the account does not have").wronglyFound +=
                        count.gone().size() + count.unknown().size();
            }
        }
        tally("portions at another place").compare(misplaced, elsewhere.keySet());
        elsewhere.forEach((code, place) -> {
            Held held = requireNonNull(notSeen.remove(code));
            enter(line(Move.What.MOVED, held.parcel(), code, held.kind(), "", "waste", 0, 0, at(day, 17)));
            world.thing(code).place = "waste";
        });
        Set<String> notReturned = new HashSet<>();
        Set<String> notThere = new HashSet<>();
        Set<String> elseMissing = new HashSet<>();
        notSeen.values()
                .forEach(held -> (isLent(held.place())
                                ? notReturned
                                : held.kind() == PortionKind.PARCEL
                                                && held.place().equals("dock")
                                        ? notThere
                                        : elseMissing)
                        .add(held.code()));
        tally("loans that did not come back").compare(notBack, notReturned);
        tally("parcels that stayed when their booking was taken back").compare(notCancelled, notThere);
        tally("portions that vanished").compare(vanished, elseMissing);
        for (String code : notThere) {
            Held held = requireNonNull(notSeen.remove(code));
            enter(line(Move.What.MISTAKEN, code, code, held.kind(), "", "", held.massMg(), held.pieces(), at(day, 17)));
        }
        notBack.clear();
        notCancelled.clear();
        notSeen.values()
                .forEach(held -> enter(line(
                        Move.What.LOST,
                        held.parcel(),
                        held.code(),
                        held.kind(),
                        "",
                        "",
                        held.massMg(),
                        held.pieces(),
                        at(day, 17))));
        vanished.clear();
        misplaced.clear();
    }

    private static boolean isLent(String place) {
        return place.startsWith("lent to ");
    }

    private static LocalDate until(String place) {
        return LocalDate.parse(place.substring(place.length() - "2026-01-05".length()));
    }

    private void ages(int day) {
        Set<String> really = new HashSet<>();
        hidden.forEach(lab -> {
            Expected.Evidence soil = requireNonNull(evidence.get(lab));
            if (soil.laidOutAt().plus(Duration.ofDays(STORAGE_DAYS + 1)).isBefore(at(day, 12))) {
                really.add(soil.parcel());
            }
        });
        Set<String> said = new HashSet<>();
        for (Age age : Age.of(parcels, ledger, date(day), 0)) {
            if (age.state() == Age.State.OVERDUE) {
                said.add(age.parcel().code());
            }
        }
        tally("parcels past the permit's storage limit").compare(really, said);
    }
}
