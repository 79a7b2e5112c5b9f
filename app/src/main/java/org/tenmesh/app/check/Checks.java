package org.tenmesh.app.check;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.app.methods.Worked;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.csv.Tables;
import org.tenmesh.exchange.methods.MethodFiles;

/** Every check the program ships. */
public final class Checks {
    /** The tables of checks, in the order of the report. */
    static final List<String> TABLES = List.of(
            "least-squares",
            "spread",
            "analysis-of-variance",
            "quantiles",
            "outliers",
            "precision",
            "robust",
            "control-charts",
            "detection-limits",
            "calibration",
            "numbers",
            "electrodes",
            "measured",
            "plasma",
            "flow",
            "salts",
            "paste-tables",
            "exchangeable",
            "texture",
            "per-acre",
            "lime",
            "lime-tables",
            "ratings",
            "settings");

    private static final String WORD = "word";
    private static final String EXAMPLES = "Worked examples in the files of the methods";

    private final Map<String, Subject> subjects = subjects();
    private final Map<String, Proof> proofs = proofs();
    private final List<Check> checks = new ArrayList<>();

    private Checks() {}

    /** Makes every check and sums them up: the program's own code runs on the published input. Takes about a second. */
    public static CheckReport run() {
        Checks all = new Checks();
        for (String table : TABLES) {
            Shipped.table(table + ".csv").rows().forEach(all::row);
        }
        all.examples();
        return new CheckReport(all.checks);
    }

    private static Map<String, Subject> subjects() {
        Subjects subjects = new Subjects();
        StatisticsSubjects.onto(subjects);
        CalibrationSubjects.onto(subjects);
        SoilSubjects.onto(subjects);
        return subjects.named();
    }

    private static Map<String, Proof> proofs() {
        Map<String, Publication> publications = new HashMap<>();
        for (Tables.Row row : Shipped.table("publications.csv").rows()) {
            publications.put(
                    row.text("publication"),
                    new Publication(row.text("publication"), row.text("text"), row.text("read")));
        }
        Map<String, Proof> proofs = new LinkedHashMap<>();
        for (Tables.Row row : Shipped.table("proofs.csv").rows()) {
            proofs.put(
                    row.text("proof"),
                    new Proof(
                            row.text("proof"),
                            row.text("group"),
                            known(publications, row.text("publication")),
                            Standing.of(row.text("standing")),
                            Proof.Nature.valueOf(row.text("nature").toUpperCase(Locale.ROOT)),
                            row.text("place"),
                            row.text("proves")));
        }
        return proofs;
    }

    private static <T> T known(Map<String, T> all, String name) {
        T one = all.get(name);
        if (one == null) {
            throw new IllegalStateException("the checks name " + name + ", which is nowhere described");
        }
        return one;
    }

    private void row(Tables.Row row) {
        Given given = Given.of(row.text("of"), row.text("given"));
        Proof proof = known(proofs, row.text("proof"));
        checks.add(check(
                row.text("check"),
                proof,
                row.text("place").isEmpty() ? proof.place() : row.text("place"),
                row.text("subject"),
                given,
                row.text("expected"),
                row.text("tolerance"),
                known(subjects, row.text("subject"))));
    }

    /** Makes one check. A computation that breaks is a failed check, not the end of the others. */
    static Check check(
            String id,
            Proof proof,
            String place,
            String what,
            Given given,
            String expected,
            String tolerance,
            Subject subject) {
        String asked = what
                + (given.of().isEmpty() ? "" : " of " + given.of())
                + (given.values().isEmpty() ? "" : ": " + inWords(given.values()));
        String reason = "as printed";
        String got;
        boolean passed = false;
        try {
            Object answer = subject.answer(given);
            if (tolerance.equals(WORD)) {
                got = answer.toString();
                passed = got.equals(expected);
            } else {
                Tolerance allowed = Tolerance.of(tolerance, expected);
                double value = (Double) answer;
                reason = allowed.reason();
                got = shown(value, expected);
                passed = allowed.holds(Double.parseDouble(expected), value);
            }
        } catch (RuntimeException broken) {
            got = "nothing: " + broken;
        }
        return new Check(id, proof, place, asked, given.of(), expected, got, reason, passed);
    }

    private static String inWords(Map<String, String> values) {
        List<String> words = new ArrayList<>();
        values.forEach((name, value) -> words.add(name.replace('_', ' ').replace("@", "") + " " + value));
        return String.join(", ", words);
    }

    // Three digits more than printed: enough to see how near it lies.
    private static String shown(double value, String printed) {
        if (!Double.isFinite(value)) {
            return Double.toString(value);
        }
        int digits = Math.min(16, new BigDecimal(printed).precision() + 3);
        BigDecimal rounded =
                new BigDecimal(value).round(new MathContext(digits)).stripTrailingZeros();
        double size = Math.abs(value);
        return size != 0 && (size < 1e-5 || size >= 1e15) ? rounded.toString() : rounded.toPlainString();
    }

    // The worked examples in the methods' own files, those with a source that was read.
    private void examples() {
        for (Method method : MethodFiles.allShipped()) {
            for (Worked worked : Worked.of(method)) {
                Source source = worked.example().source();
                if (source.standing() == Source.Standing.READ) {
                    example(worked, source);
                }
            }
        }
    }

    private void example(Worked worked, Source source) {
        boolean computed = source.text().toLowerCase(Locale.ROOT).startsWith("computed");
        String id = worked.method().id();
        Proof proof = new Proof(
                "example-" + id,
                EXAMPLES,
                new Publication(id, source.text(), ""),
                computed ? Standing.COMPUTED : Standing.READ,
                Proof.Nature.EXAMPLE,
                "",
                worked.method().head().title());
        boolean several = worked.example().expected().size() > 1;
        worked.example().expected().forEach((symbol, expected) -> {
            checks.add(check(
                    worked.id() + (several ? "-" + symbol : ""),
                    proof,
                    "",
                    "worked example",
                    new Given(id + " " + symbol, Map.of("given", worked.given())),
                    expected,
                    WORD,
                    given -> worked.got().getOrDefault(symbol, "nothing")));
        });
    }
}
