package org.tenmesh.proof.mutate;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** No mistake in a day breaks the judge, and none is passed over where somebody could have seen it. */
class MutateDaysTest {
    @TempDir
    private Path temp = Path.of("");

    @Test
    void twoHundredMistakesAreToldOrCouldNotBeSeen() throws Exception {
        Map<String, Folder> days = MutateDays.days(3, 40, Optional.empty());
        Trial trial = new Trial(temp, 120);
        Map<String, Trial.Base> bases = new LinkedHashMap<>();
        for (Map.Entry<String, Folder> day : days.entrySet()) {
            bases.put(day.getKey(), trial.base(day.getValue()));
        }
        Tally tally = new Tally(3, 40, days.keySet());
        for (Mutation mutation : MutateDays.some(days, 3, 200, Optional.empty())) {
            Trial.Base base = Objects.requireNonNull(bases.get(mutation.day()), mutation.day());
            Optional<Folder> changed = mutation.in(base.folder());
            tally.add(mutation, trial.run(base, changed.orElseThrow()));
        }
        assertThat(tally.count()).isEqualTo(200);
        assertThat(tally.good()).as(String.join("\n", tally.failing())).isTrue();
    }

    /** What the page says happens to each field is what happens. */
    @Test
    void eachFieldSlightlyWrongEndsAsThePageSays() throws Exception {
        Trial trial = new Trial(temp, 120);
        Trial.Base base = trial.base(MutateDays.smallDay());
        List<Mutation> mutations = MistakeTable.mutations("small", base.folder(), 1);
        List<String> page = Files.readAllLines(Path.of("..", "docs", "validation", "mistakes.md"));
        List<String> rows = page.stream().filter(line -> line.startsWith("| `")).toList();
        assertThat(rows).hasSameSizeAs(mutations);
        assertThat(page).noneMatch(line -> line.contains("NO REASON"));
        TreeSet<String> files = new TreeSet<>();
        List<String> made = new ArrayList<>();
        List<String> said = new ArrayList<>();
        // Every fifth one, which is enough to see a page that is out of date; all of them are made with the page.
        for (int i = 0; i < mutations.size(); i += 5) {
            List<MistakeTable.Line> lines = MistakeTable.lines(trial, base, List.of(mutations.get(i)));
            made.add(firstCells(lines.get(0).row()));
            said.add(firstCells(rows.get(i)));
            files.add(mutations.get(i).file());
        }
        assertThat(said).isEqualTo(made);
        assertThat(files)
                .contains("submissions.csv", "samples.csv", "trays.csv", "controls.csv", "materials.csv")
                .contains("standards.csv", "runs.csv", "readings/ICP1-01.csv");
    }

    private static String firstCells(String row) {
        String[] cells = row.split(" \\| ", -1);
        return String.join(" | ", List.of(cells).subList(0, 4));
    }

    @Test
    void aMutationIsMadeAgainFromItsLine() throws Exception {
        Folder day = MutateDays.smallDay();
        Mutation one = new Mutation("small", "readings/PH1-01.csv", "value", Mistake.NEGATIVE, 7);
        Mutation again = Mutation.parse(one.written());
        assertThat(again).isEqualTo(one);
        assertThat(again.in(day).orElseThrow().files.get(one.file()))
                .isEqualTo(one.in(day).orElseThrow().files.get(one.file()))
                .isNotEqualTo(day.files.get(one.file()));
    }

    /** The comparison itself sees what is gone: otherwise nothing above could fail. */
    @Test
    void aResultThatIsGoneWithoutAWordIsSeen() {
        Judged before = new Judged(
                0,
                new TreeSet<>(),
                new TreeSet<>(),
                new TreeSet<>(),
                new TreeSet<>(),
                new TreeSet<>(List.of("R own control open")),
                new TreeSet<>(List.of("R 1 CS K")),
                Map.of("L1 m K", new Judged.Answer("5", "fit"), "L2 m K", new Judged.Answer("6", "fit")));
        assertThat(Compared.of(before, with(before, Map.of("L1 m K", new Judged.Answer("5", "fit"))), Optional.empty())
                        .outcome())
                .isEqualTo(Outcome.ROWS_IN_SILENCE);
        assertThat(Compared.of(
                                before,
                                with(
                                        before,
                                        Map.of(
                                                "L1 m K",
                                                new Judged.Answer("7", "fit"),
                                                "L2 m K",
                                                new Judged.Answer("6", "fit"))),
                                Optional.empty())
                        .outcome())
                .isEqualTo(Outcome.VALUES_IN_SILENCE);
        assertThat(Compared.of(before, before, Optional.empty()).outcome()).isEqualTo(Outcome.UNCHANGED);
        assertThat(Compared.of(before, before, Optional.of("1 of 2")).outcome()).isEqualTo(Outcome.UNBALANCED);
        Judged unguarded = new Judged(
                0,
                before.problems(),
                before.notes(),
                before.causes(),
                before.aside(),
                new TreeSet<>(),
                before.controls(),
                before.results());
        assertThat(Compared.of(before, unguarded, Optional.empty()).outcome()).isEqualTo(Outcome.GUARD_IN_SILENCE);
    }

    private static Judged with(Judged before, Map<String, Judged.Answer> results) {
        return new Judged(
                before.status(),
                before.problems(),
                before.notes(),
                before.causes(),
                before.aside(),
                before.gates(),
                before.controls(),
                results);
    }
}
