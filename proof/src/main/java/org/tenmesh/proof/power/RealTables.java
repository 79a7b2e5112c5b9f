package org.tenmesh.proof.power;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.simulator.soils.GivenSoil;

/** Soils of open tables: real contents, in the order of their tables, that go through the invented instruments. */
final class RealTables {
    /** mg per cmol of charge: atomic weight / valence x 10 (Ca 40.078, Mg 24.305, K 39.0983, Na 22.98977). */
    private static final Map<String, Double> MG_PER_CMOL =
            Map.of("Ca", 200.39, "Mg", 121.525, "K", 390.983, "Na", 229.8977);
    /** Organic matter for each part of carbon; the factor of the German table. */
    private static final double HUMUS_PER_CARBON = 1.72;
    /** What some tables write for "not detected". */
    private static final double FLOOR = 0.01;

    private static final int MOST_OF_A_CLIENT = 60;

    private RealTables() {}

    /**
     * A table that was used.
     *
     * @param day on which day its soils lie
     * @param derivedOnly whether its licence asks for more than its source beside a copy, so that no row of it is shown
     */
    record Used(String file, String what, String source, String licence, int soils, String taken, String day) {}

    /** Soils and where they come from. */
    record Read(Map<String, List<GivenSoil>> days, List<Used> tables) {}

    /** How a table is read. */
    private record Shape(
            String file, String what, String source, String licence, String taken, String day, Reader reader) {}

    private interface Reader {
        Optional<GivenSoil> of(Map<String, String> row, String label);
    }

    private static final String GERMAN = "1,018 German arable soils";
    private static final String SMALLER = "soils of the smaller tables";

    private static final List<Shape> SHAPES = List.of(
            new Shape(
                    "de_arable_anaplant.csv",
                    "German arable topsoils, 2022 to 2024",
                    "github.com/ANAPLANT-Project/ANAPLANT, data/ANAPLANT_Daten.csv (commit a66e303)",
                    "CC BY-SA 4.0",
                    "pH, humus as loss, P, K, Mg, Ca, B, Mn, Cu, Zn, Fe as they stand; Na, S, Al drawn; clients by date",
                    GERMAN,
                    RealTables::german),
            new Shape(
                    "africa_afsis_mehlich3.csv",
                    "sub-Saharan reference soils (AfSIS phase I)",
                    "github.com/opsabarsec/African-soil-chemistry-fertility-correlation (commit ffa2540)",
                    "ODbL 1.0, attribution to AfSIS",
                    "pH, 1.72 x organic carbon as loss, Mehlich-3 Ca, K, Al, P, S; the rest drawn; clients by country",
                    SMALLER,
                    RealTables::african),
            new Shape(
                    "westafrica_yamsys.csv",
                    "yam fields of Burkina Faso and Côte d'Ivoire",
                    "github.com/philipp-baumann/yamsys-soilspec-publication (commit f20fc16; doi 10.5281/zenodo.1174869)",
                    "GPL-3.0",
                    "pH, 1.72 x carbon as loss, exchangeable Ca, Mg, K, Na, resin P, total S, DTPA Zn, Cu, Fe, Mn; B, Al drawn",
                    SMALLER,
                    RealTables::yam),
            new Shape(
                    "us_california_rangeland_tomkat_raw.csv",
                    "one ranch in California, 2015 and 2018",
                    "github.com/oats-center/modus, examples/examples/tomkat-historic (commit be1c57e); thanks to Point Blue Conservation Science and TomKat Ranch",
                    "CC0 1.0",
                    "pH, 1.72 x organic carbon as loss, exchangeable Ca, Mg, K, Na, Olsen P; the rest drawn",
                    SMALLER,
                    RealTables::californian),
            new Shape(
                    "us_washington_washi.csv",
                    "Washington State soil health samples",
                    "github.com/oats-center/modus, examples/todo_still/WaSHI",
                    "CC0 1.0",
                    "pH, organic matter as loss, Olsen P, K, Ca, Mg, Na, S, B, Zn, Mn, Cu, Fe; Al drawn; rows with columns exchanged left out",
                    SMALLER,
                    RealTables::washington));

