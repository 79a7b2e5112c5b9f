package org.tenmesh.exchange.judged;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.exchange.day.DayFolderTest;
import org.tenmesh.exchange.day.Days;
import org.tenmesh.exchange.day.RowsOfFile;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.methods.MethodFiles;

class JudgedFilesTest {
    private static final Day DAY = Days.of(30, 1);
    private static final LabNumber ONE = DAY.soils().get(0).labNumber();
    private static final LabNumber TWO = DAY.soils().get(1).labNumber();

    @TempDir
    private Path out;

    private static Result result(
            LabNumber number, String run, Amount amount, String text, Verdict verdict, String... causes) {
        return new Result(
                number,
                "om-loi-360",
                LocalDate.of(2026, 11, 1),
                "LOI",
                run,
                7,
                "1",
                amount,
                text,
                amount instanceof Amount.Missing ? OptionalDouble.empty() : OptionalDouble.of(0.25),
                verdict,
                List.of(causes));
    }

    private static Standing judged() {
        return Standing.of(
                DAY,
                new JudgedDay(
                        List.of(
                                result(
                                        ONE,
                                        "LOI-1",
                                        new Amount.Measured(3.189335471584544, Unit.PERCENT),
                                        "3.2",
                                        Verdict.FIT),
                                result(
                                        TWO,
                                        "LOI-1",
                                        new Amount.Below(0.05, 0.0142566, Unit.PERCENT),
                                        "< 0.05",
                                        Verdict.HOLD,
                                        "c1",
                                        "c2"),
                                result(
                                        ONE,
                                        "LOI-0",
                                        new Amount.Missing("no ash weight", Unit.PERCENT),
                                        "",
                                        Verdict.REDO,
                                        "c1")),
                        List.of(new Cause(
                                new CauseKey(CauseKind.CONTROL_FAILED, "LOI-1", "0123456789"),
                                List.of(new Stretch(
                                        "LOI-1",
                                        "om-loi-360",
                                        Verdict.REDO,
                                        List.of("LOI", "OM"),
                                        3,
                                        9,
                                        List.of(
                                                new ResultKey(ONE, "om-loi-360", "OM"),
                                                new ResultKey(TWO, "om-loi-360", "OM"),
                                                new ResultKey(TWO, "om-loi-360", "LOI")),
                                        "Known soil ASH-1 gave 3.90 %, expected 3.10, \"far off\"",
                                        List.of(
                                                new Measure(
                                                        Measure.Kind.CONTROL_SOIL,
                                                        "LOI",
                                                        "ASH-1",
                                                        1,
                                                        10.25,
                                                        OptionalDouble.of(-3.9),
                                                        OptionalDouble.of(3.9),
                                                        "s"),
                                                Measure.upTo(Measure.Kind.RANGE, "OM", TWO.text(), 7, 12.5, 10, "%")))),
                                "Weigh again",
                                OptionalDouble.of(4.5),
                                Optional.of(new Finding.RunnerUp(CauseKind.STANDARD_WRONG, 0.75)),
                                "d")),
                        List.of(new GateOutcome(
                                "LOI-A",
                                "LOI-1",
                                Gate.OWN_CONTROL,
                                false,
                                "3.90 %",
                                "3.10 ± 0.24 %",
                                OffsetDateTime.parse("2026-11-26T07:30:00+01:00"))),
                        List.of(
                                new ControlValue(
                                        "LOI-1",
                                        "om-loi-360",
                                        1,
                                        "ASH-1",
                                        false,
                                        "ASH-1",
                                        "LOI",
                                        3.9,
                                        10,
                                        List.of("3s", "r4")),
                                new ControlValue(
                                        "LOI-1",
                                        "om-loi-360",
                                        8,
                                        TWO.text(),
                                        true,
                                        "ASH-1",
                                        "LOI",
                                        3.125,
                                        0.3125,
                                        List.of())),
                        List.of(),
                        List.of(),
                        List.of(
                                new LowReading(
                                        "olsen-p",
                                        "P",
                                        "flow-1",
                                        LocalDate.of(2026, 11, 26),
                                        "P1",
                                        4,
                                        OptionalDouble.empty(),
                                        -0.125),
                                new LowReading(
                                        "olsen-p",
                                        "P",
                                        "flow-1",
                                        LocalDate.of(2026, 11, 26),
                                        "P1",
                                        5,
                                        OptionalDouble.of(2),
                                        2.25))),
                MethodFiles.shipped());
    }

