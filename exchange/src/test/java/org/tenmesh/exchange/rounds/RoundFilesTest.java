package org.tenmesh.exchange.rounds;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.proficiency.RoundResult;
import org.tenmesh.core.proficiency.SamplesExchanged;
import org.tenmesh.core.proficiency.Scored;
import org.tenmesh.core.proficiency.Series;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;

class RoundFilesTest {
    private static final String HEADER = "round,date,sample,method,analyte,unit,assigned,assigned_u,sigma,laboratories,"
            + "participants,value,value_u,lab_number\n";
    private static final String GOOD = "2026-1,2026-02-10,11,mehlich3-icp,P,mg/kg,22,0.4,2,41,,23.0;21.9;22.7,0.9,\n";

    @TempDir
    @SuppressWarnings("NullAway.Init") // given by JUnit
    private Path folder;

    private Path file(String name, String text) throws IOException {
        return Files.writeString(folder.resolve(name), text);
    }

    private RoundsRead read(String rows) throws IOException {
        return RoundFiles.read(List.of(file("rounds.csv", HEADER + rows)), Optional.empty(), Limits.defaults());
    }

    @Test
    void readsStatedValuesAndReplicates() throws IOException {
        RoundsRead read = read(GOOD);
        assertThat(read.problems()).isEmpty();
        RoundResult result = read.results().get(0);
        assertThat(result.date()).isEqualTo(LocalDate.of(2026, 2, 10));
        assertThat(result.own()).containsExactly(23.0, 21.9, 22.7);
        assertThat(result.assigned().standardU()).hasValue(0.4);
        assertThat(result.ownStandardU()).hasValue(0.9);
    }

    /** Six of nine say 6.5 to one decimal, so the floor is that of a step of 0.1. */
    @Test
    void readsParticipantsAndWhatTheyAreRoundedTo() throws IOException {
        RoundsRead read = read("a,2026-02-10,1,ph-water-1-1,pH,[pH],,,,,6.5;6.5;6.5;6.5;6.5;6.5;6.4;6.6;6.6,6.6,,\n");
        assertThat(read.problems()).isEmpty();
        assertThat(read.results().get(0).assigned().sigma().getAsDouble()).isCloseTo(0.0741301, within(5e-8));
        assertThat(read.results().get(0).assigned().laboratories()).hasValue(9);
    }

