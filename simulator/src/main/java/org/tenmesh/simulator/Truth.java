package org.tenmesh.simulator;

import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.KnownSoils;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.Specimen;
import org.tenmesh.simulator.soils.WholeSoil;

/** What is true of a made-up day: every planted fault and the content of every soil. */
public final class Truth {
    private static final String FAULTS_FILE = "truth.csv";
    private static final String SOILS_FILE = "truth-soils.csv";

    private static final String METHODS_FILE = "truth-methods.csv";
    private static final String DRAWN_FILE = "truth-drawn.csv";

    private final List<Planted> faults;
    private final List<Specimen> specimens;
    private final Map<LabNumber, WholeSoil> whole;
    private final Map<LabNumber, List<String>> drawn;
    private final Map<LabNumber, SoilContent> byNumber = new HashMap<>();

    Truth(
            List<Planted> faults,
            List<Specimen> specimens,
            Map<LabNumber, WholeSoil> whole,
            Map<LabNumber, List<String>> drawn) {
        this.faults = List.copyOf(faults);
        this.specimens = List.copyOf(specimens);
        this.whole = Map.copyOf(whole);
        this.drawn = Map.copyOf(drawn);
        specimens.forEach(specimen -> byNumber.put(specimen.number(), specimen.content()));
    }

    /** What a method would find of an analyte in one soil or hidden control if nothing went wrong; empty where that is not drawn. */
    public OptionalDouble value(LabNumber number, String method, String analyte) {
        WholeSoil further = whole.get(number);
        double found = further == null ? Double.NaN : further.of(method, analyte);
        SoilContent content = byNumber.get(number);
        if (Double.isNaN(found) && content != null) {
            found = switch (method) {
                case ElectrodeModel.METHOD -> content.ph();
                case IgnitionModel.METHOD -> content.loiPct();
                case EmissionModel.METHOD -> {
                    int place = Element.SYMBOLS.indexOf(analyte);
                    yield place < 0 ? Double.NaN : content.mgKg()[place];
                }
                default -> Double.NaN;
            };
        }
        return Double.isNaN(found) ? OptionalDouble.empty() : OptionalDouble.of(found);
    }

    /** What the further methods would find, by lab number; empty on a day of three methods. */
    Map<LabNumber, WholeSoil> whole() {
        return whole;
    }

    /** Of soils that were given: which contents were not, and were drawn; by lab number, soils given whole are left out. */
    public Map<LabNumber, List<String>> drawn() {
        return drawn;
    }

    /** The planted faults, in the order of the runs. */
    public List<Planted> faults() {
        return faults;
    }

    /**
     * What every lab number truly holds, in the order of {@link KnownSoils#symbols}: pH, loss in %, mg/kg.
     */
    public Map<LabNumber, double[]> contents() {
        Map<LabNumber, double[]> contents = new TreeMap<>();
        for (Specimen specimen : specimens) {
            SoilContent content = specimen.content();
            double[] all = new double[2 + content.mgKg().length];
            all[0] = content.ph();
            all[1] = content.loiPct();
            System.arraycopy(content.mgKg(), 0, all, 2, content.mgKg().length);
            contents.put(specimen.number(), all);
        }
        return contents;
    }

    /** Every lab number with what it truly holds, in the order of trays. */
    List<Specimen> specimens() {
        return specimens;
    }

    /**
     * Writes {@code truth.csv} (one row a planted fault) and {@code truth-soils.csv} (one row a lab number with its true
     * contents, hidden controls with their material); on a day of every method {@code truth-methods.csv} too (one row a lab
     * number, method and analyte); on a day of given soils {@code truth-drawn.csv} (one row a lab number with the symbols that were drawn).
     *
     * @param folder made when it is not there
     */
    public void write(Path folder) throws IOException {
        Files.createDirectories(folder);
        try (BufferedWriter out = Files.newBufferedWriter(folder.resolve(FAULTS_FILE), StandardCharsets.UTF_8)) {
            out.write(
                    "kind,run,method,channel,analytes,first_position,last_position,samples,size,lab_numbers,story\r\n");
            for (Planted planted : faults) {
                out.write(String.join(
                        ",",
                        planted.kind().word(),
                        planted.run(),
                        planted.method(),
                        planted.channel(),
                        String.join(";", planted.analytes()),
                        Integer.toString(planted.firstPosition()),
                        Integer.toString(planted.lastPosition()),
                        Integer.toString(planted.labNumbers().size()),
                        Double.toString(Decimals.significant(planted.size(), 6)),
                        planted.labNumbers().stream().map(Object::toString).collect(Collectors.joining(";")),
                        '"' + planted.story().replace("\"", "\"\"") + '"'));
                out.write("\r\n");
            }
        }
        try (BufferedWriter out = Files.newBufferedWriter(folder.resolve(SOILS_FILE), StandardCharsets.UTF_8)) {
            out.write("lab_number,material,pH,LOI_pct");
            for (Element element : Element.ALL) {
                out.write("," + element.symbol() + "_mg_kg");
            }
            out.write("\r\n");
            for (Specimen specimen : specimens) {
                SoilContent content = specimen.content();
                out.write(specimen.number().text() + "," + specimen.material().orElse("") + ","
                        + Decimals.places(content.ph(), 4) + "," + Decimals.places(content.loiPct(), 4));
                for (double mgKg : content.mgKg()) {
                    out.write("," + Decimals.places(mgKg, 4));
                }
                out.write("\r\n");
            }
        }
        if (!whole.isEmpty()) {
            writeMethods(folder);
        }
        if (!drawn.isEmpty()) {
            try (BufferedWriter out = Files.newBufferedWriter(folder.resolve(DRAWN_FILE), StandardCharsets.UTF_8)) {
                out.write("lab_number,drawn\r\n");
                for (Map.Entry<LabNumber, List<String>> soil : new TreeMap<>(drawn).entrySet()) {
                    out.write(soil.getKey().text() + "," + String.join(";", soil.getValue()) + "\r\n");
                }
            }
        }
    }

    private void writeMethods(Path folder) throws IOException {
        try (BufferedWriter out = Files.newBufferedWriter(folder.resolve(METHODS_FILE), StandardCharsets.UTF_8)) {
            out.write("lab_number,method,analyte,value\r\n");
            for (Map.Entry<LabNumber, WholeSoil> soil : new TreeMap<>(whole).entrySet()) {
                for (Map.Entry<String, List<String>> method : Routine.reported().entrySet()) {
                    for (String analyte : method.getValue()) {
                        double value = soil.getValue().of(method.getKey(), analyte);
                        if (!Double.isNaN(value)) {
                            out.write(soil.getKey().text() + "," + method.getKey() + "," + analyte + ","
                                    + Decimals.significant(value, 6) + "\r\n");
                        }
                    }
                }
            }
        }
    }
}
