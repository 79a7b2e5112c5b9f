package org.tenmesh.proof.launcher;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The launcher's own work: finding Java, building only when it must, passing arguments and exit status on. */
final class LauncherTest {
    private static final Path SCRIPT = Path.of("..", "tenmesh").toAbsolutePath().normalize();

    // The stand-in for the build writes down that it was called and makes the jars the launcher looks for.
    private static final String BUILD = """
            #!/bin/sh
            echo "mvnw $*" >>calls
            mkdir -p app/target/layout
            : >app/target/tenmesh-app-0.jar
            : >app/target/layout/tenmesh-core-0.jar
            """;

    // The stand-in for Java prints its last arguments and ends with the status it is told.
    private static final String JAVA = """
            #!/bin/sh
            while [ "$1" != org.tenmesh.app.Main ]; do
              [ $# -gt 0 ] || exit 0
              shift
            done
            shift
            for word; do echo "[$word]"; done
            exit "${WANTED_STATUS:-0}"
            """;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private Path home = Path.of("");
    private Path jdk = Path.of("");

    @BeforeEach
    void setUp() throws IOException {
        assumeTrue(
                Files.isExecutable(Path.of("/bin/sh")), "skipped: the launcher is a shell script and there is no sh");
        home = Files.createDirectory(temp.resolve("a folder with spaces"));
        Files.copy(SCRIPT, home.resolve("tenmesh"));
        executable(home.resolve("mvnw"), BUILD);
        Files.createDirectories(home.resolve("core/src/main/java"));
        Files.createDirectories(home.resolve("app/src/main"));
        Files.writeString(home.resolve("pom.xml"), "<project/>");
        Files.writeString(home.resolve("core/src/main/java/A.java"), "class A {}");
        jdk = jdk("17.0.15");
    }

    /** Short commands start with few jars: every library that their modules name must be among them. */
    @Test
    void theShortClassPathHoldsEveryLibraryItsModulesName() throws IOException {
        Path root = Path.of("..").toAbsolutePath().normalize();
        String launcher = Files.readString(root.resolve("tenmesh"));
        String shortPath = launcher.substring(launcher.indexOf("lean_path() {"), launcher.indexOf("full_path() {"));
        List<String> lacking = new ArrayList<>();
        for (String module : List.of("core", "exchange", "simulator")) {
            Matcher names = Pattern.compile(
                            "<dependency><groupId>(?!org\\.tenmesh)[^<]+</groupId><artifactId>([^<]+)</artifactId></dependency>")
                    .matcher(Files.readString(root.resolve(module).resolve("pom.xml")));
            while (names.find()) {
                String name = names.group(1);
                boolean there = shortPath.contains("\"$lib\"/" + name + "-*.jar")
                        || shortPath.contains("\"$lib\"/" + name.split("-")[0] + "-*.jar");
                if (!there) {
                    lacking.add(module + " " + name);
                }
            }
        }
        assertThat(lacking).isEmpty();
    }

    @Test
    void buildsOnceThenRunsAndPassesWordsOnAsTheyWereTyped() throws Exception {
        Ran first = run(home, "./tenmesh", "judge", "a day", "--out", "*");
        assertThat(first.out()).isEqualTo("[judge]\n[a day]\n[--out]\n[*]\n");
        assertThat(first.err()).contains("Building Tenmesh");
        Ran second = run(home, "./tenmesh", "judge", "");
        assertThat(second.out()).isEqualTo("[judge]\n[]\n");
        assertThat(second.err()).isEmpty();
        assertThat(calls()).hasSize(1);
    }

    @Test
    void buildsAgainWhenASourceIsNewerOrGone() throws Exception {
        run(home, "./tenmesh", "check");
        Path source = home.resolve("core/src/main/java/A.java");
        Files.setLastModifiedTime(source, FileTime.from(Instant.now().plusSeconds(5)));
        run(home, "./tenmesh", "check");
        assertThat(calls()).hasSize(2);
        Files.delete(source);
        Files.setLastModifiedTime(
                home.resolve("core/src/main/java"), FileTime.from(Instant.now().plusSeconds(5)));
        run(home, "./tenmesh", "check");
        assertThat(calls()).hasSize(3);
    }