    private static final DayAccount ACCOUNT = new DayAccount(
            List.of(new RowsOfFile("samples.csv", 4, 3, 0, Map.of("a soil that no run has read", 1))),
            new Balance(
                    List.of(new Balance.OfRun(
                            "LOI-1",
                            9,
                            Map.of(Balance.Place.RESULT, 5, Balance.Place.CHECK, 1, Balance.Place.SET_ASIDE, 3),
                            List.of(new Balance.SetAside("LOI-1", 3, 7, "`soot`, which is not in method om-loi-360")))),
                    List.of()));

    @Test
    void anAccountThatDoesNotAddUpIsAProblem() {
        assertThat(ACCOUNT.problems()).isEmpty();
        assertThat(ACCOUNT.setAside()).isEqualTo(4);
        RowsOfFile short1 = new RowsOfFile("readings/LOI-1.csv", 10, 8, 0, Map.of());
        DayAccount lost = new DayAccount(
                List.of(short1), new Balance(ACCOUNT.balance().runs(), List.of("run LOI-1: a row without a place")));
        assertThat(lost.problems())
                .extracting(Problem::found)
                .containsExactly(
                        "10 rows, of which 8 used, 0 not needed and 0 set aside",
                        "8 readings taken and 9 judged",
                        "run LOI-1: a row without a place");
    }

    @Test
    void writesEveryFileWithItsColumns() throws IOException {
        JudgedFiles.write(
                out,
                DAY,
                judged(),
                MethodFiles.shipped(),
                ACCOUNT,
                List.of(new Problem("samples.csv", 3, "top_cm", "\"x\"", "a number", "Nothing of it is taken")),
                List.of());
        assertThat(Files.readString(out.resolve("results.csv")))
                .isEqualTo(
                        "lab_number,method,analyte,value,unit,reported,uncertainty,verdict,causes,method_version,remark\n"
                                + ONE + ",om-loi-360,LOI,3.189335471584544,%,3.2,0.25,fit,,2026-11-01,\n"
                                + TWO + ",om-loi-360,LOI,0.0142566,%,< 0.05,0.25,hold,c1;c2,2026-11-01,\n");
        assertThat(Files.readString(out.resolve("superseded.csv")))
                .isEqualTo(
                        "lab_number,method,analyte,value,unit,reported,uncertainty,verdict,causes,run,why,method_version,remark\n"
                                + ONE
                                + ",om-loi-360,LOI,,%,,,redo,c1,LOI-0,Run LOI-1 stands. This reading was to be made again.,2026-11-01,\n");
        assertThat(Files.readString(out.resolve("causes.csv")))
                .isEqualTo(
                        "cause,kind,run,method,analytes,first_position,last_position,samples,evidence,action,odds,"
                                + "runner_up,runner_up_odds,answer,answer_ratio,read_again,changed,answered\n"
                                + "control-failed@LOI-1#0123456789,control-failed,LOI-1,om-loi-360,LOI;OM,3,9,2,"
                                + "\"Known soil ASH-1 gave 3.90 %, expected 3.10, \"\"far off\"\"\",Weigh again,4.5,standard-wrong,0.75,open,,0,0,Nothing that it touches was read again with a fit result yet.\n");
        assertThat(Files.readString(out.resolve("measures.csv")))
                .isEqualTo("cause,run,method,measure,analyte,identity,position,found,allowed_low,allowed_high,unit\n"
                        + "control-failed@LOI-1#0123456789,LOI-1,om-loi-360,control-soil,LOI,ASH-1,1,10.25,-3.9,3.9,s\n"
                        + "control-failed@LOI-1#0123456789,LOI-1,om-loi-360,range,OM," + TWO + ",7,12.5,,10,%\n");
        assertThat(Files.readString(out.resolve("gates.csv")))
                .isEqualTo("instrument,run,gate,outcome,observed,limit,at\n"
                        + "LOI-A,LOI-1,own control,shut,3.90 %,3.10 ± 0.24 %,2026-11-26T07:30:00+01:00\n");
        assertThat(Files.readString(out.resolve("control-values.csv")))
                .isEqualTo("run,position,lab_number,material,analyte,value,z,rules\n"
                        + "LOI-1,1,,ASH-1,LOI,3.9,10,3s;r4\n"
                        + "LOI-1,8," + TWO + ",ASH-1,LOI,3.125,0.3125,\n");
        assertThat(Files.readString(out.resolve("low-readings.csv")))
                .isEqualTo("run,position,method,analyte,instrument,day,known,value\n"
                        + "P1,4,olsen-p,P,flow-1,2026-11-26,,-0.125\n"
                        + "P1,5,olsen-p,P,flow-1,2026-11-26,2,2.25\n");
        assertThat(Files.readString(out.resolve("problems.csv")))
                .isEqualTo("file,line,column,found,expected,consequence\n"
                        + "samples.csv,3,top_cm,\"\"\"x\"\"\",a number,Nothing of it is taken\n");
        assertThat(Files.readString(out.resolve("summary.json"))).isEqualTo("""
                        {
                          "engine": "%s",
                          "methods": {"mehlich3-icp": "2026-11-01", "om-loi-360": "2026-11-01", "ph-water-1-1": "2026-11-01"},
                          "policy": "2026-11-02",
                          "policy_changed": 2,
                          "policy_changes": {"control_false_alarm": 0.005, "retention_days": 35},
                          "results": {"fit": 1, "hold": 1, "redo": 0},
                          "superseded": 1,
                          "runs": 3,
                          "gates": {"open": 0, "shut": 1},
                          "causes": {"control-failed": 1},
                          "problems": 1,
                          "readings": {"read": 9, "result": 5, "standard": 0, "check": 1, "blank": 0, "control": 0, "duplicate": 0, "wash": 0, "superseded": 0, "set_aside": 3},
                          "rows": {"samples.csv": {"read": 4, "used": 3, "not_needed": 0, "set_aside": 1}},
                          "set_aside": ["samples.csv: 1 row, a soil that no run has read", "run LOI-1: 3 readings from position 7, `soot`, which is not in method om-loi-360"],
                          "adds_up": true
                        }
                        """.formatted(JudgedFiles.engineVersion()));
    }

