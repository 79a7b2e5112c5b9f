package org.tenmesh.capture.settings;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;
import org.tenmesh.exchange.file.Problem;

class CaptureFileTest {
    @TempDir
    private Path folder;

    private static final String GOOD = """
            free_megabytes: 500
            sources:
              - name: icp
                kind: folder
                folder: drop/icp
                instrument: ICP1
                method: mehlich3-icp
                reader: plasma-wide-table
              - name: ph
                kind: lines
                port: COM3
                baud: 19200
                parity: even
                line_end: crlf
                instrument: PH1
                method: ph-water-1-1
                reader: meter-lines
                operator: T. Sedge
                silence_seconds: 1200
              - name: analyser
                kind: frames
                connect: 192.0.2.7:4001
                instrument: ICP2
                method: mehlich3-icp
                reader: analyser-records
                ends: "^L"
              - name: sent
                kind: http
                token_sha256: 0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef
                instrument: ICP3
                method: mehlich3-icp
                reader: plasma-wide-table
              - name: typed
                kind: hand
                instrument: B1
                method: ph-water-1-1
                twice: true
                asked:
                  - {quantity: pH, unit: "[pH]"}
            """;

    private static final String OWN = """
            name: own
            title: own
            form: delimited
            decimal: point
            position: "{Pos}"
            identity: "{Label}"
            time: "{Taken}"
            time_format: "uuuu-MM-dd HH:mm:ss"
            values:
              - {column: pH, quantity: pH, unit: "[pH]"}
            """;

    @Test
    void readsEveryKind() {
        CaptureSettings settings = Sources.read(folder, GOOD);
        assertThat(settings.problems()).isEmpty();
        assertThat(settings.freeMegabytes()).isEqualTo(500);
        assertThat(settings.sources())
                .extracting(source -> source.way().word())
                .containsExactly("folder", "lines", "frames", "http", "hand");
        Source.Folder way = (Source.Folder) settings.source("icp").orElseThrow().way();
        assertThat(way.folder()).isEqualTo(folder.toAbsolutePath().normalize().resolve("drop/icp"));
        assertThat(way.quiet()).isEqualTo(Duration.ofSeconds(5));
        assertThat(way.move()).isTrue();
        Source ph = settings.source("ph").orElseThrow();
        assertThat(((Source.Lines) ph.way()).link())
                .isEqualTo(new Source.Port("COM3", 19_200, 8, Source.Parity.EVEN, 1));
        assertThat(ph.runs().order()).as("its reader needs an order").isEqualTo(Source.Order.REQUIRED);
        assertThat(((Source.Frames) settings.source("analyser").orElseThrow().way()).link())
                .isEqualTo(new Source.Connect("192.0.2.7", 4001));
    }

    @Test
    void whatIsWrongWithOneSourceCostsThatSourceOnly() {
        CaptureSettings settings = Sources.read(
                folder,
                GOOD.replace("baud: 19200", "baud: fast")
                        .replace("    ends: \"^L\"", "    ends: \"([\"\n    colour: red")
                        .replace("unit: \"[pH]\"", "unit: parsec")
                        .replace("0123456789abcdef01", "01"));
        assertThat(settings.sources()).extracting(Source::name).containsExactly("icp");
        assertThat(settings.problems())
                .extracting(problem -> problem.line() + " " + problem.column() + ": " + problem.found())
                .containsExactly(
                        "12 sources[2].baud: \"fast\"",
                        "26 sources[3].ends: \"([\"",
                        "27 sources[3].colour: an unknown key",
                        "30 sources[4].token_sha256: a text of 32 characters",
                        "40 sources[5].asked[1].unit: \"parsec\"");
        assertThat(settings.problems())
                .allMatch(problem -> problem.consequence().equals("This source is not used; the others are"));
    }

