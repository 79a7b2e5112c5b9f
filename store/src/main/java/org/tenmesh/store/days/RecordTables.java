package org.tenmesh.store.days;

import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.Table;

/** The tables of the laboratory record. */
public final class RecordTables {
    private static final String WATER = "water";

    /** Submissions as they came. */
    public static final Table<Submission> SUBMISSION = new Table<>(
            "intake.submission",
            List.of(
                    "submission",
                    "client",
                    "received_at",
                    "received_offset",
                    "promised_on",
                    "origin_country",
                    "origin_region",
                    "package",
                    "water_supplied",
                    "note"),
            (s, row) -> row.text(s.submission())
                    .text(s.client())
                    .time(s.receivedAt().toInstant())
                    .integer(s.receivedAt().getOffset().getTotalSeconds())
                    .date(s.promisedOn())
                    .text(s.originCountry())
                    .text(s.originRegion())
                    .text(s.packageName())
                    .bool(s.waterSupplied())
                    .text(s.note()),
            row -> new Submission(
                    row.text(),
                    row.text(),
                    Days.at(row.time(), row.integer()),
                    row.dateOrNone(),
                    row.textOrNone(),
                    row.textOrNone(),
                    row.textOrNone(),
                    row.boolOrNone(),
                    row.textOrNone()));

    /** Submissions as the dock says them now; to be read alone. */
    public static final Table<Submission> SUBMISSION_NOW =
            new Table<>("intake.submission_now", SUBMISSION.columns(), SUBMISSION.write(), SUBMISSION.read());

    public static final Table<Soil> SOIL = new Table<>(
            "intake.soil",
            List.of(
                    "lab_number",
                    "submission",
                    "ordinal",
                    "client_label",
                    "top_cm",
                    "bottom_cm",
                    "package",
                    "regulated",
                    "matter"),
            (s, row) -> row.text(s.labNumber().text())
                    .text(s.submission())
                    .integer(s.ordinal())
                    .text(s.clientLabel())
                    .number(s.topCm())
                    .number(s.bottomCm())
                    .text(s.packageName())
                    .bool(s.regulated())
                    .text(s.matter() == Soil.Matter.WATER ? WATER : "soil"),
            row -> new Soil(
                    new LabNumber(row.text()),
                    row.textOrNone(),
                    row.integerOrNone(),
                    row.textOrNone(),
                    row.numberOrNone(),
                    row.numberOrNone(),
                    row.textOrNone(),
                    row.boolOrNone(),
                    row.text().equals(WATER) ? Soil.Matter.WATER : Soil.Matter.SOIL));

    /** Soils as they are handled now; to be read alone. */
    static final Table<Soil> SOIL_NOW = new Table<>("intake.soil_now", SOIL.columns(), SOIL.write(), SOIL.read());

    /** A package without what it asks for. */
    static final Table<TestPackage> PACKAGE = new Table<>(
            "intake.package",
            List.of("package", "title"),
            (p, row) -> row.text(p.name()).text(p.title()),
            row -> new TestPackage(row.text(), row.text(), List.of()));

    static final Table<TestPackage.Asked> ASKED = new Table<>(
            "intake.asked",
            List.of("method", "analytes"),
            (a, row) -> row.text(a.method()).texts(a.analytes()),
            row -> new TestPackage.Asked(row.text(), row.texts()));

    static final Table<Shortage> SHORTAGE = new Table<>(
            "intake.shortage",
            List.of("lab_number", "method"),
            (s, row) -> row.text(s.labNumber().text()).text(s.method()),
            row -> new Shortage(new LabNumber(row.text()), row.text()));

    /** A tray without its wells. */
    static final Table<Tray> TRAY = new Table<>(
            "layout.tray", List.of("tray"), (t, row) -> row.text(t.tray()), row -> new Tray(row.text(), List.of()));

    public static final Table<Tray.Place> PLACE = new Table<>(
            "layout.place",
            List.of("well", "lab_number", "purpose"),
            (p, row) -> row.small(p.well().index())
                    .text(p.labNumber().map(LabNumber::text))
                    .text(p.purpose().word()),
            row -> new Tray.Place(new Well(row.small()), row.textOrNone().map(LabNumber::new), purpose(row.text())));

