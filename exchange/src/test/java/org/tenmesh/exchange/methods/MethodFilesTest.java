package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.jar.JarOutputStream;
import java.util.zip.ZipEntry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.UnusableFile;

class MethodFilesTest {
    private static final String END = ". The method is not taken.";

    @TempDir
    private Path folder;

    private static String shipped(String id) throws IOException {
        try (InputStream in = MethodFiles.class.getResourceAsStream("/org/tenmesh/exchange/methods/" + id + ".yaml")) {
            return new String(java.util.Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    @Test
    void shipsEveryFileOfItsFolderWithEveryAnalyteAsSpecified() throws Exception {
        var methods = MethodFiles.shipped();
        Path shipped = Path.of(java.util.Objects.requireNonNull(
                        MethodFiles.class.getResource("/org/tenmesh/exchange/methods/mehlich3-icp.yaml"))
                .toURI());
        try (var files = Files.list(java.util.Objects.requireNonNull(shipped.getParent()))) {
            assertThat(methods.ids())
                    .containsExactlyElementsOf(files.map(file -> String.valueOf(file.getFileName()))
                            .filter(name -> name.endsWith(".yaml"))
                            .map(name -> name.replace(".yaml", ""))
                            .sorted()
                            .toList());
        }
        assertThat(MethodFiles.shipped("mehlich3-icp")).isInstanceOfSatisfying(EmissionMethod.class, method -> {
            assertThat(method.head().analytes())
                    .extracting(a -> a.symbol())
                    .isEqualTo(List.of("P", "K", "Ca", "Mg", "Na", "S", "B", "Cu", "Fe", "Mn", "Zn", "Al"));
            assertThat(method.internalStandard()).contains("Y 371.029");
        });
    }

    @Test
    void findsTheSameFilesInAJar() throws IOException {
        Path jar = folder.resolve("methods.jar");
        try (var out = new JarOutputStream(Files.newOutputStream(jar))) {
            for (String name : List.of("", "b.yaml", "a.yaml", "note.txt", "deeper/", "deeper/c.yaml")) {
                out.putNextEntry(new ZipEntry(ShippedFiles.FOLDER + name));
                out.closeEntry();
            }
        }
        try (var loader = new URLClassLoader(new URL[] {jar.toUri().toURL()}, null)) {
            assertThat(ShippedFiles.ids(loader)).containsExactly("a", "b");
        }
        try (var empty = new URLClassLoader(new URL[] {}, null)) {
            assertThatThrownBy(() -> ShippedFiles.ids(empty))
                    .isInstanceOf(IllegalStateException.class)
                    .hasMessageContaining("no method file is in the program");
        }
    }

    @Test
    void everyMethodCallsItsKindByItsWordInFiles() {
        assertThat(MethodFiles.allShipped())
                .extracting(Method::kind)
                .containsOnlyElementsOf(Arrays.stream(MethodKinds.values())
                        .map(MethodKinds::word)
                        .toList());
    }

    @Test
    void aLaboratorysOwnVersionHoldsFromItsDate() throws IOException {
        String text = shipped("om-loi-360");
        Files.writeString(
                folder.resolve("a.yaml"),
                text.replace("version: 2026-11-01", "version: 2027-01-01").replace("slope: 1.0", "slope: 0.97"));
        Files.writeString(
                folder.resolve("b.yaml"),
                text.replace("version: 2026-11-01", "version: 2027-03-01").replace("slope: 1.0", "slope: 0.95"));
        MethodBook book = MethodFiles.read(folder);
        assertThat(version(book.of("om-loi-360", LocalDate.of(2027, 3, 1)))).isEqualTo(LocalDate.of(2027, 3, 1));
        assertThat(version(book.of("om-loi-360", LocalDate.of(2027, 2, 28)))).isEqualTo(LocalDate.of(2027, 1, 1));
        assertThat(version(book.of("om-loi-360", LocalDate.of(2026, 12, 31)))).isEqualTo(LocalDate.of(2026, 11, 1));
        assertThat(version(book.of("om-loi-360", LocalDate.of(2019, 3, 1)))).isEqualTo(LocalDate.of(2026, 11, 1));
        assertThat(book.ids()).isEqualTo(MethodFiles.shipped().ids());
        assertThat(book.versions("om-loi-360"))
                .extracting(method -> method.head().version())
                .containsExactly(LocalDate.of(2027, 3, 1), LocalDate.of(2027, 1, 1), LocalDate.of(2026, 11, 1));
    }

    private static LocalDate version(Method method) {
        return method.head().version();
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "om-loi-360|ash_celsius: 360|ash_celsius: hot|line 59, ignition.ash_celsius: found \"hot\", expected a number with . as the decimal mark",
                "om-loi-360|knowns_first: 5|knowns_first: -1|line 61, ignition.knowns_first: found \"-1\", expected a whole number from 0 to 1000",
                "om-loi-360|dry_hours: 1|dry_hour: 1|line 57, ignition.dry_hours: found nothing, expected a number",
                "om-loi-360|standing: read|standing: sure|line 11, sources[1].standing: found \"sure\", expected one of common practice, from memory, read",
                "om-loi-360|kind: ignition|kind: titration|line 5, kind: found \"titration\", expected one of conductivity, derived, electrode, emission, flow, formula, ignition",
                "om-loi-360|version: 2026-11-01|version: soon|line 4, version: found \"soon\", expected a date, such as 2026-11-01",
                "mehlich3-icp|element: Zn|element: Zi|line 219, emission.lines: found 0 preferred lines of Zn, expected one preferred line of each analyte",
                "ph-water-1-1|[0, 5, 10,|[0, 5, 5,|expected rising temperatures and one pH for each",
                "ph-water-1-1|unit: \"[pH]\"|unit: pH units|expected one of %, /s, 1, Cel, [lb_av]/[acr_us], [pH], [ston_av]/[acr_us], cm, cmol/kg, dS/m, g, g/L, g/kg, h, kg/har, mL, mS/cm, mV, meq/L, mg/L, mg/dm3, mg/kg, mmol/L, mol/L, t/har, {A}",
                "ph-water-1-1|probes: 4|probes: [4]|electrode.probes: found a list or a group of keys, expected text"
            })
    void saysWhatIsWrongAndWhere(String id, String was, String is, String said) throws IOException {
        String text = shipped(id);
        assertThat(text).contains(was);
        assertThatThrownBy(() -> MethodFiles.parse(id + ".yaml", text.replace(was, is)))
                .isInstanceOfSatisfying(
                        UnusableFile.class,
                        unusable -> assertThat(unusable.problems())
                                .extracting(Problem::sentence)
                                .anyMatch(sentence -> sentence.endsWith(said + END)));
    }

    @Test
    void saysWhereTheYamlBreaks() {
        assertThatThrownBy(() -> MethodFiles.parse("x.yaml", "id: a\ntitle: \"open\n"))
                .isInstanceOfSatisfying(UnusableFile.class, unusable -> {
                    Problem problem = unusable.problems().get(0);
                    assertThat(problem.file()).isEqualTo("x.yaml");
                    assertThat(problem.line()).isBetween(2, 3);
                    assertThat(problem.found()).startsWith("broken YAML: ");
                });
        assertThatThrownBy(() -> MethodFiles.parse("x.yaml", "- a list\n"))
                .hasMessageContaining("expected keys and values");
        assertThatThrownBy(() -> MethodFiles.parse("x.yaml", "id: a\nid: b\n"))
                .hasMessageContaining("x.yaml, line 2, id: found the key twice, expected each key once");
    }

    /** At the bench "1 g soil + 10 mL" is not enough: many extractants are measured in the same millilitres. */
    @Test
    void everyShippedMethodThatPoursSomethingOnSoilNamesIt() {
        List<String> nameless = new ArrayList<>();
        int pours = 0;
        for (String id : MethodFiles.shipped().ids()) {
            for (Method method : MethodFiles.shipped().versions(id)) {
                String amount = method.description().amount();
                boolean pouring = amount.endsWith(" mL") && !amount.startsWith("The ");
                pours += pouring ? 1 : 0;
                if (pouring && method.head().liquid().isEmpty()) {
                    nameless.add(id + ": " + amount);
                }
            }
        }
        assertThat(nameless).isEmpty();
        assertThat(pours).isGreaterThan(15);
    }
}
