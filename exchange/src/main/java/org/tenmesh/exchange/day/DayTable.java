package org.tenmesh.exchange.day;

import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.file.DecimalText;

/**
 * One table of a day folder, said once for reading and writing: the file, its columns in their order, which of them must be there,
 * which make the key of a row, and how a row writes each. What a cell may hold is said where it is read.
 *
 * @param <T> what a row stands for
 */
final class DayTable<T> {
    /** A test that a package asks for. */
    record Asking(String packageName, Optional<String> title, TestPackage.Asked asked) {}

    /** A well of a tray. */
    record InTray(String tray, Tray.Place place) {}

    /** A line of the sealed key. */
    record Control(LabNumber labNumber, String material) {}

    private static final String GUARDS =
            "This line is left out and the results that rest on it are held; the other lines are taken";

    static final DayTable<Submission> SUBMISSIONS = new DayTable<Submission>(DayFiles.SUBMISSIONS, "submission")
            .key("submission", Submission::submission)
            .required("client", Submission::client)
            .required("received_at", s -> time(s.receivedAt()))
            .optional("promised_on", s -> text(s.promisedOn().map(Object::toString)))
            .optional("origin_country", s -> text(s.originCountry()))
            .optional("origin_region", s -> text(s.originRegion()))
            .optional("package", s -> text(s.packageName()))
            .optional("water_supplied", s -> yesNo(s.waterSupplied()))
            .optional("note", s -> text(s.note()));

    static final DayTable<Soil> SAMPLES = new DayTable<Soil>(DayFiles.SAMPLES, "lab number")
            .key("lab_number", s -> s.labNumber().text())
            .optional("submission", s -> text(s.submission()))
            .optional("ordinal", s -> whole(s.ordinal()))
            .optional("client_label", s -> text(s.clientLabel()))
            .optional("top_cm", s -> number(s.topCm()))
            .optional("bottom_cm", s -> number(s.bottomCm()))
            .optional("package", s -> text(s.packageName()))
            .optional("regulated", s -> yesNo(s.regulated()))
            .optional("matter", s -> s.matter() == Soil.Matter.WATER ? "water" : "")
            .lineIsLost("This line is left out and the results of its soil are held; the other lines are taken");

    static final DayTable<Asking> PACKAGES = new DayTable<Asking>(DayFiles.PACKAGES, "package and method")
            .key("package", Asking::packageName)
            .optional("title", a -> text(a.title()))
            .key("method", a -> a.asked().method())
            .optional("analytes", a -> String.join(";", a.asked().analytes()))
            .lineIsLost(
                    "This line is left out, so nothing that it asks for is calculated or missed; the other lines are taken");

    static final DayTable<Shortage> SHORTAGES = new DayTable<Shortage>(DayFiles.SHORTAGES, "lab number and method")
            .key("lab_number", s -> s.labNumber().text())
            .key("method", Shortage::method);

    static final DayTable<InTray> TRAYS = new DayTable<InTray>(DayFiles.TRAYS, "well of a tray")
            .key("tray", InTray::tray)
            .key("well", t -> t.place().well().toString())
            .optional("lab_number", t -> text(t.place().labNumber().map(LabNumber::text)))
            .optional("purpose", t -> t.place().purpose().word());

    static final DayTable<Control> CONTROLS = new DayTable<Control>(DayFiles.CONTROLS, "lab number")
            .key("lab_number", c -> c.labNumber().text())
            .required("material", Control::material)
            .lineIsLost(GUARDS);

    static final DayTable<Material> MATERIALS = new DayTable<Material>(
                    DayFiles.MATERIALS, "material, method and analyte")
            .key("material", Material::material)
            .key("method", Material::method)
            .key("analyte", Material::analyte)
            .requiredNumber("mean", Material::mean)
            .requiredNumber("sd", Material::sd)
            .required("unit", m -> m.unit().ucum())
            .optional("n", m -> whole(m.n()))
            .lineIsLost(GUARDS);

    static final DayTable<Standard> STANDARDS = new DayTable<Standard>(
                    DayFiles.STANDARDS, "method, standard and analyte")
            .key("method", Standard::method)
            .key("standard", Standard::standard)
            .key("analyte", Standard::analyte)
            .requiredNumber("value", Standard::value)
            .required("unit", s -> s.unit().ucum())
            .optional("tolerance", s -> number(s.tolerance()))
            .optional("tolerance_pct", s -> number(s.tolerancePct()))
            .lineIsLost(GUARDS);

    static final DayTable<Run> RUNS = new DayTable<Run>(DayFiles.RUNS, "run")
            .key("run", Run::run)
            .required("method", Run::method)
            .required("instrument", Run::instrument)
            .optional("operator", r -> text(r.operator()))
            .required("started_at", r -> time(r.startedAt()))
            .lineIsLost("This run is left out, the other runs are judged");

    private final String file;
    private final String keyWords;
    private String lineIsLost = "This line is left out, the other lines are taken";
    private final List<String> columns = new ArrayList<>();
    private final List<String> required = new ArrayList<>();
    private final List<String> keys = new ArrayList<>();
    private final List<Function<T, String>> cells = new ArrayList<>();

    private DayTable(String file, String keyWords) {
        this.file = file;
        this.keyWords = keyWords;
    }

    private DayTable<T> lineIsLost(String its) {
        lineIsLost = its;
        return this;
    }

    private DayTable<T> optional(String column, Function<T, String> cell) {
        columns.add(column);
        cells.add(cell);
        return this;
    }

    private DayTable<T> required(String column, Function<T, String> cell) {
        required.add(column);
        return optional(column, cell);
    }

    private DayTable<T> requiredNumber(String column, ToDoubleFunction<T> number) {
        return required(column, row -> DecimalText.of(number.applyAsDouble(row)));
    }

    private DayTable<T> key(String column, Function<T, String> cell) {
        keys.add(column);
        return required(column, cell);
    }

    /** The file's name in the folder. */
    String file() {
        return file;
    }

    /** What follows when one line cannot be taken. */
    String lineIsLost() {
        return lineIsLost;
    }

    /** What the key of a row is called in messages. */
    String keyWords() {
        return keyWords;
    }

    /** Every column, in the order in which they are written. */
    List<String> columns() {
        return columns;
    }

    /** The columns without which the file is refused; the first is the first of the key. */
    List<String> required() {
        return required;
    }

    /** The key of a row as it stands in the file: its key columns with a line feed between. */
    String key(CsvFile.Row row) {
        return String.join("\n", row.cells(keys));
    }

    /** The same of a row that is to be written. */
    String key(T row) {
        List<String> parts = new ArrayList<>();
        for (String key : keys) {
            parts.add(cells.get(columns.indexOf(key)).apply(row));
        }
        return String.join("\n", parts);
    }

    /** The cells of a row, in the order of the columns. */
    List<String> cells(T row) {
        return cells.stream().map(cell -> cell.apply(row)).toList();
    }

    private static String text(Optional<String> text) {
        return text.orElse("");
    }

    private static String whole(OptionalInt number) {
        return number.isPresent() ? Integer.toString(number.getAsInt()) : "";
    }

    private static String number(OptionalDouble number) {
        return number.isPresent() ? DecimalText.of(number.getAsDouble()) : "";
    }

    private static String yesNo(Optional<Boolean> answer) {
        return answer.map(yes -> yes ? "yes" : "no").orElse("");
    }

    private static String time(OffsetDateTime time) {
        return DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(time);
    }
}