    static final Table<Material> MATERIAL = new Table<>(
            "calibration.material",
            List.of("material", "method", "analyte", "mean", "sd", "unit", "n"),
            (m, row) -> row.text(m.material())
                    .text(m.method())
                    .text(m.analyte())
                    .number(m.mean())
                    .number(m.sd())
                    .text(m.unit().ucum())
                    .integer(m.n()),
            row -> new Material(
                    row.text(),
                    row.text(),
                    row.text(),
                    row.number(),
                    row.number(),
                    Days.unit(row.text()),
                    row.integerOrNone()));

    static final Table<Standard> STANDARD = new Table<>(
            "calibration.standard",
            List.of("method", "standard", "analyte", "value", "unit", "tolerance", "tolerance_pct"),
            (s, row) -> row.text(s.method())
                    .text(s.standard())
                    .text(s.analyte())
                    .number(s.value())
                    .text(s.unit().ucum())
                    .number(s.tolerance())
                    .number(s.tolerancePct()),
            row -> new Standard(
                    row.text(),
                    row.text(),
                    row.text(),
                    row.number(),
                    Days.unit(row.text()),
                    row.numberOrNone(),
                    row.numberOrNone()));

    /** A run without its readings. */
    static final Table<Run> RUN = new Table<>(
            "reading.run",
            List.of("run", "method", "instrument", "operator", "started_at", "started_offset"),
            (r, row) -> row.text(r.run())
                    .text(r.method())
                    .text(r.instrument())
                    .text(r.operator())
                    .time(r.startedAt().toInstant())
                    .integer(r.startedAt().getOffset().getTotalSeconds()),
            row -> new Run(
                    row.text(),
                    row.text(),
                    row.text(),
                    row.textOrNone(),
                    Days.at(row.time(), row.integer()),
                    Readings.builder().build()));

    /** A run under way, without its readings. */
    static final Table<Run> UNDER_WAY = new Table<>("reading.under_way", RUN.columns(), RUN.write(), RUN.read());

    public static final Table<ReleasedResult> RELEASED = new Table<>(
            "release.result",
            List.of(
                    "lab_number",
                    "method",
                    "method_version",
                    "analyte",
                    "value",
                    "unit",
                    "reported",
                    "uncertainty",
                    "held_because",
                    "kind",
                    "despite"),
            (r, row) -> row.text(r.labNumber().text())
                    .text(r.method())
                    .text(r.methodVersion())
                    .text(r.analyte())
                    .number(r.value())
                    .text(r.unit())
                    .text(r.reported())
                    .text(r.uncertainty())
                    .text(r.heldBecause())
                    .text(r.kind().word())
                    .text(r.despite()),
            RecordTables::released);

    private RecordTables() {}

    /** Rows of version 0.1 have no kind: theirs is read from their text, which stays as it was signed. */
    private static ReleasedResult released(CopiedRows row) {
        LabNumber labNumber = new LabNumber(row.text());
        String method = row.text();
        String methodVersion = row.text();
        String analyte = row.text();
        OptionalDouble value = row.numberOrNone();
        String unit = row.text();
        String reported = row.text();
        String uncertainty = row.text();
        String heldBecause = row.text();
        ReleasedCase kind = row.textOrNone()
                .map(ReleasedCase::ofWord)
                .orElseGet(() -> ReleasedCase.ofText(value, reported, heldBecause));
        String despite = row.text();
        return new ReleasedResult(
                labNumber,
                method,
                methodVersion,
                analyte,
                kind,
                value,
                unit,
                reported,
                uncertainty,
                heldBecause,
                despite);
    }

    /** What a well is for, by its word in the tables. */
    public static Tray.Purpose purpose(String word) {
        return word.equals(Tray.Purpose.KEY.word()) ? Tray.Purpose.KEY : Tray.Purpose.SOIL;
    }
}
