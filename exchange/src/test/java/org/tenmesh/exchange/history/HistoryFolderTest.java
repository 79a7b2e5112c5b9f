package org.tenmesh.exchange.history;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;

class HistoryFolderTest {
    @TempDir
    Path folder;

    private void write(String name, String text) throws IOException {
        Path path = folder.resolve(name);
        Files.createDirectories(path.getParent());
        Files.writeString(path, text);
    }

    private void day(String name, String date, String valuesIn) throws IOException {
        write(name + "/runs.csv", """
                run,method,instrument,operator,started_at
                LOI-1,om-loi-360,LOI-A,bench 1,%sT16:00:00+01:00
                LOI-2,om-loi-360,LOI-A,bench 1,%sT00:30:00+01:00
                """.formatted(date, LocalDate.parse(date).plusDays(1)));
        write(name + "/" + valuesIn, """
                run,position,lab_number,material,analyte,value,z,rules
                LOI-1,1,,ASH-1,LOI,3.1,0.3,
                LOI-2,8,26329-0001-X,ASH-1,LOI,3.9,10,beyond-limit
                """);
    }

    @Test
    void readsTheDaysInTheirOrderAndLeavesOutWhatIsBroken() throws IOException {
        day("2026-11-02", "2026-11-02", "control-values.csv");
        day("2026-11-01", "2026-11-01", "judged/control-values.csv");
        day("2026-11-03", "2026-11-03", "control-values.csv");
        write("2026-11-03/control-values.csv", "run,position,material,analyte,value,rules\nLOI-9,1,ASH-1,LOI,3.0,\n");
        write("2026-11-04/runs.csv", "run,method,instrument,started_at\n");
        HistoryReading reading = HistoryFolder.read(folder, Limits.defaults());
        assertThat(reading.days()).isEqualTo(2);
        assertThat(reading.history().entries()).hasSize(4);
        assertThat(reading.history().entries().get(0))
                .isEqualTo(new ChartValue(
                        new ChartKey("ASH-1", "om-loi-360", "LOI", "LOI-A"),
                        LocalDate.of(2026, 11, 1),
                        OffsetDateTime.parse("2026-11-01T16:00:00+01:00"),
                        "LOI-1",
                        1,
                        3.1,
                        false));
        // A run after midnight belongs to the laboratory day that began before it.
        assertThat(reading.history().entries().get(1).day()).isEqualTo(LocalDate.of(2026, 11, 1));
        assertThat(reading.history().entries().get(1).failed()).isTrue();
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "2026-11-03/control-values.csv, line 2, run: found \"LOI-9\", expected a run of runs.csv."
                                + " Nothing of this day is taken into the history.",
                        "2026-11-04/control-values.csv: found no such file, expected a file."
                                + " Nothing of this day is taken into the history.");
    }

    @Test
    void aLinkThatLeadsOutOfTheFolderIsAProblemAndIsNotRead() throws IOException {
        day("days/2026-11-02", "2026-11-02", "control-values.csv");
        day("elsewhere", "2026-11-01", "control-values.csv");
        write("secret.csv", "material,follows\nASH-2,ASH-1\n");
        Files.createSymbolicLink(folder.resolve("days/2026-11-01"), folder.resolve("elsewhere"));
        Files.createSymbolicLink(folder.resolve("days/lots.csv"), folder.resolve("secret.csv"));
        HistoryReading reading = HistoryFolder.read(folder.resolve("days"), Limits.defaults());
        assertThat(reading.days()).isEqualTo(1);
        assertThat(reading.history().follows()).isEmpty();
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "2026-11-01/runs.csv: found a link to a file outside the folder, expected a file in the folder."
                                + " Nothing of this day is taken into the history.",
                        "lots.csv: found a link to a file outside the folder, expected a file in the folder."
                                + " The lines that are named are not taken; the rest counts.");
    }

    @Test
    void readsLotsLimitsAndBiasWhereTheyStandAndTheirGoodLinesWhereSomeAreBad() throws IOException {
        day("2026-11-02", "2026-11-02", "control-values.csv");
        write("lots.csv", "material,follows\nASH-2,ASH-1\n");
        write("limits.csv", """
                material,method,analyte,instrument,since,mean,sd,within_sd,n,by,why
                ASH-1,om-loi-360,LOI,LOI-A,2026-11-01,3.1,0.05,0.03,60,Q. Doyle,new furnace
                ASH-1,om-loi-360,LOI,LOI-A,2026-11-02,3.1,-1,,60,Q. Doyle,slip
                ASH-1,om-loi-360,LOI,LOI-A,soon,3.1,0.05,,60,Q. Doyle,slip
                """);
        write("bias.csv", """
                method,analyte,name,found,sd,n,assigned,u_assigned
                om-loi-360,LOI,round 12,3.15,0.04,3,3.10,0.02
                om-loi-360,LOI,round 13,3.15,,1,0,0.02
                """);
        HistoryReading reading = HistoryFolder.read(folder, Limits.defaults());
        assertThat(reading.history().follows()).containsEntry("ASH-2", "ASH-1");
        assertThat(reading.history().frozen()).hasSize(1);
        assertThat(reading.history().frozen().get(0).betweenSd()).isCloseTo(0.04, within(1e-12));
        assertThat(reading.history().frozen().get(0).why()).isEqualTo("new furnace");
        assertThat(reading.history().bias()).hasSize(1);
        assertThat(reading.problems()).extracting(Problem::line).containsExactly(3, 4, 3);
    }

    @Test
    void aFolderThatIsNotThereGivesNoHistoryAndSaysSo() {
        HistoryReading reading = HistoryFolder.read(folder.resolve("nowhere"), Limits.defaults());
        assertThat(reading.history().isEmpty()).isTrue();
        assertThat(reading.problems()).hasSize(1);
    }

    private void soils(String name) throws IOException {
        write(name + "/submissions.csv", """
                submission,client,received_at,origin_country,origin_region
                S-1,Elm Farm (invented),2026-11-01T08:00:00+01:00,NL,Drenthe
                """);
        write(name + "/samples.csv", """
                lab_number,submission,ordinal,client_label
                A-1,S-1,1,North 1
                A-2,,,
                A-3,S-1,2,North 2
                A-4,S-9,1,
                """);
        write(name + "/judged/results.csv", """
                lab_number,method,analyte,value,unit,reported,uncertainty,verdict,causes
                A-1,ph-water-1-1,pH,6.21,[pH],6.2,0.1,fit,
                A-1,om-loi-360,OM,3.5,%,3.5,0.1,hold,LOI-1.drift.1
                A-2,ph-water-1-1,pH,5.5,[pH],5.5,0.1,fit,
                A-3,ph-water-1-1,pH,,[pH],,,fit,
                A-4,om-loi-360,OM,4.25,%,4.3,0.1,fit,
                """);
    }

    @Test
    void readsWhatBecameOfTheCauses() throws IOException {
        day("2026-11-01", "2026-11-01", "control-values.csv");
        soils("2026-11-01");
        write("2026-11-01/judged/causes.csv", """
                cause,kind,answer
                a,tray-turned,confirmed
                b,tray-turned,refuted
                c,portion-wrong,open
                d,portion-wrong,undecided
                e,control-trend,
                """);
        HistoryReading reading = HistoryFolder.read(folder, Limits.defaults());
        assertThat(reading.problems()).isEmpty();
        OwnRecord.OfDay day = reading.soils().own().days().get(0);
        assertThat(reading.soils().own().days()).hasSize(1);
        assertThat(day.day()).isEqualTo(LocalDate.of(2026, 11, 1));
        assertThat(day.soils()).as("soils of clients, each by each method").isEqualTo(2);
        assertThat(day.causes())
                .containsOnly(
                        Map.entry(CauseKind.TRAY_TURNED, new OwnRecord.Became(1, 1, 0)),
                        Map.entry(CauseKind.PORTION_WRONG, new OwnRecord.Became(0, 0, 2)));

        // Judged before there were answers: nothing is known.
        write("2026-11-01/judged/causes.csv", "cause,kind\na,tray-turned\n");
        assertThat(HistoryFolder.read(folder, Limits.defaults()).soils().own()).isEqualTo(OwnRecord.NONE);
    }

    @Test
    void readsTheFitResultsOfClientsSoils() throws IOException {
        day("2026-11-01", "2026-11-01", "control-values.csv");
        day("2026-11-02", "2026-11-02", "control-values.csv");
        soils("2026-11-01");
        HistoryReading reading = HistoryFolder.read(folder, Limits.defaults());
        assertThat(reading.problems()).isEmpty();
        assertThat(reading.soils().soils())
                .as("neither what is held, nor a control, nor a day without results")
                .containsExactly(
                        new EarlierSoils.EarlierSoil(
                                LocalDate.of(2026, 11, 1),
                                "S-1",
                                "Elm Farm (invented)",
                                Optional.of("NL Drenthe"),
                                "North 1",
                                Map.of("ph-water-1-1", Map.of("pH", 6.21))),
                        new EarlierSoils.EarlierSoil(
                                LocalDate.of(2026, 11, 1),
                                "S-9",
                                "",
                                Optional.empty(),
                                "",
                                Map.of("om-loi-360", Map.of("OM", 4.25))));
    }

    @Test
    void leavesOutTheSoilsOfADayThatIsBrokenAndKeepsItsControls() throws IOException {
        day("2026-11-01", "2026-11-01", "control-values.csv");
        soils("2026-11-01");
        write("2026-11-01/judged/results.csv", """
                lab_number,method,analyte,value,unit,reported,uncertainty,verdict,causes
                A-1,ph-water-1-1,pH,six,[pH],6.2,0.1,fit,
                """);
        HistoryReading reading = HistoryFolder.read(folder, Limits.defaults());
        assertThat(reading.soils().soils()).isEmpty();
        assertThat(reading.history().entries()).hasSize(2);
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly("2026-11-01/results.csv, line 2, value: found \"six\", expected a number with . as the"
                        + " decimal mark. No soil of this day is learnt from; its control soils count.");
    }
}