    @Test
    void worksThroughALinkFromAnotherFolder() throws Exception {
        Path elsewhere = Files.createDirectories(temp.resolve("else/where"));
        Files.createSymbolicLink(temp.resolve("link"), home.resolve("tenmesh"));
        Files.createSymbolicLink(elsewhere.resolve("tm"), Path.of("../../link"));
        assertThat(run(elsewhere, "./tm", "help").out()).isEqualTo("[help]\n");
    }

    @Test
    void passesTheExitStatusOn() throws Exception {
        ProcessBuilder builder = builder(home, "./tenmesh", "check");
        builder.environment().put("WANTED_STATUS", "1");
        assertThat(finish(builder).status()).isEqualTo(1);
    }

    @Test
    void saysSoWhenJavaHomeIsTooOld() throws Exception {
        Path old = jdk("11.0.2");
        ProcessBuilder builder = builder(home, "./tenmesh", "help");
        builder.environment().put("JAVA_HOME", old.toString());
        builder.environment().put("PATH", jdk.resolve("bin") + ":/usr/bin:/bin");
        Ran ran = finish(builder);
        assertThat(ran.err()).contains("JAVA_HOME is " + old + ", which is no JDK 17 or newer");
        assertThat(ran.out()).isEqualTo("[help]\n");
    }

    @Test
    void aFailedBuildSaysWhereItsWordsAreAndEndsWithTwo() throws Exception {
        executable(home.resolve("mvnw"), "#!/bin/sh\necho 'no such symbol'\nexit 1\n");
        Ran ran = run(home, "./tenmesh", "check");
        assertThat(ran.status()).isEqualTo(2);
        assertThat(ran.err()).contains("no such symbol").contains("build.log");
        assertThat(ran.out()).isEmpty();
    }

    @Test
    void aFailedBuildLeavesTheNextStartToTryAgain() throws Exception {
        executable(home.resolve("mvnw"), "#!/bin/sh\nexit 1\n");
        run(home, "./tenmesh", "check");
        executable(home.resolve("mvnw"), BUILD);
        assertThat(run(home, "./tenmesh", "check").out()).isEqualTo("[check]\n");
    }

    private List<String> calls() throws IOException {
        return Files.readAllLines(home.resolve("calls"));
    }

    private Path jdk(String version) throws IOException {
        Path folder = Files.createDirectories(temp.resolve("jdk-" + version + "/bin"));
        executable(folder.resolve("java"), JAVA);
        executable(folder.resolve("javac"), "#!/bin/sh\n");
        Path root = temp.resolve("jdk-" + version);
        Files.writeString(root.resolve("release"), "IMPLEMENTOR=\"x\"\nJAVA_VERSION=\"" + version + "\"\n");
        return root;
    }

    private static void executable(Path file, String text) throws IOException {
        Files.writeString(file, text);
        Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rwxr-xr-x"));
    }

    private record Ran(int status, String out, String err) {}

    private Ran run(Path from, String... words) throws Exception {
        return finish(builder(from, words));
    }

    private ProcessBuilder builder(Path from, String... words) {
        ProcessBuilder builder = new ProcessBuilder(words).directory(from.toFile());
        builder.environment().put("JAVA_HOME", jdk.toString());
        return builder;
    }

    private Ran finish(ProcessBuilder builder) throws Exception {
        Path out = Files.createTempFile(temp, "out", "");
        Path err = Files.createTempFile(temp, "err", "");
        Process process =
                builder.redirectOutput(out.toFile()).redirectError(err.toFile()).start();
        assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
        return new Ran(process.exitValue(), Files.readString(out, UTF_8), Files.readString(err, UTF_8));
    }
}
