package org.tenmesh.exchange.readers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.UnusableFile;

class InstrumentReaderTest {
    private static final Path EXPORTS = Path.of("..", "examples", "exports");
    private static final Map<String, InstrumentReader> SHIPPED = InstrumentReader.shipped();
    private static final String NOTHING = ". Nothing of this file is taken.";

    @TempDir
    private Path folder;

    private static InstrumentReader shipped(String name) {
        InstrumentReader reader = SHIPPED.get(name);
        if (reader == null) {
            throw new AssertionError("no reader " + name);
        }
        return reader;
    }

    private static List<String> rows(Readings readings) {
        List<String> rows = new ArrayList<>();
        for (int i = 0; i < readings.size(); i++) {
            rows.add(String.join(
                    "|",
                    Integer.toString(readings.position(i)),
                    readings.role(i).word(),
                    readings.identity(i),
                    readings.channel(i),
                    readings.quantity(i),
                    DecimalText.of(readings.value(i)),
                    readings.unit(i).ucum(),
                    readings.at(i).toString(),
                    DecimalText.of(readings.dilution(i))));
        }
        return rows;
    }

    @Test
    void readsAWideTable() {
        var taken = shipped("plasma-wide-table").read(EXPORTS.resolve("plasma-wide-table.csv"));
        assertThat(taken.problems()).isEmpty();
        // 9 positions x 3 lines, one cell is marked as not read.
        assertThat(rows(taken.readings()))
                .hasSize(26)
                .startsWith(
                        "1|standard|WS-1||P 213.618|118.2|/s|2026-11-25T09:00:40Z|1",
                        "1|standard|WS-1||K 766.491|240.9|/s|2026-11-25T09:00:40Z|1",
                        "1|standard|WS-1||Y 371.029|501220.4|/s|2026-11-25T09:00:40Z|1")
                .contains(
                        "3|verification|CHECK||K 766.491|16011.5|/s|2026-11-25T09:02Z|1",
                        "4|blank|BLANK 1||P 213.618|121|/s|2026-11-25T09:02:40Z|1",
                        "5|control|ASH-1||P 213.618|1420.6|/s|2026-11-25T09:03:20Z|1",
                        "6|sample|26329-0001-5||P 213.618|1610.1|/s|2026-11-25T09:04Z|1",
                        "7|sample|26329-0002-3||K 766.491|30220.8|/s|2026-11-25T09:04:40Z|5",
                        "8|duplicate|26329-0002-3||P 213.618|911.4|/s|2026-11-25T09:05:20Z|5",
                        "9|wash|RINSE||Y 371.029|500100.5|/s|2026-11-25T09:06Z|1")
                .noneMatch(row -> row.startsWith("7|") && row.contains("P 213.618"));
    }

    @Test
    void readsABlockOfEntriesAndDecimalCommas() {
        var taken = shipped("weighing-list").read(EXPORTS.resolve("weighing-list.txt"));
        assertThat(taken.problems()).isEmpty();
        assertThat(taken.header()).isEqualTo(Map.of("balance", "2", "list", "Ofen 3, Nacht 47"));
        assertThat(rows(taken.readings()))
                .containsExactly(
                        "1|control|ASH-1|2|tare|20.1532|g|2026-11-25T08:30+01:00|1",
                        "1|control|ASH-1|2|dry|25.1417|g|2026-11-25T12:10+01:00|1",
                        "1|control|ASH-1|2|ash|24.9826|g|2026-11-26T07:31:05+01:00|1",
                        "2|sample|26329-0001-5|2|tare|18.2041|g|2026-11-25T08:30:12+01:00|1",
                        "2|sample|26329-0001-5|2|dry|23.011|g|2026-11-25T12:10:09+01:00|1",
                        "2|sample|26329-0001-5|2|ash|22.5307|g|2026-11-26T07:31:14+01:00|1",
                        "3|duplicate|26329-0001-5|2|tare|20|g|2026-11-25T08:30:25+01:00|1",
                        "3|duplicate|26329-0001-5|2|dry|24.9105|g|2026-11-25T12:10:18+01:00|1");
    }

