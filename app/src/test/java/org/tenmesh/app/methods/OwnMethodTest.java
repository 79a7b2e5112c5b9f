package org.tenmesh.app.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;
import org.tenmesh.exchange.methods.MethodFiles;

/** What docs/own-method.md tells a manager to do, done. */
class OwnMethodTest {
    private static final Path PAGE = Path.of("..", "docs", "own-method.md");
    private static final Pattern BLOCK = Pattern.compile("```yaml\n# file: (\\S+)\n(.*?)```", Pattern.DOTALL);

    @TempDir
    private Path folder;

    private String page = "";
    private final List<String> ids = new ArrayList<>();

    @BeforeEach
    void saveTheBlocksOfThePage() throws Exception {
        page = Files.readString(PAGE, StandardCharsets.UTF_8);
        Matcher block = BLOCK.matcher(page);
        while (block.find()) {
            Files.writeString(folder.resolve(block.group(1)), block.group(2), StandardCharsets.UTF_8);
            ids.add(block.group(1).replace(".yaml", ""));
        }
    }

    private record Ran(int status, String out) {}

    private static Ran tenmesh(String... arguments) {
        StringWriter out = new StringWriter();
        PrintWriter writer = new PrintWriter(out);
        int status = Main.run(new Console(writer, writer, false), arguments);
        writer.flush();
        return new Ran(status, out.toString());
    }

    @Test
    void theMethodsOfThePageAreTakenAndTheirExamplesAgree() {
        assertThat(ids).containsExactly("scoop-density", "organic-matter-stock");
        Ran listed = tenmesh("methods", folder.toString());
        assertThat(listed.out()).contains("Density of scooped soil (own): density", "has no mistakes");
        assertThat(listed.status()).isZero();
        Ran examples = tenmesh("methods", folder.toString(), "--examples");
        assertThat(examples.out())
                .contains("ok      example-scoop-density-1: density expected 1250, got 1250")
                .contains("example-organic-matter-stock-1: level expected usual, got usual; stock expected 80, got 80");
        assertThat(examples.status()).isZero();
        Ran shown = tenmesh("methods", folder.toString(), "--show", "organic-matter-stock");
        assertThat(shown.out())
                .contains("stock = om × density × (bottom − top) × tonnes", "3.2 × 1250 × (20 − 0) × 0.001 = 80");
    }

    @Test
    void aShippedMethodIsCopiedAndChangedFromADate() throws Exception {
        Ran file = tenmesh("methods", "--file", "om-loi-360");
        assertThat(file.status()).isZero();
        Files.writeString(
                folder.resolve("om-loi-360.yaml"),
                file.out()
                        .replace("version: 2026-11-01", "version: 2027-01-01")
                        .replace("slope: 1.0", "slope: 0.97")
                        .replace("intercept: 0.0", "intercept: -0.2"));
        assertThat(MethodFiles.read(folder).versions("om-loi-360")).hasSize(2);
        Ran examples = tenmesh("methods", folder.toString(), "--examples");
        assertThat(examples.out()).contains("FAILED  example-om-loi-360-1");
        assertThat(examples.status()).isEqualTo(1);
        assertThat(tenmesh("methods", folder.toString(), "--show", "om-loi-360").out())
                .contains("OM = 0.97 × LOI + -0.2")
                .containsPattern("from 2027-01-01.*\n  from 2026-11-01");
    }

    @Test
    void theMistakeOfThePageIsToldAsThePageSays() throws Exception {
        String file = tenmesh("methods", "--file", "om-loi-360").out();
        Matcher hours = Pattern.compile("ash_hours: [0-9]+").matcher(file);
        assertThat(hours.find()).isTrue();
        Files.writeString(folder.resolve("om-loi-360.yaml"), file.replace(hours.group(), "ash_hours: overnight"));
        Ran checked = tenmesh("methods", folder.toString());
        String said = checked.out().lines().findFirst().orElse("");
        assertThat(page).contains("       " + said);
        assertThat(checked.out()).endsWith("1 problem in " + folder + System.lineSeparator());
        assertThat(checked.status()).isEqualTo(1);
    }

    @Test
    void everyFunctionAndSignThePageNamesIsKnownAndNoOtherIsMissing() {
        for (var operation : org.tenmesh.core.formula.Operation.values()) {
            String sign = operation.sign().equals("||") ? "\\|\\|" : operation.sign();
            assertThat(page).as(operation.name()).containsPattern("`" + Pattern.quote(sign) + "[`(]");
        }
    }

    @Test
    void whatCannotBeUsedIsSaid() {
        assertThat(tenmesh("methods", folder.resolve("none").toString()))
                .isEqualTo(new Ran(
                        2,
                        "tenmesh: there is no folder " + folder.resolve("none")
                                + "; expected a folder of method files; --show ID shows one method"
                                + System.lineSeparator()));
        assertThat(tenmesh("methods", "--show", "none").out())
                .contains("there is no method \"none\"; tenmesh methods lists those there are");
    }
}
