package org.tenmesh.core.causes;

import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.IntStream;
import org.tenmesh.core.agreement.SoilTable;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.methods.Analyte;

/** Soils of earlier days in the columns of a day, each box a client of its own: what changed from day to day goes with the box. */
final class EarlierRows {
    /** The columns of one method in the table of a day. */
    interface Columns {
        String methodId();

        List<Analyte> analytes();

        /** Where each analyte stands in a row. */
        int[] own();

        /** A content or pH on the scale on which soils are compared. */
        double scaled(int column, double value);
    }

    private final int mostLearned;
    private final List<EarlierSoils.EarlierSoil> soils;
    private final double[][] values;
    private final int[] client;
    private final int[] field;

    /**
     * @param mostLearned newest soils that relations are learned from
     */
    EarlierRows(EarlierSoils earlier, List<? extends Columns> methods, int columns, int mostLearned) {
        this.mostLearned = mostLearned;
        soils = earlier.soils();
        int n = soils.size();
        values = new double[n][columns];
        client = new int[n];
        field = new int[n];
        Map<String, Integer> boxes = new HashMap<>();
        Map<String, Integer> fields = new HashMap<>();
        for (int row = 0; row < n; row++) {
            EarlierSoils.EarlierSoil soil = soils.get(row);
            Arrays.fill(values[row], Double.NaN);
            for (Columns method : methods) {
                Map<String, Double> results = soil.results().getOrDefault(method.methodId(), Map.of());
                for (int c = 0; c < method.own().length; c++) {
                    Analyte analyte = method.analytes().get(c);
                    Double value = results.get(analyte.symbol());
                    if (value != null) {
                        values[row][method.own()[c]] = method.scaled(c, value);
                    }
                }
            }
            client[row] = boxes.computeIfAbsent(soil.day() + " " + soil.submission(), box -> boxes.size());
            field[row] = fields.computeIfAbsent(client[row] + " " + stem(soil.label()), name -> fields.size());
        }
    }

    // A client's own names of one field's soils differ in their last number.
    static String stem(String label) {
        int end = label.length();
        while (end > 0 && Character.isDigit(label.charAt(end - 1))) {
            end--;
        }
        while (end > 0 && !Character.isLetterOrDigit(label.charAt(end - 1))) {
            end--;
        }
        return label.substring(0, end);
    }

    static Optional<String> region(Submission submission) {
        return submission
                .originRegion()
                .map(region -> submission.originCountry().orElse("") + " " + region);
    }

    boolean isEmpty() {
        return soils.isEmpty();
    }

    int[] newest() {
        return IntStream.range(Math.max(0, soils.size() - mostLearned), soils.size())
                .toArray();
    }

    /** The newest of one kind. */
    int[] of(Predicate<EarlierSoils.EarlierSoil> kind) {
        int[] all = IntStream.range(0, soils.size())
                .filter(row -> kind.test(soils.get(row)))
                .toArray();
        return Arrays.copyOfRange(all, Math.max(0, all.length - mostLearned), all.length);
    }

    /** How many of some rows have all of a method and of others. */
    long with(int[] rows, int[] own, int[] others) {
        return Arrays.stream(rows)
                .filter(row -> IntStream.concat(Arrays.stream(own), Arrays.stream(others))
                        .allMatch(column -> Double.isFinite(values[row][column])))
                .count();
    }

    /** Earlier rows before some rows of a day. */
    SoilTable before(SoilTable day, int[] rows, BitSet of) {
        int[] today = of.stream().toArray();
        int n = rows.length + today.length;
        double[][] all = new double[n][];
        int[] allClients = new int[n];
        int[] allFields = new int[n];
        for (int i = 0; i < n; i++) {
            boolean old = i < rows.length;
            int row = old ? rows[i] : today[i - rows.length];
            all[i] = old ? values[row] : day.values()[row];
            allClients[i] = old ? client[row] : day.client()[row] < 0 ? -1 : day.client()[row] + soils.size();
            allFields[i] = old ? field[row] : day.field()[row] + soils.size();
        }
        return new SoilTable(all, allClients, allFields);
    }
}