    @Test
    void readsALineProtocolAndPutsASlowClockRight() {
        var taken = shipped("probe-lines").read(EXPORTS.resolve("probe-lines.txt"));
        assertThat(taken.problems()).isEmpty();
        assertThat(rows(taken.readings()))
                .containsExactly(
                        "1|standard|4.01|1|potential|176.3|mV|2026-11-25T08:00:02.500+01:00|1",
                        "1|standard|4.01|1|temperature|22.4|Cel|2026-11-25T08:00:02.500+01:00|1",
                        "2|standard|4.01|2|potential|171.5|mV|2026-11-25T08:00:02.500+01:00|1",
                        "2|standard|4.01|2|temperature|22.4|Cel|2026-11-25T08:00:02.500+01:00|1",
                        "3|verification|9.00|3|potential|-118.2|mV|2026-11-25T08:04:32.500+01:00|1",
                        "3|verification|9.00|3|temperature|22.5|Cel|2026-11-25T08:04:32.500+01:00|1",
                        "4|control|ASH-1|4|potential|34.9|mV|2026-11-25T08:05:02.500+01:00|1",
                        "4|control|ASH-1|4|temperature|22.5|Cel|2026-11-25T08:05:02.500+01:00|1",
                        "5|sample|26329-0001-5|1|potential|64|mV|2026-11-25T08:05:32.500+01:00|1",
                        "5|sample|26329-0001-5|1|temperature|20|Cel|2026-11-25T08:05:32.500+01:00|1");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "probe-lines|probe-lines.txt|+64.0 mV|overload mV|line 7, mv: found \"overload\", expected a number with . as the decimal mark",
                "probe-lines|probe-lines.txt|V4 probe 4|V4 probe 9|line 6: found \"2026-11-25T08:05:00+01:00 V4 probe 9 <soil ASH-1> +34.9 mV 2…\", expected a line of the form (?<time>\\S+) V(?<vessel>\\d+) probe (?<probe>[1-4]) <(?<what>[^>]+)> (?<mv>\\S+) mV (?<celsius>\\S+) C",
                "probe-lines|probe-lines.txt|END 5|END 48|line 8: found 5 rows, expected 48 rows, as this line says",
                "probe-lines|probe-lines.txt|END 5|! cut|no line that matches ^END (\\d+)$, expected the line that tells how many rows there are",
                "probe-lines|probe-lines.txt|T08:04:30|T25:04:30|line 5, {time}: found \"2026-11-25T25:04:30+01:00\", expected a time of the form ISO 8601",
                "plasma-wide-table|plasma-wide-table.csv|2210.7|2210,7|line 3: found 8 fields, expected 7 fields, as in the header row",
                "plasma-wide-table|plasma-wide-table.csv|2210.7|2.210.7|line 3, P 213.618 (counts/s): found \"2.210.7\", expected a number with . as the decimal mark",
                "plasma-wide-table|plasma-wide-table.csv|Label|Name|Label: found no such column, expected a column or header entry Label",
                "plasma-wide-table|plasma-wide-table.csv|SOIL ASH-1,1|SOIL ASH-1,0.5|line 6, {Dilution}: found \"0.5\", expected a dilution: a factor of 1 or more",
                "plasma-wide-table|plasma-wide-table.csv|4,BLANK 1|zero,BLANK 1|line 5, {Pos}: found \"zero\", expected a position: a whole number of 1 or more",
                "plasma-wide-table|plasma-wide-table.csv|26329-0001-5|' '|line 7, {Label}: found an empty identity, expected a name or lab number",
                "weighing-list|weighing-list.txt|18,2041|18.2041|line 8, leer: found \"18.2041\", expected a number with , as the decimal mark",
                "weighing-list|weighing-list.txt|Waage Nr.;2|Waage;2|balance: found no line above the readings that matches ^Waage Nr\\.;(\\d+), expected the entry balance",
                "weighing-list|weighing-list.txt|[Werte]|Werte|found no line that matches ^\\[Werte\\], expected the line above the readings",
                "weighing-list|weighing-list.txt|22,5307;gr|22,5307;oz|line 8, leer: found unit \"oz\", expected one of the UCUM codes mV Cel g mL mS/cm dS/m mg/L mg/kg cmol/kg mmol/L meq/L mol/L g/L g/kg mg/dm3 cm [lb_av]/[acr_us] [ston_av]/[acr_us] kg/har t/har % [pH] /s {A} 1 h"
            })
    void saysWhatIsWrongWithALine(String reader, String export, String was, String is, String said) throws IOException {
        Charset charset = reader.equals("weighing-list") ? StandardCharsets.ISO_8859_1 : StandardCharsets.UTF_8;
        String text = Files.readString(EXPORTS.resolve(export), charset);
        assertThat(text).contains(was);
        Path broken = Files.writeString(folder.resolve(export), text.replace(was, is.isBlank() ? "" : is), charset);
        var taken = shipped(reader).read(broken);
        assertThat(taken.whole()).isFalse();
        assertThat(taken.problems())
                .extracting(Problem::sentence)
                .anyMatch(sentence -> sentence.endsWith(said + NOTHING));
    }

    @Test
    void readsFixedColumnsAndTheHourThatComesTwice() throws IOException {
        Path yaml = Files.writeString(folder.resolve("r.yaml"), """
                name: fixed
                title: fixed columns
                form: fixed
                decimal: point
                zone: Europe/Dublin
                columns:
                  - {name: what, from: 1, to: 6}
                  - {name: value, from: 7, to: 13}
                  - {name: when, from: 15, to: 33}
                position: count
                identity: "{what}"
                time: "{when}"
                time_format: "uuuu-MM-dd HH:mm:ss"
                values:
                  - {column: value, quantity: pH, unit: "[pH]"}
                """);
        Path export = Files.writeString(folder.resolve("e.txt"), """
                A1       6.42 2026-10-25 01:50:00
                A2       7.01 2026-10-25 01:10:00
                A3      12    2026-10-25 02:05:00
                A4       6    2026-03-29 01:30:00
                """);
        var taken = InstrumentReader.load(yaml).read(export);
        // Clocks in Dublin went back from 02:00 to 01:00 on 2026-10-25 and forward from 01:00 to 02:00 on 2026-03-29.
        assertThat(rows(taken.readings()))
                .containsExactly(
                        "1|sample|A1||pH|6.42|[pH]|2026-10-25T01:50+01:00|1",
                        "2|sample|A2||pH|7.01|[pH]|2026-10-25T01:10Z|1",
                        "3|sample|A3||pH|12|[pH]|2026-10-25T02:05Z|1");
        assertThat(taken.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "e.txt, line 4, {when}: found \"2026-03-29 01:30:00\", expected a time that the clocks of"
                                + " Europe/Dublin showed; they were set forward over it" + NOTHING);
    }

    @Test
    void aReaderFileSaysEverythingThatIsWrongInIt() throws IOException {
        Path yaml = Files.writeString(folder.resolve("bad.yaml"), """
                name: bad
                title: bad
                form: delimited
                delimiter: "||"
                decimal: dot
                zone: Middle/Earth
                encoding: EBCDIC-X
                position: "{Pos}"
                identity: "{Label}"
                time: "{T}"
                time_format: "qqqqqqqq"
                starts_after: "(["
                colour: red
                roles:
                  - {pattern: "^x$", role: standart, identity: "$1"}
                """);
        assertThatThrownBy(() -> InstrumentReader.load(yaml))
                .isInstanceOfSatisfying(
                        UnusableFile.class,
                        unusable -> assertThat(unusable.problems())
                                .extracting(problem -> problem.line() + " " + problem.column())
                                .containsExactlyInAnyOrder(
                                        "4 delimiter",
                                        "5 decimal",
                                        "6 zone",
                                        "7 encoding",
                                        "11 time_format",
                                        "12 starts_after",
                                        "13 colour",
                                        "15 roles[1].role",
                                        "15 roles[1].identity",
                                        "1 values"));
    }

    @Test
    void refusesAnExportInAnotherEncoding() throws IOException {
        Path export = Files.write(folder.resolve("x.csv"), "Pos,Läbel\n".getBytes(StandardCharsets.ISO_8859_1));
        assertThat(shipped("plasma-wide-table").read(export).problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "x.csv, line 1: found byte 0xE4, which is not UTF-8, expected a file saved as UTF-8" + NOTHING);
    }

    @Test
    void tellsAFileThatMayBeCutAndColumnsThatAreNotUsed() throws IOException {
        String whole = Files.readString(EXPORTS.resolve("plasma-wide-table.csv"));
        assertThat(shipped("plasma-wide-table")
                        .read(EXPORTS.resolve("plasma-wide-table.csv"))
                        .notes())
                .isEmpty();

        Path cut = Files.writeString(folder.resolve("cut.csv"), whole.substring(0, whole.length() - 4));
        assertThat(shipped("plasma-wide-table").read(cut).notes())
                .extracting(Problem::sentence)
                .singleElement()
                .asString()
                .startsWith("cut.csv, line 10: found a last line without a line break");

        Path renamed = Files.writeString(
                folder.resolve("renamed.csv"), whole.replace("K 766.491 (counts/s)", "K 766.491 (cps)"));
        assertThat(shipped("plasma-wide-table").read(renamed).notes())
                .extracting(Problem::sentence)
                .containsExactly(
                        "renamed.csv, K 766.491 (cps): found a column that this reader does not use, expected a"
                                + " column named in the reader. Nothing of it is taken.");
    }

    @Test
    void aHeaderRowAloneIsNoExport() throws IOException {
        String whole = Files.readString(EXPORTS.resolve("plasma-wide-table.csv"));
        Path header = Files.writeString(folder.resolve("h.csv"), whole.substring(0, whole.indexOf('\n') + 1));
        assertThat(shipped("plasma-wide-table").read(header).problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "h.csv: found a header row alone, expected a header row and readings below it" + NOTHING);
    }

    private static final RunOrder ORDER = new RunOrder(
            "PH1-01",
            "ph-water-1-1",
            "PH1",
            OffsetDateTime.parse("2026-11-25T07:00:00Z"),
            List.of(
                    new RunOrder.Place(1, Role.STANDARD, "pH 4"),
                    new RunOrder.Place(2, Role.STANDARD, "pH 7"),
                    new RunOrder.Place(3, Role.SAMPLE, "26329-0417-K", 2, false)));

    @Test
    void takesNamesFromTheRunOrderAndTheTimeAtWhichALineCame() throws IOException {
        OffsetDateTime at = OffsetDateTime.parse("2026-11-25T09:00:00Z");
        byte[] lines = Files.readAllBytes(EXPORTS.resolve("meter-lines.txt"));
        InstrumentReader reader = shipped("meter-lines");
        assertThat(reader.readsSingleLines()).isTrue();
        assertThat(reader.needsOrder()).isTrue();
        var taken = reader.read("PH1", lines, new Arriving(Optional.of(at), 0, Optional.of(ORDER)));
        assertThat(taken.problems()).isEmpty();
        assertThat(rows(taken.readings()))
                .containsExactly(
                        "1|standard|pH 4|1|pH|4.01|[pH]|2026-11-25T09:00Z|1",
                        "1|standard|pH 4|1|temperature|24.9|Cel|2026-11-25T09:00Z|1",
                        "2|standard|pH 7|1|pH|7|[pH]|2026-11-25T09:00Z|1",
                        "2|standard|pH 7|1|temperature|25|Cel|2026-11-25T09:00Z|1",
                        "3|sample|26329-0417-K|1|pH|6.43|[pH]|2026-11-25T09:00Z|2",
                        "3|sample|26329-0417-K|1|temperature|24.8|Cel|2026-11-25T09:00Z|2");
    }

    @Test
    void takesNothingFromAPositionThatNoOrderHas() {
        byte[] line = "#4 probe 1 pH 6.43 24.8 C\n".getBytes(StandardCharsets.UTF_8);
        Optional<OffsetDateTime> at = Optional.of(OffsetDateTime.parse("2026-11-25T09:00:00Z"));
        InstrumentReader reader = shipped("meter-lines");
        assertThat(reader.read("PH1", line, new Arriving(at, 0, Optional.of(ORDER)))
                        .problems())
                .extracting(Problem::sentence)
                .containsExactly("PH1, line 1: found position 4, expected a position of run order PH1-01, which has 3."
                        + " Nothing of it is taken.");
        assertThat(reader.read("PH1", line, new Arriving(at, 0, Optional.empty()))
                        .problems())
                .extracting(Problem::expected)
                .containsExactly("a run order that says what is at it");
        assertThat(reader.read("PH1", line, Arriving.UNKNOWN).readings().size()).isZero();
    }

    /** Layout of records: ASTM E1394 as CLSI LIS02-A2 gives it; delimiters are those of the header. */
    @Test
    void readsRecordsWithTheDelimitersOfTheirHeader() throws IOException {
        var taken = shipped("analyser-records").read(EXPORTS.resolve("analyser-records.txt"));
        assertThat(taken.problems()).isEmpty();
        assertThat(rows(taken.readings()))
                .containsExactly(
                        "1|standard|M3-1||P 213.618|2204.1|/s|2026-11-25T09:30:12Z|1",
                        "1|standard|M3-1||K 766.491|91877|/s|2026-11-25T09:30:12Z|1",
                        "2|sample|26329-0417-K||P 213.618|1811.7|/s|2026-11-25T09:30:55Z|1",
                        "2|sample|26329-0417-K||K 766.491|40120|/s|2026-11-25T09:30:55Z|1");
        String other = Files.readString(EXPORTS.resolve("analyser-records.txt"))
                .replace("H|\\^&|||", "H!~/%!!!")
                .replace('|', '!')
                .replace('^', '/')
                .replace("26329-0417-K", "26329%F%0417-K");
        Path export = Files.writeString(folder.resolve("other.txt"), other);
        assertThat(rows(shipped("analyser-records").read(export).readings()).get(2))
                .isEqualTo("2|sample|26329!0417-K||P 213.618|1811.7|/s|2026-11-25T09:30:55Z|1");
    }

    @Test
    void aResultWithoutItsOrderIsAProblem() {
        byte[] text = "H|\\^&\nP|1\nR|1|^^^P 213.618|1|cps||N||F||||20261125093012\n".getBytes(StandardCharsets.UTF_8);
        assertThat(shipped("analyser-records")
                        .read("ICP1", text, Arriving.UNKNOWN)
                        .problems())
                .extracting(Problem::found)
                .contains("a result (R) without its order");
    }

    @ParameterizedTest
    @CsvSource({"2026-11-25T08:05:30+01:00,+999999999-11-25T08:05:30+01:00", "+64.0 mV,1e300 mV"})
    void refusesYearsAndNumbersThatNobodyReads(String was, String is) throws IOException {
        String whole = Files.readString(EXPORTS.resolve("probe-lines.txt"));
        assertThat(whole).contains(was);
        Path export = Files.writeString(folder.resolve("p.txt"), whole.replace(was, is));
        assertThat(shipped("probe-lines").read(export).problems()).isNotEmpty();
    }
}