    @Test
    void writesTheSameBytesTwiceAndLeavesNothingBesideThem() throws IOException {
        JudgedFiles.write(out.resolve("a"), DAY, judged(), MethodFiles.shipped(), ACCOUNT, List.of(), List.of());
        JudgedFiles.write(out.resolve("b"), DAY, judged(), MethodFiles.shipped(), ACCOUNT, List.of(), List.of());
        assertThat(DayFolderTest.contents(out.resolve("b"))).isEqualTo(DayFolderTest.contents(out.resolve("a")));
        assertThat(DayFolderTest.contents(out.resolve("a"))).hasSize(11);
    }

    @Test
    void leavesAnOlderJudgementAsItWasWhenTheWritingFails() throws IOException {
        JudgedFiles.write(out, DAY, judged(), MethodFiles.shipped(), ACCOUNT, List.of(), List.of());
        Map<String, String> before = DayFolderTest.contents(out);
        List<Problem> unwritable = new java.util.ArrayList<>();
        unwritable.add(null);

        assertThatThrownBy(() ->
                        JudgedFiles.write(out, DAY, judged(), MethodFiles.shipped(), ACCOUNT, unwritable, List.of()))
                .isInstanceOf(NullPointerException.class);
        assertThat(DayFolderTest.contents(out)).isEqualTo(before);

        Path fresh = out.resolve("fresh");
        assertThatThrownBy(() ->
                        JudgedFiles.write(fresh, DAY, judged(), MethodFiles.shipped(), ACCOUNT, unwritable, List.of()))
                .isInstanceOf(NullPointerException.class);
        assertThat(DayFolderTest.contents(out)).isEqualTo(before);
    }

    @Test
    void keepsOtherFilesOfTheFolder() throws IOException {
        Files.writeString(out.resolve("mine.txt"), "kept");
        Files.writeString(out.resolve("results.csv"), "old");
        JudgedFiles.write(out, DAY, judged(), MethodFiles.shipped(), ACCOUNT, List.of(), List.of());
        assertThat(Files.readString(out.resolve("mine.txt"))).isEqualTo("kept");
        assertThat(Files.readString(out.resolve("results.csv"))).startsWith("lab_number,");
        assertThat(DayFolderTest.contents(out).keySet()).noneMatch(name -> name.contains(".part"));
    }
}
