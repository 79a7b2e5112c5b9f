package org.tenmesh.exchange.worksheets;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.dhatim.fastexcel.Workbook;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;

class WorksheetsTest {
    private static final String END = ". Nothing of this sheet is taken.";

    @TempDir
    private Path folder;

    private Path csv(String text) throws IOException {
        return Files.writeString(folder.resolve("sheet.csv"), text);
    }

    private Path workbook(Consumer<org.dhatim.fastexcel.Worksheet> fill) throws IOException {
        Path path = folder.resolve("sheet.xlsx");
        try (OutputStream out = Files.newOutputStream(path);
                Workbook workbook = new Workbook(out, "test", "1.0")) {
            workbook.newWorksheet("Read me first").value(0, 0, "Please fill in the next sheet");
            fill.accept(workbook.newWorksheet("Soils"));
        }
        return path;
    }

    @Test
    void readsAWorkbookWithEntriesAboveTheTable() throws IOException {
        Worksheet sheet = Worksheets.read(workbook(s -> {
            s.value(0, 0, "Client:");
            s.value(0, 1, "Birchfield Farm (invented)");
            s.value(1, 0, "Country");
            s.value(1, 1, "IE");
            s.value(2, 0, "Water supplied");
            s.value(2, 1, "Yes");
            s.value(4, 0, "Sample ID");
            s.value(4, 1, "Depth (in)");
            s.value(4, 2, "Crop");
            s.value(4, 3, "Analysis");
            s.value(5, 0, "Long Acre");
            s.value(5, 1, "0-6");
            s.value(5, 2, "barley");
            s.value(6, 0, 17);
            s.value(6, 1, "6 to 12");
            s.value(6, 3, "standard + B");
            s.value(8, 0, "=SUM(A1)");
        }));
        assertThat(sheet.problems()).isEmpty();
        assertThat(sheet.samples())
                .extracting(s -> s.ordinal() + "|" + s.clientLabel() + "|" + s.topCm() + "|" + s.bottomCm() + "|"
                        + s.packageName().orElse("") + "|" + s.row())
                .containsExactly(
                        "1|Long Acre|OptionalDouble[0.0]|OptionalDouble[15.24]||6",
                        "2|17|OptionalDouble[15.24]|OptionalDouble[30.48]|standard + B|7",
                        "3|=SUM(A1)|OptionalDouble.empty|OptionalDouble.empty||9");
        assertThat(sheet.columnsNotRead()).containsExactly("Crop");
        var submission = sheet.submission(
                "S-9",
                "unknown",
                OffsetDateTime.parse("2026-11-25T09:00:00Z"),
                Optional.of(LocalDate.of(2026, 11, 27)));
        assertThat(submission.client()).isEqualTo("Birchfield Farm (invented)");
        assertThat(submission.originCountry()).contains("IE");
        assertThat(submission.waterSupplied()).contains(true);
    }