    /** Reads what there is of the tables in some folders; what is in none of them is passed over. */
    static Read read(List<Path> folders) throws IOException {
        Map<String, List<GivenSoil>> days = new LinkedHashMap<>();
        List<Used> used = new ArrayList<>();
        for (Shape shape : SHAPES) {
            Optional<Path> file = folders.stream()
                    .map(folder -> folder.resolve(shape.file()))
                    .filter(Files::isReadable)
                    .findFirst();
            if (file.isEmpty()) {
                continue;
            }
            List<GivenSoil> soils = soils(shape, file.get());
            used.add(new Used(
                    shape.file(),
                    shape.what(),
                    shape.source(),
                    shape.licence(),
                    soils.size(),
                    shape.taken(),
                    shape.day()));
            days.computeIfAbsent(shape.day(), day -> new ArrayList<>()).addAll(boxed(soils));
        }
        return new Read(days, used);
    }

    /** The soils of each table by itself, by its file's name. */
    static Map<String, List<GivenSoil>> each(List<Path> folders) throws IOException {
        Map<String, List<GivenSoil>> each = new LinkedHashMap<>();
        for (Shape shape : SHAPES) {
            for (Path folder : folders) {
                Path file = folder.resolve(shape.file());
                if (Files.isReadable(file) && !each.containsKey(shape.file())) {
                    each.put(shape.file(), boxed(soils(shape, file)));
                }
            }
        }
        return each;
    }

    private static List<GivenSoil> soils(Shape shape, Path file) throws IOException {
        List<GivenSoil> soils = new ArrayList<>();
        int line = 1;
        for (Map<String, String> row : rows(file)) {
            shape.reader().of(row, shape.file().substring(0, 2) + " " + line++).ifPresent(soils::add);
        }
        return soils;
    }

    // No client sends hundreds: what stands under one name in a table comes in boxes, and soils of one box lie
    // together.
    private static List<GivenSoil> boxed(List<GivenSoil> soils) {
        Map<String, Integer> seen = new HashMap<>();
        List<GivenSoil> boxed = new ArrayList<>();
        for (GivenSoil soil : soils) {
            int before = seen.merge(soil.client(), 1, Integer::sum) - 1;
            boxed.add(new GivenSoil(
                    soil.client() + " " + (1 + before / MOST_OF_A_CLIENT),
                    soil.field(),
                    soil.label(),
                    soil.ph(),
                    soil.loiPct(),
                    soil.mgKg()));
        }
        return boxed;
    }

    private static Optional<GivenSoil> german(Map<String, String> row, String label) {
        Map<String, Double> known = new HashMap<>();
        for (String symbol : List.of("P", "K", "Mg", "Ca")) {
            take(known, symbol, number(row, symbol + "_mg_100g"), 10);
        }
        for (String symbol : List.of("B", "Mn", "Cu", "Zn", "Fe")) {
            take(known, symbol, number(row, symbol + "_mg_kg"), 1);
        }
        return soil(
                "Germany " + row.getOrDefault("sample_date", ""),
                label,
                number(row, "pH"),
                number(row, "humus_pct"),
                known);
    }

    private static Optional<GivenSoil> african(Map<String, String> row, String label) {
        Map<String, Double> known = new HashMap<>();
        for (String symbol : List.of("Ca", "K", "Al", "P", "S")) {
            take(known, symbol, number(row, "M3_" + symbol + "_mg_kg"), 1);
        }
        return soil(
                row.getOrDefault("country", ""), label, number(row, "pH"), humus(number(row, "org_C_pct"), 1), known);
    }

    private static Optional<GivenSoil> yam(Map<String, String> row, String label) {
        Map<String, Double> known = new HashMap<>();
        for (String symbol : List.of("Ca", "Mg", "K", "Na")) {
            take(known, symbol, number(row, "ex" + symbol + "_mg_kg"), 1);
        }
        for (String symbol : List.of("Zn", "Cu", "Fe", "Mn")) {
            take(known, symbol, number(row, symbol + "_DTPA_mg_kg"), 1);
        }
        take(known, "P", number(row, "P_resin_mg_kg"), 1);
        take(known, "S", number(row, "total_S_mg_kg"), 1);
        String id = row.getOrDefault("sample_id", "");
        String client = id.length() >= 5 ? id.substring(0, 5) : row.getOrDefault("country", "");
        return soil(client, label, number(row, "pH_water_1to2"), humus(number(row, "total_C_g_kg"), 0.1), known);
    }

