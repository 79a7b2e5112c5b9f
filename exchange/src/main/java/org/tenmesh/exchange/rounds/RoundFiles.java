package org.tenmesh.exchange.rounds;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.proficiency.Action;
import org.tenmesh.core.proficiency.Assigned;
import org.tenmesh.core.proficiency.Bias;
import org.tenmesh.core.proficiency.RoundResult;
import org.tenmesh.core.proficiency.SamplesExchanged;
import org.tenmesh.core.proficiency.Scored;
import org.tenmesh.core.proficiency.Series;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.TextOut;
import org.tenmesh.exchange.judged.JudgedFiles;
import org.tenmesh.exchange.judged.JudgedTable;

/** Rounds of proficiency testing as CSV, read and judged; what each column holds is said in docs/proficiency.md. */
public final class RoundFiles {
    private static final List<String> REQUIRED = List.of("round", "date", "sample", "method", "analyte", "unit");
    private static final String BETWEEN = "numbers with . as the decimal mark and ; between";

    private RoundFiles() {}

    /**
     * Reads files of rounds.
     *
     * @param judged a judged day's folder whose results.csv holds the laboratory's own values, for rows that name lab numbers
     */
    public static RoundsRead read(List<Path> files, Optional<Path> judged, Limits limits) {
        List<Problem> problems = new ArrayList<>();
        Map<Key, Found> found = judged.isPresent() ? found(judged.get(), limits, problems) : Map.of();
        List<RoundResult> results = new ArrayList<>();
        Map<List<String>, String> places = new HashMap<>();
        Map<String, LocalDate> dates = new HashMap<>();
        for (Path file : files) {
            String name = String.valueOf(file.getFileName());
            FileProblems wrong = new FileProblems(name, "Nothing of this file is taken, the other files are");
            List<RoundResult> its = new ArrayList<>();
            TextFile.read(file, name, limits.fileBytes(), wrong.told(), wrong.consequence())
                    .flatMap(text -> CsvFile.open(text, REQUIRED, wrong))
                    .ifPresent(csv -> csv.forEach(row -> {
                        List<String> key =
                                List.of(row.cell("round"), row.cell("sample"), row.cell("method"), row.cell("analyte"));
                        String before = places.putIfAbsent(key, name + ", line " + row.line());
                        if (before != null) {
                            row.wrong(
                                    "round",
                                    Problem.quoted(String.join(" ", key)) + " a second time",
                                    "each round, sample, method and analyte once; it stands in " + before + " already");
                        }
                        result(row, judged.isPresent(), found, dates).ifPresent(its::add);
                    }));
            problems.addAll(wrong.all());
            if (wrong.none()) {
                results.addAll(its);
            }
        }
        return new RoundsRead(results, problems);
    }

    private record Key(String labNumber, String method, String analyte) {}

    private record Found(OptionalDouble value, String unit, OptionalDouble expandedU, String verdict) {}

    private static Map<Key, Found> found(Path judged, Limits limits, List<Problem> problems) {
        Map<Key, Found> found = new HashMap<>();
        FileProblems wrong = new FileProblems(JudgedTable.RESULTS.file(), "No lab number of a round can be looked up");
        TextFile.read(
                        judged.resolve(JudgedTable.RESULTS.file()),
                        JudgedTable.RESULTS.file(),
                        limits.fileBytes(),
                        wrong.told(),
                        wrong.consequence())
                .flatMap(text -> CsvFile.open(
                        text,
                        JudgedTable.RESULTS.needing(
                                "lab_number", "method", "analyte", "value", "unit", "uncertainty", "verdict"),
                        wrong))
                .ifPresent(csv -> csv.forEach(row -> found.put(
                        new Key(row.cell("lab_number"), row.cell("method"), row.cell("analyte")),
                        new Found(
                                row.optionalNumber("value"),
                                row.cell("unit"),
                                row.optionalNumber("uncertainty"),
                                row.cell("verdict")))));
        problems.addAll(wrong.all());
        return wrong.none() ? found : Map.of();
    }

    private static Optional<RoundResult> result(
            CsvFile.Row row, boolean judged, Map<Key, Found> found, Map<String, LocalDate> dates) {
        Optional<LocalDate> date = row.text("date").isEmpty() ? Optional.empty() : row.optionalDate("date");
        String round = row.text("round");
        date.ifPresent(day -> {
            LocalDate before = dates.putIfAbsent(round, day);
            if (before != null && !before.equals(day)) {
                row.wrong("date", "the date that round " + round + " has already, " + before);
            }
        });
        String sample = row.text("sample");
        String method = row.text("method");
        String analyte = row.text("analyte");
        Unit unit = row.unit("unit");
        Optional<Assigned> assigned = assigned(row);
        Optional<Own> own = own(row, judged, found, unit);
        if (date.isEmpty() || assigned.isEmpty() || own.isEmpty()) {
            return Optional.empty();
        }
        return Optional.of(new RoundResult(
                round,
                date.get(),
                sample,
                method,
                analyte,
                unit,
                assigned.get(),
                own.get().values(),
                own.get().standardU()));
    }

