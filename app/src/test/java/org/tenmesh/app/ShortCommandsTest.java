package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.app.line.Status;

/** Short commands start with the few jars that the start script names for them, and need no other. */
class ShortCommandsTest {
    private static final Pattern JAR = Pattern.compile("\"\\$lib\"/([A-Za-z-]+?)-?\\*\\.jar");

    /** The class path of this test, less what the function {@code lean_path} of the start script does not name. */
    private static String leanPath() throws Exception {
        String script = Files.readString(Path.of("..", "tenmesh"));
        String function = script.substring(script.indexOf("lean_path() {"), script.indexOf("full_path() {"));
        Matcher named = JAR.matcher(function);
        List<String> jars = named.results().map(found -> found.group(1)).toList();
        assertThat(jars).contains("tenmesh-app", "tenmesh-core", "fastcsv").doesNotContain("tenmesh-store");
        return Arrays.stream(System.getProperty("java.class.path").split(File.pathSeparator))
                .filter(entry -> jars.stream()
                        .anyMatch(jar -> jar.startsWith("tenmesh-")
                                ? entry.matches(".*/" + jar.substring("tenmesh-".length()) + "/target/classes/?")
                                        || entry.matches(".*/" + jar + "-[0-9.]+\\.jar")
                                : Path.of(entry).getFileName().toString().startsWith(jar)))
                .collect(Collectors.joining(File.pathSeparator));
    }

    /** The help tells of every command, those of the laboratory too: the start script gives it every jar. */
    @Test
    void theHelpIsGivenEveryJar() throws Exception {
        String script = Files.readString(Path.of("..", "tenmesh"));
        assertThat(script.lines().filter(line -> line.contains("demo | serve") && line.contains("| help")))
                .hasSize(1);
    }

    @ParameterizedTest
    @ValueSource(strings = {"policy", "methods", "check"})
    void isDoneWithoutDatabaseAndPages(String command) throws Exception {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        leanPath(),
                        Main.class.getName(),
                        command)
                .redirectErrorStream(true)
                .start();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertThat(process.waitFor()).as(said).isLessThan(Status.UNUSABLE);
        assertThat(said).isNotBlank().doesNotContain("NoClassDefFoundError");
    }
}