    private static Optional<GivenSoil> californian(Map<String, String> row, String label) {
        Map<String, Double> known = new HashMap<>();
        MG_PER_CMOL.forEach((symbol, mg) -> take(known, symbol, number(row, symbol + "_cmolc_kg"), mg));
        take(known, "P", number(row, "P_Olsen_ug_g"), 1);
        return soil(
                "California " + row.getOrDefault("campaign", "") + " " + row.getOrDefault("depth_cm", ""),
                label,
                number(row, "pH"),
                humus(number(row, "TOC_pct"), 1),
                known);
    }

    private static Optional<GivenSoil> washington(Map<String, String> row, String label) {
        boolean exchanged = number(row, "CEC_meq_100g").orElse(0) < 1
                || number(row, "Ca_mg_kg").orElse(0) < 100;
        if (exchanged) {
            return Optional.empty();
        }
        Map<String, Double> known = new HashMap<>();
        for (String symbol : List.of("K", "Ca", "Mg", "Na", "S", "B", "Zn", "Mn", "Cu", "Fe")) {
            take(known, symbol, number(row, symbol + "_mg_kg"), 1);
        }
        take(known, "P", number(row, "P_Olsen_mg_kg"), 1);
        OptionalDouble organic = number(row, "OM_pct");
        return soil(
                "Washington",
                label,
                number(row, "pH"),
                organic.isPresent() ? organic : humus(number(row, "total_C_pct"), 1),
                known);
    }

    /** A row without pH was never a routine soil and is left out. */
    private static Optional<GivenSoil> soil(
            String client, String label, OptionalDouble ph, OptionalDouble loss, Map<String, Double> known) {
        return ph.isEmpty() || ph.getAsDouble() < 2
                ? Optional.empty()
                : Optional.of(new GivenSoil(client, "", label, ph, loss, known));
    }

    private static OptionalDouble humus(OptionalDouble carbon, double pct) {
        return carbon.isPresent() && carbon.getAsDouble() > 0
                ? OptionalDouble.of(HUMUS_PER_CARBON * pct * carbon.getAsDouble())
                : OptionalDouble.empty();
    }

    private static void take(Map<String, Double> known, String symbol, OptionalDouble value, double times) {
        if (value.isPresent() && value.getAsDouble() >= FLOOR) {
            known.put(symbol, value.getAsDouble() * times);
        }
    }

    /** A plain number; text such as "QNS", "NA", "< 2.0" or "1.378.00" is no number and no content. */
    private static OptionalDouble number(Map<String, String> row, String column) {
        String text = row.getOrDefault(column, "").strip();
        return text.matches("\\d+(\\.\\d+)?") ? OptionalDouble.of(Double.parseDouble(text)) : OptionalDouble.empty();
    }

    private static List<Map<String, String>> rows(Path table) throws IOException {
        List<String> lines = Files.readAllLines(table, StandardCharsets.UTF_8);
        List<String> header = cells(lines.get(0));
        List<Map<String, String>> rows = new ArrayList<>();
        for (String line : lines.subList(1, lines.size())) {
            List<String> cells = cells(line);
            Map<String, String> row = new HashMap<>();
            for (int i = 0; i < cells.size(); i++) {
                row.put(header.get(i), cells.get(i));
            }
            rows.add(row);
        }
        return rows;
    }

    /** Cells of one line; quotes keep commas together, none of the tables has a quote inside a cell. */
    private static List<String> cells(String line) {
        List<String> cells = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < line.length(); i++) {
            char c = line.charAt(i);
            if (c == '"') {
                quoted = !quoted;
            } else if (c == ',' && !quoted) {
                cells.add(cell.toString());
                cell.setLength(0);
            } else {
                cell.append(c);
            }
        }
        cells.add(cell.toString());
        return cells;
    }
}