    private static Optional<Assigned> assigned(CsvFile.Row row) {
        OptionalDouble sigma = row.optionalNumber("sigma");
        if (sigma.isPresent() && !(sigma.getAsDouble() > 0)) {
            row.wrong("sigma", "a number above 0");
            return Optional.empty();
        }
        Optional<String> stated = row.optional("assigned");
        Optional<String> participants = row.optional("participants");
        if (stated.isPresent() == participants.isPresent()) {
            row.wrong(
                    "assigned",
                    stated.isPresent() ? "an assigned value and participants' values" : "neither of them",
                    "an assigned value, or the participants' values");
            return Optional.empty();
        }
        if (participants.isPresent()) {
            Optional<double[]> values = numbers(row, "participants");
            if (values.isPresent() && values.get().length < Assigned.FEWEST) {
                row.wrong("participants", "values of " + Assigned.FEWEST + " laboratories or more");
                return Optional.empty();
            }
            return values.map(all -> Assigned.ofParticipants(all, step(participants.get()), sigma));
        }
        OptionalDouble value = row.optionalNumber("assigned");
        OptionalDouble u = notBelow0(row, "assigned_u");
        OptionalInt laboratories = row.optionalWhole("laboratories", 1);
        return value.isPresent()
                ? Optional.of(Assigned.stated(value.getAsDouble(), u, sigma, laboratories))
                : Optional.empty();
    }

    /** What the values are rounded to: one in the last place of the one with most decimals; 0 when one is written with an exponent. */
    private static double step(String values) {
        if (values.indexOf('e') >= 0 || values.indexOf('E') >= 0) {
            return 0;
        }
        int most = 0;
        for (String value : values.split(";", -1)) {
            int point = value.indexOf('.');
            most = Math.max(most, point < 0 ? 0 : value.length() - point - 1);
        }
        return Math.pow(10, -most);
    }

    private record Own(List<Double> values, OptionalDouble standardU) {}

    private static Optional<Own> own(CsvFile.Row row, boolean judged, Map<Key, Found> found, Unit unit) {
        Optional<String> value = row.optional("value");
        Optional<String> labNumbers = row.optional("lab_number");
        OptionalDouble u = notBelow0(row, "value_u");
        if (value.isPresent() == labNumbers.isPresent()) {
            row.wrong(
                    "value",
                    value.isPresent() ? "a value and a lab number" : "neither value nor lab number",
                    "our value, or the lab number it was found under");
            return Optional.empty();
        }
        if (value.isPresent()) {
            return numbers(row, "value").map(values -> new Own(boxed(values), u));
        }
        if (!judged) {
            row.wrong("lab_number", "our value in the column value, or a judged day to look the lab number up in");
            return Optional.empty();
        }
        List<Double> values = new ArrayList<>();
        OptionalDouble largestU = u;
        for (String number : labNumbers.get().split(";", -1)) {
            Found its = found.get(new Key(number, row.cell("method"), row.cell("analyte")));
            String wanted = "a result of this method and analyte in results.csv";
            if (its == null || its.value().isEmpty()) {
                row.wrong("lab_number", Problem.quoted(number), wanted + (its == null ? "" : " that is a number"));
                return Optional.empty();
            }
            if (!its.unit().equals(unit.ucum())) {
                row.wrong("unit", "the unit of results.csv, " + its.unit());
                return Optional.empty();
            }
            if (!its.verdict().equals(Verdict.FIT.word())) {
                row.wrong(
                        "lab_number",
                        Problem.quoted(number) + " with the verdict " + its.verdict(),
                        "a result that may be reported, fit");
                return Optional.empty();
            }
            values.add(its.value().getAsDouble());
            if (u.isEmpty() && its.expandedU().isPresent()) {
                // What replicates share does not average out, so the largest stands for the mean.
                largestU = OptionalDouble.of(
                        Math.max(largestU.orElse(0), its.expandedU().getAsDouble() / 2));
            }
        }
        return Optional.of(new Own(values, largestU));
    }

    private static OptionalDouble notBelow0(CsvFile.Row row, String column) {
        OptionalDouble number = row.optionalNumber(column);
        if (number.isPresent() && number.getAsDouble() < 0) {
            row.wrong(column, "a number of 0 or more");
            return OptionalDouble.empty();
        }
        return number;
    }

    private static Optional<double[]> numbers(CsvFile.Row row, String column) {
        List<Double> numbers = new ArrayList<>();
        for (String text : row.cell(column).split(";", -1)) {
            OptionalDouble number = Numbers.parse(text);
            if (number.isEmpty()) {
                row.wrong(column, BETWEEN);
                return Optional.empty();
            }
            numbers.add(number.getAsDouble());
        }
        return Optional.of(numbers.stream().mapToDouble(Double::doubleValue).toArray());
    }

