package org.tenmesh.simulator;

import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeSet;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.SoilModel;
import org.tenmesh.simulator.soils.Specimen;

/**
 * A day whose soils are real: contents from three open tables go through the models of the instruments. The laboratory, its
 * instruments and its control soils stay invented; contents a table does not give are drawn as for invented soils, and
 * {@link #writeOrigins} says for every lab number which.
 */
public final class RealSoils {
    private static final long SEED = 20_261_124;
    private static final LocalDate DATE = LocalDate.of(2026, 11, 24);
    private static final String WASHINGTON = "us_washington_washi.csv";
    private static final String CALIFORNIA = "us_california_rangeland_tomkat_raw.csv";
    private static final String EUROPE = "eu_grassland_agrodiversity.csv";
    /** mg per cmol of charge: atomic weight / valence x 10 (Ca 40.078, Mg 24.305, K 39.0983, Na 22.98977). */
    private static final Map<String, Double> MG_PER_CMOL =
            Map.of("Ca", 200.39, "Mg", 121.525, "K", 390.983, "Na", 229.8977);
    /** Organic matter for each part of carbon; the factor of the German table. */
    private static final double HUMUS_PER_CARBON = 1.72;

    private final SimulatedDay day;
    private final Map<SoilContent, Origin> origins;

    private RealSoils(SimulatedDay day, Map<SoilContent, Origin> origins) {
        this.day = day;
        this.origins = origins;
    }

    /**
     * Where a soil's contents come from.
     *
     * @param drawn symbols whose content the table does not give
     */
    private record Origin(String table, String row, String licence, List<String> drawn) {}

    /**
     * Makes the day.
     *
     * @param tables the folder with the three tables
     */
    public static RealSoils of(Path tables) throws IOException {
        // Two soils may hold the same: each is distinguished as itself.
        Map<SoilContent, Origin> origins = new IdentityHashMap<>();
        List<Intake.Box> boxes = new ArrayList<>();
        boxes.add(new Intake.Box("WASHI", false, washington(tables, origins)));
        boxes.add(new Intake.Box("TOMKAT", false, california(tables, origins)));
        boxes.add(new Intake.Box("AGRODIV", false, europe(tables, origins)));
        Scenario scenario = Scenario.of(
                SEED, boxes.stream().mapToInt(box -> box.soils().size()).sum(), DATE);
        List<Submission> submissions = List.of(
                submission(
                        scenario,
                        "WASHI",
                        "Open table, Washington State soil health samples",
                        "US",
                        "Values: oats-center/modus, examples WaSHI, CC0 1.0"),
                submission(
                        scenario,
                        "TOMKAT",
                        "Open table, California rangeland",
                        "US",
                        "Values: oats-center/modus, tomkat-historic, CC0 1.0; Point Blue Conservation Science and TomKat Ranch"),
                submission(
                        scenario,
                        "AGRODIV",
                        "Open table, European grassland sites",
                        "",
                        "Values: statdoctor/AgrodiversityData, MIT; doi 10.6084/m9.figshare.3560352"));
        Intake intake = new Intake(submissions, boxes);
        return new RealSoils(Simulator.simulate(scenario, intake, "Ashgrove Soil Laboratory (invented)"), origins);
    }

    /** The day and its truth. */
    public SimulatedDay day() {
        return day;
    }

    /** Writes for every lab number the table and row it comes from, what went in, and what was drawn. */
    public void writeOrigins(Path file) throws IOException {
        try (BufferedWriter out = Files.newBufferedWriter(file, StandardCharsets.UTF_8)) {
            out.write("lab_number,table,row,licence,pH,LOI_pct");
            for (Element element : Element.ALL) {
                out.write("," + element.symbol() + "_mg_kg");
            }
            out.write(",drawn\r\n");
            for (Specimen specimen : day.truth().specimens()) {
                Origin origin = origins.get(specimen.content());
                if (origin == null) {
                    continue;
                }
                SoilContent content = specimen.content();
                out.write(specimen.number().text() + "," + origin.table() + "," + origin.row() + ","
                        + origin.licence() + "," + Decimals.places(content.ph(), 3) + ","
                        + Decimals.places(content.loiPct(), 3));
                for (double mgKg : content.mgKg()) {
                    out.write("," + Decimals.places(mgKg, 3));
                }
                out.write("," + String.join(";", origin.drawn()) + "\r\n");
            }
        }
    }

    private static Submission submission(Scenario scenario, String name, String client, String country, String note) {
        return new Submission(
                name,
                client,
                DATE.minusDays(1)
                        .atTime(LocalTime.of(9, 0))
                        .atZone(scenario.options().zone())
                        .toOffsetDateTime(),
                Optional.of(DATE.plusDays(3)),
                country.isEmpty() ? Optional.empty() : Optional.of(country),
                Optional.empty(),
                Optional.of("routine"),
                Optional.empty(),
                Optional.of(note));
    }

