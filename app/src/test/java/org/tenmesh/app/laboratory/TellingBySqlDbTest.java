package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.living.EarlierShelf;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.StoreSettings;

/**
 * Somebody at the bench who knows SQL, all lab numbers and statistics looks for what the hidden controls have in common: in every relation that
 * the bench's database user may read, the catalogues and statistics of the database included, by every column, the order of rows, where rows
 * lie, how many there are, how long they are, and how long an answer takes. The same search with the rights of quality finds the controls, so it
 * is able to.
 */
final class TellingBySqlDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final Pattern NUMBER = Pattern.compile("\\d{5}-\\d{4}-[0-9A-Z]");
    private static final int SHUFFLES = 400;
    /** As often as this chance alone may give what was found. */
    private static final double CHANCE = 0.01;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path temp;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    private static final Day LAID_OUT =
            Simulator.simulate(Scenario.of(41, 600, DATE)).day();
    private static final List<String> NUMBERS = LAID_OUT.soils().stream()
            .map(Soil::labNumber)
            .map(number -> number.text())
            .toList();

    @BeforeAll
    static void aLaboratory() {
        store = Store.open(StoreSettings.embedded(folder()), Clock.systemUTC(), new SecureRandom());
        store.take(LAID_OUT, DATE, "0".repeat(64), "M. Whelan");
        EarlierShelf.of(List.of(LAID_OUT), "B. Doyle", "M. Whelan")
                .forEach(acts -> store.shelves().keep(acts, ZoneOffset.UTC));
    }

    @AfterAll
    static void close() {
        store.close();
    }

    private static Path folder() {
        return temp.resolve("database");
    }

    private static Connection as(String user) throws Exception {
        return DriverManager.getConnection(
                EmbeddedServer.running(folder()).orElseThrow(),
                user,
                Files.readString(folder().resolve("secrets").resolve(user)).strip());
    }

    private static List<Integer> controls() {
        Set<String> key = new TreeSet<>();
        store.quality()
                .dayWithControls(DATE.toString())
                .orElseThrow()
                .controls()
                .keySet()
                .forEach(one -> key.add(one.text()));
        return IntStream.range(0, NUMBERS.size())
                .filter(i -> key.contains(NUMBERS.get(i)))
                .boxed()
                .toList();
    }

    @Test
    void theBenchTellsControlsNoBetterThanChance() throws Exception {
        try (Connection bench = as("tenmesh_bench")) {
            Search search = new Search(bench);
            search.everything();
            assertThat(search.naming()).as("what names lab numbers").contains("bench.place", "bench.shelf");
            assertThat(controls()).hasSizeGreaterThanOrEqualTo(8);
            Found found = search.found(controls());
            assertThat(found.chance())
                    .as("what tells controls best is %s", found.by())
                    .isGreaterThan(CHANCE);
        }
    }

    @Test
    void theSameSearchFindsThemWithTheRightsOfQuality() throws Exception {
        try (Connection quality = as("tenmesh_quality")) {
            Search search = new Search(quality);
            search.everything();
            Found found = search.found(controls());
            assertThat(found.chance()).isLessThanOrEqualTo(CHANCE);
            assertThat(search.naming()).contains("sealed.control");
        }
    }

    @Test
    void noAnswerTakesLongerForAControl() throws Exception {
        try (Connection bench = as("tenmesh_bench")) {
            List<Integer> controls = controls();
            // Another measurement before anything is said: one in a thousand is beyond 3.3 by chance.
            double first = times(bench, controls);
            double second = Math.abs(first) < 3.3 ? 0 : times(bench, controls);
            assertThat(Math.abs(first) > 3.3 && Math.abs(second) > 3.3 && first * second > 0)
                    .as("deviations of ranks of times: %s, %s", first, second)
                    .isFalse();
        }
    }

    private static double times(Connection bench, List<Integer> controls) throws SQLException {
        double[] best = new double[NUMBERS.size()];
        Arrays.fill(best, Double.MAX_VALUE);
        List<Integer> order =
                new ArrayList<>(IntStream.range(0, best.length).boxed().toList());
        try (PreparedStatement asked = bench.prepareStatement("select * from bench.place where lab_number = ?")) {
            for (int round = 0; round < 4; round++) {
                Collections.shuffle(order, new Random(round));
                for (int i : order) {
                    asked.setString(1, NUMBERS.get(i));
                    long began = System.nanoTime();
                    try (ResultSet rows = asked.executeQuery()) {
                        while (rows.next()) {
                            rows.getString(1);
                        }
                    }
                    best[i] = Math.min(best[i], System.nanoTime() - began);
                }
            }
        }
        return new Trait("times", best).deviation(controls);
    }

    @Test
    void theBenchMayCallNoFunctionOfTheLaboratory() throws Exception {
        try (Connection bench = as("tenmesh_bench");
                Statement statement = bench.createStatement();
                ResultSet rows = statement.executeQuery("""
                        select n.nspname || '.' || p.proname
                        from pg_proc p join pg_namespace n on n.oid = p.pronamespace
                        where n.nspname not in ('pg_catalog', 'information_schema')
                          and has_schema_privilege(n.oid, 'usage') and has_function_privilege(p.oid, 'execute')
                        """)) {
            List<String> all = new ArrayList<>();
            while (rows.next()) {
                all.add(rows.getString(1));
            }
            assertThat(all).isEmpty();
        }
    }

    /**
     * What was found.
     *
     * @param by the trait by which controls differ most
     * @param chance how often it would be as much if controls were drawn by lot
     */
    private record Found(String by, double chance) {}

    /** A number for each lab number. */
    private static final class Trait {
        private final String name;
        private final double[] ranks;
        private final double sum;
        private final double squares;

        Trait(String name, double[] values) {
            this.name = name;
            ranks = ranks(values);
            double all = 0;
            double square = 0;
            for (double rank : ranks) {
                all += rank;
                square += rank * rank;
            }
            sum = all;
            squares = square;
        }

        /** Mean ranks of what is equal. */
        private static double[] ranks(double[] values) {
            TreeMap<Double, List<Integer>> places = new TreeMap<>();
            for (int i = 0; i < values.length; i++) {
                places.computeIfAbsent(values[i], value -> new ArrayList<>()).add(i);
            }
            double[] ranks = new double[values.length];
            int before = 0;
            for (List<Integer> equal : places.values()) {
                for (int i : equal) {
                    ranks[i] = before + (equal.size() - 1) / 2.0;
                }
                before += equal.size();
            }
            return ranks;
        }

        /** The rank sum of some against that of a draw without replacement, in standard deviations. */
        double deviation(List<Integer> some) {
            int n = ranks.length;
            int k = some.size();
            double mean = sum / n;
            double variance = (squares / n - mean * mean) * k * (n - k) / (n - 1);
            if (variance <= 1e-9) {
                return 0;
            }
            double total = 0;
            for (int i : some) {
                total += ranks[i];
            }
            return (total - k * mean) / Math.sqrt(variance);
        }
    }

    /** Collects traits of lab numbers from everything that may be read. */
    private static final class Search {
        private final Connection connection;
        private final Map<String, Integer> places = new HashMap<>();
        private final List<Trait> traits = new ArrayList<>();
        private final Set<String> naming = new TreeSet<>();

        Search(Connection connection) {
            this.connection = connection;
            for (int i = 0; i < NUMBERS.size(); i++) {
                places.put(NUMBERS.get(i), i);
            }
            double[] serial = new double[NUMBERS.size()];
            Arrays.setAll(serial, i -> Integer.parseInt(NUMBERS.get(i).substring(6, 10)));
            number("lab number", serial);
        }

        Set<String> naming() {
            return naming;
        }

        void everything() throws SQLException {
            List<String[]> relations = new ArrayList<>();
            try (Statement statement = connection.createStatement();
                    ResultSet rows = statement.executeQuery("""
                            select quote_ident(n.nspname) || '.' || quote_ident(c.relname), c.relkind = 'r'
                            from pg_class c join pg_namespace n on n.oid = c.relnamespace
                            where c.relkind in ('r', 'v', 'm', 'p', 'f') and has_schema_privilege(n.oid, 'usage')
                              and (has_table_privilege(c.oid, 'select') or has_any_column_privilege(c.oid, 'select'))
                            order by 1
                            """)) {
                while (rows.next()) {
                    relations.add(new String[] {rows.getString(1), rows.getString(2)});
                }
            }
            assertThat(relations).hasSizeGreaterThan(100);
            for (String[] relation : relations) {
                read(relation[0], relation[1].equals("t"));
            }
        }

        private void read(String relation, boolean table) {
            Map<String, Map<Integer, String>> columns = new TreeMap<>();
            double[] count = new double[NUMBERS.size()];
            double[] first = new double[NUMBERS.size()];
            double[] length = new double[NUMBERS.size()];
            boolean names = false;
            String place = table
                    ? "(r.ctid::text::point)[0] as lies_block, (r.ctid::text::point)[1] as lies_line, r.xmin as wrote,"
                    : "";
            try (Statement statement = connection.createStatement();
                    ResultSet rows = statement.executeQuery("select " + place + " r.* from " + relation + " r")) {
                int width = rows.getMetaData().getColumnCount();
                for (int line = 1; rows.next(); line++) {
                    StringBuilder whole = new StringBuilder();
                    List<String> row = new ArrayList<>();
                    for (int i = 1; i <= width; i++) {
                        String text = String.valueOf(rows.getString(i));
                        row.add(text);
                        whole.append(text).append('\n');
                    }
                    Matcher number = NUMBER.matcher(whole);
                    while (number.find()) {
                        Integer which = places.get(number.group());
                        if (which == null) {
                            continue;
                        }
                        names = true;
                        count[which]++;
                        length[which] += whole.length();
                        if (first[which] == 0) {
                            first[which] = line;
                            for (int i = 1; i <= width; i++) {
                                columns.computeIfAbsent(rows.getMetaData().getColumnLabel(i), name -> new HashMap<>())
                                        .put(which, row.get(i - 1).replace(number.group(), "it"));
                            }
                        }
                    }
                }
            } catch (SQLException denied) {
                // Some of its columns may not be read: nothing is learnt of it.
                return;
            }
            if (!names) {
                return;
            }
            naming.add(relation);
            traits.add(new Trait(relation + " rows", count));
            traits.add(new Trait(relation + " length", length));
            number(relation + " order", first);
            columns.forEach((column, values) -> column(relation + "." + column, values));
        }

        /** A number may tell by its size, and by where it lies in a pattern that comes again. */
        private void number(String name, double[] values) {
            traits.add(new Trait(name, values));
            for (int period : new int[] {2, 3, 4, 5, 6, 7, 10, 12, 50}) {
                double[] rest = new double[values.length];
                Arrays.setAll(rest, i -> Math.floorMod((long) values[i], (long) period));
                traits.add(new Trait(name + " modulo " + period, rest));
            }
        }

        private void column(String name, Map<Integer, String> values) {
            boolean number = values.values().stream().allMatch(text -> text.matches("-?\\d{1,15}(\\.\\d+)?"));
            if (number) {
                double[] all = new double[NUMBERS.size()];
                values.forEach((which, text) -> all[which] = Double.parseDouble(text));
                number(name, all);
                return;
            }
            Map<String, List<Integer>> equal = new TreeMap<>();
            values.forEach((which, text) ->
                    equal.computeIfAbsent(text, one -> new ArrayList<>()).add(which));
            double[] there = new double[NUMBERS.size()];
            values.keySet().forEach(which -> there[which] = 1);
            traits.add(new Trait(name + " is there", there));
            double[] inOrder = new double[NUMBERS.size()];
            int place = 1;
            for (List<Integer> same : equal.values()) {
                for (int which : same) {
                    inOrder[which] = place;
                }
                place++;
                // A word that few share tells of few; one that half share tells of half.
                if (equal.size() <= 200 && same.size() > 1) {
                    double[] of = new double[NUMBERS.size()];
                    same.forEach(which -> of[which] = 1);
                    traits.add(new Trait(name + " = " + values.get(same.get(0)), of));
                }
            }
            traits.add(new Trait(name + " in order", inOrder));
        }

        Found found(List<Integer> controls) {
            Trait best = traits.get(0);
            for (Trait trait : traits) {
                if (Math.abs(trait.deviation(controls)) > Math.abs(best.deviation(controls))) {
                    best = trait;
                }
            }
            double real = Math.abs(best.deviation(controls));
            Random random = new Random(20261125);
            List<Integer> all =
                    new ArrayList<>(IntStream.range(0, NUMBERS.size()).boxed().toList());
            int asMuch = 0;
            for (int i = 0; i < SHUFFLES; i++) {
                Collections.shuffle(all, random);
                List<Integer> drawn = all.subList(0, controls.size());
                if (traits.stream().anyMatch(trait -> Math.abs(trait.deviation(drawn)) >= real - 1e-9)) {
                    asMuch++;
                }
            }
            return new Found(best.name + " (" + real + " deviations)", (asMuch + 1.0) / (SHUFFLES + 1.0));
        }
    }
}