    private static List<Double> boxed(double[] values) {
        return Arrays.stream(values).boxed().toList();
    }

    /** Writes scores.csv, actions.csv, bias.csv, exchanged.csv and problems.csv into a folder. */
    public static void write(Path out, List<Series> series, List<SamplesExchanged> exchanged, List<Problem> problems)
            throws IOException {
        Files.createDirectories(out);
        scores(out.resolve("scores.csv"), series);
        actions(out.resolve("actions.csv"), series);
        bias(out.resolve("bias.csv"), series);
        exchanged(out.resolve("exchanged.csv"), exchanged);
        JudgedFiles.problems(out.resolve("problems.csv"), problems);
    }

    private static void exchanged(Path path, List<SamplesExchanged> exchanged) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of("round", "first", "second", "methods", "results", "log10_odds"))
                    .end();
            for (SamplesExchanged one : exchanged) {
                out.field(one.round())
                        .field(one.first())
                        .field(one.second())
                        .field(String.join(";", one.methods()))
                        .field(one.results())
                        .field(one.log10Odds())
                        .end();
            }
            out.complete();
        }
    }

    private static void scores(Path path, List<Series> series) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "method",
                            "analyte",
                            "unit",
                            "date",
                            "round",
                            "sample",
                            "value",
                            "value_u",
                            "assigned",
                            "assigned_u",
                            "sigma",
                            "laboratories",
                            "z",
                            "z_prime",
                            "zeta",
                            "en",
                            "decided_by",
                            "verdict",
                            "fits_uncertainty"))
                    .end();
            for (Series one : series) {
                for (Scored scored : one.scored()) {
                    RoundResult result = scored.result();
                    Assigned assigned = result.assigned();
                    out.field(one.method())
                            .field(one.analyte())
                            .field(one.unit().ucum())
                            .field(result.date().toString())
                            .field(result.round())
                            .field(result.sample())
                            .field(result.value())
                            .field(result.ownStandardU())
                            .field(assigned.value())
                            .field(assigned.standardU())
                            .field(assigned.sigma())
                            .field(
                                    assigned.laboratories().isPresent()
                                            ? Integer.toString(
                                                    assigned.laboratories().getAsInt())
                                            : "")
                            .field(scored.z())
                            .field(scored.zPrime())
                            .field(scored.zeta())
                            .field(scored.en())
                            .field(scored.decidedBy().map(Scored.Kind::word))
                            .field(scored.verdict().map(Scored.Verdict::word))
                            .yesNo(scored.fitsUncertainty())
                            .end();
                }
            }
            out.complete();
        }
    }

    private static void actions(Path path, List<Series> series) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "round",
                            "date",
                            "method",
                            "analyte",
                            "samples",
                            "rule",
                            "worst_score",
                            "last_good_round",
                            "last_good_date",
                            "look_back_days",
                            "what_to_do"))
                    .end();
            for (Series one : series) {
                for (Action action : one.actions()) {
                    out.field(action.round())
                            .field(action.date().toString())
                            .field(action.method())
                            .field(action.analyte())
                            .field(String.join(";", action.samples()))
                            .field(action.rule().word())
                            .field(action.worst())
                            .field(action.lastGood().map(Action.GoodRound::round))
                            .field(action.lastGood().map(good -> good.date().toString()))
                            .field(
                                    action.lookBackDays().isPresent()
                                            ? Long.toString(
                                                    action.lookBackDays().getAsLong())
                                            : "")
                            .field(action.whatToDo())
                            .end();
                }
            }
            out.complete();
        }
    }

    private static void bias(Path path, List<Series> series) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "method",
                            "analyte",
                            "unit",
                            "results",
                            "mean_score",
                            "mean_score_limit",
                            "replicate_sd",
                            "mean_bias",
                            "rms_bias",
                            "reference_u",
                            "bias_u",
                            "mean_bias_pct",
                            "rms_bias_pct",
                            "reference_u_pct",
                            "bias_u_pct"))
                    .end();
            for (Series one : series) {
                List<RoundResult> results =
                        one.scored().stream().map(Scored::result).toList();
                out.field(one.method())
                        .field(one.analyte())
                        .field(one.unit().ucum())
                        .field(results.size())
                        .field(one.meanScore())
                        .field(one.meanScoreLimit())
                        .field(one.replicateSd());
                write(out, Bias.of(results, Bias.Scale.UNIT));
                // A share of a pH, or of nothing, says nothing.
                if (one.unit() != Unit.PH
                        && results.stream().allMatch(result -> result.assigned().value() > 0)) {
                    write(out, Bias.of(results, Bias.Scale.PERCENT));
                } else {
                    out.fields(List.of("", "", "", ""));
                }
                out.end();
            }
            out.complete();
        }
    }

    private static void write(TextOut out, Bias bias) throws IOException {
        out.field(bias.mean()).field(bias.rms()).field(bias.referenceU()).field(bias.standardU());
    }
}