    private static List<Intake.Sent> washington(Path tables, Map<SoilContent, Origin> origins) throws IOException {
        Filler filler = new Filler(WASHINGTON, "CC0-1.0", origins);
        for (Map<String, String> row : rows(tables.resolve(WASHINGTON))) {
            // Twelve rows have columns or units exchanged; what is right of them cannot be told from the table alone.
            boolean exchanged = number(row, "CEC_meq_100g").orElse(0) < 1
                    || number(row, "Ca_mg_kg").orElse(0) < 100;
            if (exchanged) {
                continue;
            }
            Map<String, Double> known = new HashMap<>();
            for (Element element : Element.ALL) {
                String column = element.symbol().equals("P") ? "P_Olsen_mg_kg" : element.symbol() + "_mg_kg";
                number(row, column).ifPresent(value -> known.put(element.symbol(), value));
            }
            number(row, "OM_pct")
                    .ifPresentOrElse(
                            value -> known.put("LOI", value),
                            () -> number(row, "total_C_pct").ifPresent(c -> known.put("LOI", HUMUS_PER_CARBON * c)));
            filler.add(
                    row.getOrDefault("sample_id", ""),
                    number(row, "pH"),
                    known,
                    OptionalDouble.empty(),
                    OptionalDouble.empty());
        }
        return filler.soils;
    }

    private static List<Intake.Sent> california(Path tables, Map<SoilContent, Origin> origins) throws IOException {
        Filler filler = new Filler(CALIFORNIA, "CC0-1.0", origins);
        for (Map<String, String> row : rows(tables.resolve(CALIFORNIA))) {
            Map<String, Double> known = new HashMap<>();
            MG_PER_CMOL.forEach((symbol, mg) ->
                    number(row, symbol + "_cmolc_kg").ifPresent(value -> known.put(symbol, value * mg)));
            number(row, "P_Olsen_ug_g").ifPresent(value -> known.put("P", value));
            number(row, "TOC_pct").ifPresent(value -> known.put("LOI", HUMUS_PER_CARBON * value));
            String[] depth = row.getOrDefault("depth_cm", "").split(" to ");
            filler.add(
                    row.getOrDefault("point_id", "") + " " + row.getOrDefault("campaign", "") + " "
                            + row.getOrDefault("depth_cm", ""),
                    number(row, "pH"),
                    known,
                    OptionalDouble.of(Double.parseDouble(depth[0])),
                    OptionalDouble.of(Double.parseDouble(depth[1])));
        }
        return filler.soils;
    }

    private static List<Intake.Sent> europe(Path tables, Map<SoilContent, Origin> origins) throws IOException {
        Filler filler = new Filler(EUROPE, "MIT", origins);
        for (Map<String, String> row : rows(tables.resolve(EUROPE))) {
            Map<String, Double> known = new HashMap<>();
            for (String symbol : List.of("Ca", "K", "Mg", "Na", "P")) {
                number(row, symbol + "_ppm").ifPresent(value -> known.put(symbol, value));
            }
            number(row, "OM_pct").ifPresent(value -> known.put("LOI", value));
            filler.add(
                    "site " + row.getOrDefault("site", ""),
                    number(row, "pH"),
                    known,
                    OptionalDouble.empty(),
                    OptionalDouble.empty());
        }
        return filler.soils;
    }

    /** Takes rows of one table and draws what they do not give. */
    private static final class Filler {
        final List<Intake.Sent> soils = new ArrayList<>();
        private final String table;
        private final String licence;
        private final Map<SoilContent, Origin> origins;
        private final Chance chance;
        private final double[] client;

        Filler(String table, String licence, Map<SoilContent, Origin> origins) {
            this.table = table;
            this.licence = licence;
            this.origins = origins;
            this.chance = new Chance(SEED, table);
            this.client = SoilModel.level(chance);
        }

        /** A row without pH was never a routine soil and is left out. */
        void add(
                String row,
                OptionalDouble ph,
                Map<String, Double> known,
                OptionalDouble topCm,
                OptionalDouble bottomCm) {
            SoilContent drawn = SoilModel.soil(client, SoilModel.level(chance), SoilModel.level(chance));
            if (ph.isEmpty()) {
                return;
            }
            TreeSet<String> missing = new TreeSet<>();
            double[] mgKg = new double[Element.ALL.size()];
            for (int e = 0; e < mgKg.length; e++) {
                String symbol = Element.ALL.get(e).symbol();
                Double value = known.get(symbol);
                if (value == null) {
                    missing.add(symbol);
                }
                mgKg[e] = value == null ? drawn.mgKg()[e] : value;
            }
            Double loss = known.get("LOI");
            if (loss == null) {
                missing.add("LOI");
            }
            SoilContent content = new SoilContent(ph.getAsDouble(), loss == null ? drawn.loiPct() : loss, mgKg);
            origins.put(content, new Origin(table, row, licence, List.copyOf(missing)));
            soils.add(new Intake.Sent(row, row, topCm, bottomCm, content));
        }
    }

    /** A plain number; text such as "QNS", "NA", "< 2.0" or "ND (u)" is no number and no content. */
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