    @Test
    void readsCsvWithSemicolonsTwoLabelColumnsAndItsOwnNumbers() throws IOException {
        Worksheet sheet = Worksheets.read(csv(
                "\uFEFFNo;Field;Sample name;top_cm;bottom_cm\n3;North;a;0;10\n1;North;b;10;22.5\n;;;;\n2;South;a;;\n"));
        assertThat(sheet.problems()).isEmpty();
        assertThat(sheet.samples())
                .extracting(s -> s.ordinal() + "|" + s.clientLabel() + "|" + s.topCm() + "|" + s.bottomCm())
                .containsExactly(
                        "3|North a|OptionalDouble[0.0]|OptionalDouble[10.0]",
                        "1|North b|OptionalDouble[10.0]|OptionalDouble[22.5]",
                        "2|South a|OptionalDouble.empty|OptionalDouble.empty");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "Sample,Depth\\nA,0-15|sheet.csv, line 2, B2: found \"0-15\", expected a depth with its unit, cm or in, here or in the header",
                "Sample,Depth (cm)\\nA,topsoil|sheet.csv, line 2, B2: found \"topsoil\", expected a depth such as 0-15",
                "Sample,Depth (cm)\\n,0-15|sheet.csv, line 2, A2: found an empty cell, expected the label of this soil",
                "No,Sample\\n1,A\\n1,B|sheet.csv, line 3: found number 1 a second time, expected each number once; it stands in row 2 already",
                "No,Sample\\nfirst,A|sheet.csv, line 2, A2: found \"first\", expected a whole number of 1 or more",
                "Sample,Top,Bottom (cm)\\nA,0,15|sheet.csv, line 2, B2: found \"0\", expected a header with the unit, such as Top (cm) or Top (in)",
                "Sample,Top (cm),Bottom (cm)\\nA,30,15|sheet.csv, line 2: found a layer from 30 to 15 cm, expected a lower edge below the upper one",
                "Sample,Top (cm),Upper (cm)\\nA,0,0|sheet.csv, line 1, C1: found \"Upper (cm)\", which says the same as B1, expected one such column",
                "Depth,Crop\\n0-15,oats|sheet.csv: found no header row in the first 40 rows, expected a row with a column for the label: Sample, Sample ID, Label or Field",
                "Sample,Crop,No|sheet.csv: found no soil below the header row, expected one row for each soil",
                "Country,Ireland,\\nSample,No,Crop\\nA,1,|sheet.csv, country: found \"Ireland\", expected two capital letters by ISO 3166-1, such as IE"
            })
    void saysWhichCellIsWrong(String text, String said) throws IOException {
        Worksheet sheet = Worksheets.read(csv(text.replace("\\n", "\n")));
        assertThat(sheet.problems()).extracting(Problem::sentence).containsExactly(said + END);
        assertThat(sheet.samples()).isEmpty();
    }

    @Test
    void noticesALabelThatTheSheetTurnedIntoADate() throws IOException {
        Worksheet sheet = Worksheets.read(workbook(s -> {
            s.value(0, 0, "Sample");
            s.value(1, 0, LocalDate.of(2026, 2, 1));
            s.style(1, 0).format("d-mmm").set();
        }));
        assertThat(sheet.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "sheet.xlsx, line 2, A2: found a date, expected a label (sheets turn 1-2 into a date; write it as"
                                + " text)" + END);
    }

    @Test
    void refusesTooManyRowsTooManyBytesAndWhatIsNoSheet() throws IOException {
        Path many = csv("Sample\n" + "A\n".repeat(50));
        assertThat(said(Worksheets.read(many, new Limits(1000, 20))))
                .containsExactly("sheet.csv, line 21: found more than 20 rows, expected at most that many" + END);
        assertThat(said(Worksheets.read(many, new Limits(50, 20))))
                .containsExactly("sheet.csv: found a file of 107 bytes, expected at most 50 bytes" + END);
        Path packed = workbook(s -> {
            for (int i = 0; i < 4000; i++) {
                s.value(i, 0, "the same text again and again, which packs very well " + i % 2);
            }
        });
        long packedBytes = Files.size(packed);
        assertThat(packedBytes).isLessThan(60_000);
        assertThat(said(Worksheets.read(packed, new Limits(60_000, 10_000))))
                .containsExactly(
                        "sheet.xlsx: found a workbook that unpacks to more than 60000 bytes, expected a sheet of soils"
                                + END);
        Path broken = Files.write(
                folder.resolve("broken.xlsx"), "PK\u0003\u0004 and no more".getBytes(StandardCharsets.ISO_8859_1));
        assertThat(said(Worksheets.read(broken)))
                .hasSize(1)
                .allMatch(s -> s.startsWith("broken.xlsx: found a workbook that cannot be read"));
        Path empty = Files.createFile(folder.resolve("empty.csv"));
        assertThat(said(Worksheets.read(empty)))
                .containsExactly("empty.csv: found an empty file, expected a sheet with a header row" + END);
        Path old = Files.write(folder.resolve("old.xls"), new byte[] {
            (byte) 0xD0, (byte) 0xCF, 0x11, (byte) 0xE0, (byte) 0xA1, (byte) 0xB1, 0x1A, (byte) 0xE1, 0, 0
        });
        assertThat(said(Worksheets.read(old)))
                .containsExactly(
                        "old.xls: found an old binary workbook, expected an .xlsx workbook or a CSV file" + END);
    }

    private static List<String> said(Worksheet sheet) {
        return sheet.problems().stream().map(Problem::sentence).toList();
    }

    /** A workbook whose one sheet has these rows, written by hand: no library writes such cells. */
    private Path raw(String rows) throws IOException {
        Path path = folder.resolve("raw.xlsx");
        try (ZipOutputStream zip = new ZipOutputStream(Files.newOutputStream(path))) {
            part(zip, "[Content_Types].xml", """
                    <?xml version="1.0" encoding="UTF-8"?>
                    <Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
                    <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
                    <Default Extension="xml" ContentType="application/xml"/>
                    <Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>
                    <Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>
                    <Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>
                    </Types>
                    """);
            part(zip, "_rels/.rels", """
                    <?xml version="1.0" encoding="UTF-8"?>
                    <Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
                    <Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/>
                    </Relationships>
                    """);
            part(zip, "xl/workbook.xml", """
                    <?xml version="1.0" encoding="UTF-8"?>
                    <workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"
                     xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">
                    <sheets><sheet name="S" sheetId="1" r:id="r1"/></sheets></workbook>
                    """);
            part(zip, "xl/_rels/workbook.xml.rels", """
                    <?xml version="1.0" encoding="UTF-8"?>
                    <Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
                    <Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>
                    </Relationships>
                    """);
            part(zip, "xl/styles.xml", """
                    <?xml version="1.0" encoding="UTF-8"?>
                    <styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>
                    """);
            part(
                    zip,
                    "xl/worksheets/sheet1.xml",
                    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>"
                            + "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>"
                            + rows + "</sheetData></worksheet>");
        }
        return path;
    }

    private static void part(ZipOutputStream zip, String name, String text) throws IOException {
        zip.putNextEntry(new ZipEntry(name));
        zip.write(text.getBytes(StandardCharsets.UTF_8));
        zip.closeEntry();
    }

    private static final String HEADER = "<row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>Sample ID</t></is></c>"
            + "<c r=\"B1\" t=\"inlineStr\"><is><t>Top (cm)</t></is></c></row>";

    @Test
    void readsAWorkbookWrittenByHand() throws IOException {
        Worksheet sheet =
                Worksheets.read(raw(HEADER + "<row r=\"2\"><c r=\"A2\"><v>7</v></c><c r=\"B2\"><v>15</v></c></row>"));
        assertThat(sheet.problems()).isEmpty();
        assertThat(sheet.samples()).hasSize(1);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "<row r='2'><c r='!!'><v>7</v></c></row>",
                "<row r='99999999999'><c r='A2'><v>7</v></c></row>",
                "<row r='2'><c r='A2'><v>7</v></c><c r='B2'><v>1e2000000000</v></c></row>",
                "<row r='2'><c r='A2'><v>7</v></c><c r='B2'><v>seven</v></c></row>",
                "<row r='2'><c r='A2' t='s'><v>9</v></c><c r='B2'><v>7</v></c></row>",
                "<row r='2'><c r='A2' s='999'><v>7</v></c><c r='B2' t='nonsense'><v>7</v></c></row>"
            })
    void neverThrowsForWhatIsInAWorkbook(String row) throws IOException {
        Worksheet sheet = Worksheets.read(raw(HEADER + row));
        assertThat(sheet.problems()).as(row).isNotEmpty();
        assertThat(sheet.samples()).isEmpty();
    }

    @Test
    void refusesAWorkbookThatUnpacksToMuchMoreThanSoils() throws IOException {
        Worksheet sheet = Worksheets.read(raw(HEADER + "<row r=\"2\"><c r=\"A2\" t=\"inlineStr\"><is><t>"
                + "x".repeat(26_000_000) + "</t></is></c></row>"));
        assertThat(sheet.problems())
                .extracting(Problem::found)
                .containsExactly("a workbook that unpacks to more than 25 MB");
    }

    @Test
    void aQuoteThatIsNotClosedDoesNotMakeOneSoilOfTwo() throws IOException {
        Worksheet sheet = Worksheets.read(csv("Sample ID,Package\n\"North,a\nSouth\",b\nEast,a\n"));
        assertThat(sheet.samples()).isEmpty();
        assertThat(sheet.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "sheet.csv, line 2, A2: found a cell that goes on over several lines, expected one line"
                                + " for each row (a quote may not be closed)" + END);
    }
}