    @Test
    void saysThatTheSettingsOrAReaderWereChangedAndAreNotReadYet() throws IOException {
        Path reader = folder.resolve("own.yaml");
        Files.writeString(reader, OWN);
        String yaml = """
                sources:
                  - {name: a, kind: folder, folder: drop, instrument: I, method: ph-water-1-1, reader: own.yaml}
                """;
        CaptureSettings settings = Sources.read(folder, yaml);
        assertThat(settings.problems()).isEmpty();
        try (Capture capture =
                Capture.start(settings, new KeptInbox(), Clock.systemUTC(), ZoneOffset.UTC, List.of(folder))) {
            assertThat(changed(capture)).isEmpty();

            Files.writeString(reader, OWN.replace("title: own", "title: our own"));
            assertThat(changed(capture))
                    .singleElement()
                    .asString()
                    .contains("own.yaml was changed after the program read it");

            Files.writeString(reader, OWN);
            Files.setLastModifiedTime(reader, settings.files().get(1).written());
            assertThat(changed(capture)).as("put back as it was").isEmpty();

            Files.delete(folder.resolve("capture.yaml"));
            assertThat(changed(capture)).singleElement().asString().contains("capture.yaml was changed");
        }
    }

    /** What a source rests on is its keys, the bytes of its reader's file and the zone. */
    @Test
    void aSourceIsAnotherWhenItsReaderOrTheZoneIs() throws IOException {
        Path reader = folder.resolve("own.yaml");
        Files.writeString(reader, OWN);
        String yaml = """
                sources:
                  - {name: a, kind: folder, folder: drop, instrument: I, method: ph-water-1-1, reader: own.yaml}
                  - {name: b, kind: folder, folder: other, instrument: J, method: ph-water-1-1, reader: plasma-wide-table}
                """;
        Map<String, String> texts = Sources.read(folder, yaml).texts();
        assertThat(texts).containsOnlyKeys("a", "b");
        assertThat(Sources.read(folder, yaml).texts()).isEqualTo(texts);
        Files.writeString(reader, OWN.replace("title: own", "title: our own"));
        Map<String, String> corrected = Sources.read(folder, yaml).texts();
        assertThat(corrected.get("a")).isNotEqualTo(texts.get("a"));
        assertThat(corrected.get("b")).isEqualTo(texts.get("b"));
        assertThat(Sources.read(folder, "zone: Europe/Dublin\n" + yaml).texts().get("b"))
                .isNotEqualTo(texts.get("b"));
    }

    private static List<String> changed(Capture capture) {
        return capture.warnings().stream()
                .filter(one -> one.contains("was changed"))
                .toList();
    }

    @Test
    void saysWhatItExpects() {
        CaptureSettings settings = Sources.read(folder, """
                sources:
                  - {name: a, kind: pigeon}
                  - {name: b, kind: folder, folder: x, instrument: I, method: alchemy, reader: nothing.yaml}
                  - {name: c, kind: lines, instrument: I, method: ph-water-1-1, reader: weighing-list}
                  - {name: d, kind: frames, port: P, instrument: I, method: ph-water-1-1, reader: meter-lines}
                  - {name: b, kind: lines, listen: "here", instrument: I, method: ph-water-1-1, reader: meter-lines, order: none}
                """);
        assertThat(settings.sources()).isEmpty();
        assertThat(settings.problems())
                .extracting(Problem::sentence)
                .anySatisfy(text ->
                        assertThat(text).contains("line 2", "\"pigeon\"", "one of folder, lines, frames, http, hand"));
        assertThat(settings.problems())
                .extracting(Problem::expected)
                .anySatisfy(text ->
                        assertThat(text).startsWith("a reader's file, or one of those that ship: plasma-wide-table"));
        assertThat(settings.problems())
                .extracting(Problem::expected)
                .contains(
                        "the id of a method that the program knows",
                        "a reader of form records",
                        "each source once",
                        "an address and a port, such as 192.168.7.20:4001",
                        "planned or required: the reader takes what is at a position from the order",
                        "one of connect (HOST:PORT), listen (ADDRESS:PORT) and port (a serial port)");
    }

    @Test
    void theExampleIsUsable() {
        CaptureSettings settings =
                CaptureFile.read(Path.of("..", "examples", "capture", "capture.yaml"), method -> true);
        assertThat(settings.problems()).isEmpty();
        assertThat(settings.sources()).hasSize(7);
    }

    @Test
    void aFileThatIsNoYamlLeavesNothing() {
        assertThat(Sources.read(folder, "sources: [").problems()).hasSize(1);
        assertThat(Sources.read(folder, "sources: [").sources()).isEmpty();
    }
}