    @Test
    void looksLabNumbersUpInAJudgedDay() throws IOException {
        file(
                "results.csv",
                "lab_number,method,analyte,value,unit,reported,uncertainty,verdict,causes\n"
                        + "26329-0001-5,mehlich3-icp,P,21.5,mg/kg,21.5,1.6,fit,\n"
                        + "26329-0002-3,mehlich3-icp,P,22.5,mg/kg,22.5,1.8,fit,\n"
                        + "26329-0003-1,mehlich3-icp,P,30,mg/kg,30,1.8,redo,C1\n"
                        + "26329-0003-1,mehlich3-icp,K,,mg/kg,,,hold,C1\n");
        String row = "a,2026-02-10,%s,mehlich3-icp,%s,%s,22,,2,,,,,%s\n";
        Path good = file("good.csv", HEADER + row.formatted("1", "P", "mg/kg", "26329-0001-5;26329-0002-3"));
        Path bad = file(
                "bad.csv",
                HEADER
                        + row.formatted("2", "P", "mg/kg", "26329-0003-1")
                        + row.formatted("3", "K", "mg/kg", "26329-0003-1")
                        + row.formatted("4", "P", "mg/L", "26329-0001-5")
                        + row.formatted("5", "P", "mg/kg", "26329-0009-A"));
        RoundsRead read = RoundFiles.read(List.of(good, bad), Optional.of(folder), Limits.defaults());
        assertThat(read.results()).hasSize(1);
        assertThat(read.results().get(0).own()).containsExactly(21.5, 22.5);
        assertThat(read.results().get(0).ownStandardU().getAsDouble()).isCloseTo(0.9, within(1e-12));
        assertThat(read.problems()).extracting(Problem::file).containsOnly("bad.csv");
        assertThat(read.problems())
                .extracting(problem -> problem.line() + " " + problem.column() + ": " + problem.found())
                .containsExactly(
                        "2 lab_number: \"26329-0003-1\" with the verdict redo",
                        "3 lab_number: \"26329-0003-1\"",
                        "4 unit: \"mg/L\"",
                        "5 lab_number: \"26329-0009-A\"");
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "a,yesterday,1,m,P,mg/kg,22,,2,,,23,, | date | a date, such as 2026-11-25",
                ",2026-02-10,1,m,P,mg/kg,22,,2,,,23,, | round | a value",
                "a,2026-02-10,1,m,P,ppm,22,,2,,,23,, | unit | one of the UCUM codes",
                "a,2026-02-10,1,m,P,mg/kg,,,2,,,23,, | assigned | an assigned value, or the participants' values",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,,1;2;3;4;5,23,, | assigned | an assigned value, or the participants' values",
                "a,2026-02-10,1,m,P,mg/kg,,,2,,1;2;3;4,23,, | participants | values of 5 laboratories or more",
                "a,2026-02-10,1,m,P,mg/kg,,,2,,1;2;3;4;x,23,, | participants | numbers with . as the decimal mark and ; between",
                "a,2026-02-10,1,m,P,mg/kg,22,-1,2,,,23,, | assigned_u | a number of 0 or more",
                "a,2026-02-10,1,m,P,mg/kg,22,,0,,,23,, | sigma | a number above 0",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,0,,23,, | laboratories | a whole number of 1 or more",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,,,23;,, | value | numbers with . as the decimal mark and ; between",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,,,,, | value | our value, or the lab number it was found under",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,,,23,,L1 | value | our value, or the lab number it was found under",
                "a,2026-02-10,1,m,P,mg/kg,22,,2,,,,,L1 | lab_number | a judged day to look the lab number up in",
            })
    void saysWhatIsWrongAndWhere(String row, String column, String expected) throws IOException {
        RoundsRead read = read(GOOD + row + "\n");
        assertThat(read.results()).isEmpty();
        assertThat(read.problems()).hasSize(1);
        Problem problem = read.problems().get(0);
        assertThat(problem.file()).isEqualTo("rounds.csv");
        assertThat(problem.line()).isEqualTo(3);
        assertThat(problem.column()).isEqualTo(column);
        assertThat(problem.expected()).contains(expected);
    }

    @Test
    void aRoundHasOneDateAndEachResultComesOnce() throws IOException {
        RoundsRead read = RoundFiles.read(
                List.of(
                        file("one.csv", HEADER + GOOD),
                        file("two.csv", HEADER + GOOD + GOOD.replace("2026-02-10,11", "2026-02-11,12"))),
                Optional.empty(),
                Limits.defaults());
        assertThat(read.results()).hasSize(1);
        assertThat(read.problems())
                .extracting(Problem::sentence)
                .anyMatch(said -> said.contains("two.csv, line 2, round") && said.contains("in one.csv, line 2"))
                .anyMatch(said -> said.contains("two.csv, line 3, date") && said.contains("2026-02-10"));
        assertThat(RoundFiles.read(List.of(folder.resolve("none.csv")), Optional.empty(), Limits.defaults())
                        .problems())
                .extracting(Problem::found)
                .containsExactly("no such file");
    }

    @Test
    void writesScoresActionsAndBias() throws IOException {
        RoundsRead read = read(
                GOOD + GOOD.replace("2026-1,2026-02-10", "2026-2,2026-05-11").replace("23.0;21.9;22.7", "29"));
        List<Series> series = Series.of(read.results());
        Path out = folder.resolve("scored");
        RoundFiles.write(out, series, SamplesExchanged.find(read.results()), read.problems());
        assertThat(Files.readAllLines(out.resolve("scores.csv")).get(2))
                .startsWith("mehlich3-icp,P,mg/kg,2026-05-11,2026-2,11,29,0.9,22,0.4,2,41,3.5,")
                .endsWith(",z," + Scored.Verdict.ACTION.word() + ",no");
        assertThat(Files.readAllLines(out.resolve("actions.csv")))
                .containsExactly(
                        "round,date,method,analyte,samples,rule,worst_score,last_good_round,last_good_date,look_back_days,what_to_do",
                        "2026-2,2026-05-11,mehlich3-icp,P,11,beyond 3,3.5,2026-1,2026-02-10,90,\"Find the reason; look back at every"
                                + " P by mehlich3-icp reported since round 2026-1 of 2026-02-10 (90 days), and write down what was"
                                + " found.\"");
        assertThat(Files.readAllLines(out.resolve("bias.csv"))).hasSize(2);
        assertThat(Files.readAllLines(out.resolve("problems.csv"))).hasSize(1);
    }
}
