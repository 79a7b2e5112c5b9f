package org.tenmesh.proof.power;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import org.tenmesh.proof.arguments.Arguments;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;

/** Runs the study and writes its report: {@code ./tenmesh power}. */
public final class PowerStudy {
    private static final Set<String> KEYS = Set.of(
            "repeats",
            "only",
            "soils",
            "seed",
            "out",
            "tables",
            "shipped-tables",
            "program",
            "date",
            "progress",
            "cards");
    private static final String USAGE =
            "tenmesh power [--cards clean|planted|history|portions] [--repeats 200] [--only NAME] [--soils 1000] [--seed N] [--tables DIR] [--out DIR] [--date DATE]";
    private static final double A_QUARTER = 0.25;
    private static final int LIMIT_DRAWS = 40_000;
    private static final int NOISE_DAYS = 10;

    private PowerStudy() {}

    /** Ends with 0 when it is done, with 2 when the arguments cannot be used. */
    public static void main(String[] arguments) throws IOException {
        Optional<Map<String, String>> given = Arguments.of(arguments, KEYS);
        if (given.isEmpty()) {
            System.err.println("usage: " + USAGE);
            System.exit(2);
            return;
        }
        try {
            new PowerStudy.Running(given.get()).run();
        } catch (IllegalArgumentException wrong) {
            System.err.println("tenmesh power: " + wrong.getMessage() + "\nusage: " + USAGE);
            System.exit(2);
        }
    }

    private static final class Running {
        private final Map<String, String> given;
        private final Study study;
        private final Optional<Pattern> only;
        private final boolean progress;
        private long since = System.nanoTime();

        Running(Map<String, String> given) {
            this.given = given;
            study = new Study(
                    Integer.parseInt(given.getOrDefault("repeats", "200")),
                    Integer.parseInt(given.getOrDefault("soils", "1000")),
                    Long.parseLong(given.getOrDefault("seed", "20261125")));
            only = Optional.ofNullable(given.get("only")).map(name -> Pattern.compile(name, Pattern.CASE_INSENSITIVE));
            progress = given.getOrDefault("progress", "no").equals("yes");
        }

        void run() throws IOException {
            String cards = given.get("cards");
            if (cards != null) {
                new CardStudy(study.repeats(), study.seed(), folders()).print(cards, given.getOrDefault("only", ""));
                return;
            }
            RealTables.Read real = RealTables.read(folders());
            List<Row> rows = new ArrayList<>(Rows.all());
            real.days().forEach((day, soils) -> rows.addAll(Rows.real(day, soils)));
            List<Row> wanted = rows.stream()
                    .filter(row -> only.isEmpty()
                            || only.get()
                                    .matcher(row.part() + ": " + row.name())
                                    .find())
                    .toList();
            Map<String, CleanDays> clean = new LinkedHashMap<>();
            Map<Study.Where, CleanDays> where = new HashMap<>();
            for (Place place : places(real.days())) {
                boolean asked = only.isEmpty()
                        || only.get().matcher("clean days: " + place.words()).find()
                        || wanted.stream()
                                .anyMatch(row ->
                                        Study.Where.of(row, study.soils()).equals(place.where()) && isExchange(row));
                if (asked) {
                    CleanDays days = study.clean(place.where(), study.times(place.share()));
                    where.put(place.where(), days);
                    clean.put(place.words(), days);
                    done("clean days: " + place.words());
                    if (only.isPresent()) {
                        System.out.printf(
                                Locale.ROOT,
                                "clean, %s: %d days, redo on %s, not fit %s%n",
                                place.words(),
                                days.days(),
                                new Rate(days.redoDays(), days.days()).text(),
                                new Rate(days.unfit(), days.determinations()).text());
                    }
                }
            }
            Map<String, Limit.Known> limit = Map.of();
            if (only.isEmpty() || only.get().matcher("limit").find()) {
                limit = study.limit(
                        Math.min(NOISE_DAYS, study.repeats()), Math.min(LIMIT_DRAWS, 400 * study.repeats()));
                done("limit with everything known");
            }
            List<Study.Counted> counted = new ArrayList<>();
            for (Row row : wanted) {
                Study.Counted one = study.count(row, where);
                counted.add(one);
                System.out.println(Figures.line(one));
                done(row.part() + ": " + row.name());
            }
            Map<String, Map<String, EveryMethod.Counted>> every = Map.of();
            int everyRepeats = study.times(A_QUARTER);
            if (only.isEmpty() || only.get().matcher("every method").find()) {
                every = EveryMethod.count(everyRepeats, study.seed(), "");
                done("every method");
            }
            if (only.isEmpty() || given.containsKey("out")) {
                Path out = Path.of(given.getOrDefault("out", "docs/validation"));
                Measured all = new Measured(
                        study,
                        given.getOrDefault("program", "unknown"),
                        given.getOrDefault("date", "undated"),
                        counted,
                        clean,
                        where,
                        limit,
                        only.isEmpty()
                                        || wanted.stream()
                                                .anyMatch(row -> row.part().equals(Rows.REAL))
                                ? real.tables()
                                : List.of(),
                        given.getOrDefault("only", ""));
                new Report(all).write(out);
                if (!every.isEmpty()) {
                    Files.writeString(out.resolve("every-method.md"), EveryMethod.page(every, all, everyRepeats));
                }
                System.out.println("Written: " + out.resolve("README.md"));
            }
        }

        private static boolean isExchange(Row row) {
            return row.part().equals(Rows.EXCHANGES)
                    || row.part().equals(Rows.GROUNDS)
                    || row.part().equals(Rows.REAL);
        }

        private List<Path> folders() {
            List<Path> folders = new ArrayList<>();
            for (String key : List.of("tables", "shipped-tables")) {
                Optional.ofNullable(given.get(key))
                        .map(Path::of)
                        .filter(Files::isDirectory)
                        .ifPresent(folders::add);
            }
            return folders;
        }

        private void done(String what) {
            long now = System.nanoTime();
            if (progress) {
                System.err.printf(Locale.ROOT, "%6.1f s  %s%n", (now - since) / 1e9, what);
            }
            since = now;
        }

        private record Place(String words, Study.Where where, double share) {}

        private List<Place> places(Map<String, List<GivenSoil>> real) {
            List<Place> places = new ArrayList<>();
            Options usual = Options.defaults();
            both(places, "arable soils", usual, 1);
            for (Ground ground : Ground.values()) {
                if (ground != Ground.ARABLE) {
                    both(places, ground.word() + " soils", usual.on(ground), A_QUARTER);
                }
            }
            for (Likeness likeness : Rows.LIKENESSES) {
                both(places, "arable soils, alike " + Rows.words(likeness), usual.with(likeness), A_QUARTER);
            }
            real.forEach((day, soils) -> {
                for (boolean key : new boolean[] {true, false}) {
                    places.add(new Place(
                            day + (key ? "" : ", no key wells"),
                            new Study.Where(soils.size(), usual.withKeyWells(key), soils),
                            A_QUARTER));
                }
            });
            return places;
        }

        private void both(List<Place> places, String words, Options options, double share) {
            places.add(new Place(words, new Study.Where(study.soils(), options, List.of()), share));
            places.add(new Place(
                    words + ", no key wells",
                    new Study.Where(study.soils(), options.withKeyWells(false), List.of()),
                    share));
        }
    }
}
