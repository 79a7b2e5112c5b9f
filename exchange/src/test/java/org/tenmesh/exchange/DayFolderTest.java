package org.tenmesh.exchange;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.judgement.Day;

class DayFolderTest {
    @TempDir
    private Path folder;

    @Test
    void readsBackWhatItWrote() throws IOException {
        Day day = Days.of(700, 11);
        DayFolder.write(day, folder);
        DayReading read = DayFolder.read(folder);
        assertThat(read.problems()).isEmpty();
        assertThat(read.usable()).isTrue();
        assertSame(read.day(), day);
    }

    @Test
    void writesTheSameBytesForTheSameDay() throws IOException {
        DayFolder.write(Days.of(120, 3), folder.resolve("a"));
        DayFolder.write(DayFolder.read(folder.resolve("a")).day(), folder.resolve("b"));
        assertThat(contents(folder.resolve("b"))).isEqualTo(contents(folder.resolve("a")));
    }

    static void assertSame(Day found, Day expected) {
        assertThat(found.laboratory()).isEqualTo(expected.laboratory());
        assertThat(found.submissions()).isEqualTo(expected.submissions());
        assertThat(found.soils()).isEqualTo(expected.soils());
        assertThat(found.trays()).isEqualTo(expected.trays());
        assertThat(found.controls()).isEqualTo(expected.controls());
        assertThat(found.materials()).isEqualTo(expected.materials());
        assertThat(found.standards()).isEqualTo(expected.standards());
        assertThat(found.runs()).hasSameSizeAs(expected.runs());
        for (int i = 0; i < found.runs().size(); i++) {
            var a = found.runs().get(i);
            var b = expected.runs().get(i);
            assertThat(List.of(a.run(), a.method(), a.instrument(), a.operator(), a.startedAt()))
                    .isEqualTo(List.of(b.run(), b.method(), b.instrument(), b.operator(), b.startedAt()));
            assertThat(Days.same(a.readings(), b.readings())).as(a.run()).isTrue();
        }
    }

    static Map<String, String> contents(Path folder) throws IOException {
        Map<String, String> contents = new TreeMap<>();
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                contents.put(folder.relativize(file).toString(), Files.readString(file));
            }
        }
        return contents;
    }
}
