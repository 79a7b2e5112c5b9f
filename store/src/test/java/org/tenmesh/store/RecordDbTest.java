package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.verified.RecordCheck;

/** Two mornings whose submissions, trays and runs have the same names, a redo of the first on the second, and another laboratory. */
final class RecordDbTest {
    private static final LocalDate FIRST = LocalDate.of(2026, 11, 25);
    private static final LocalDate SECOND = LocalDate.of(2026, 11, 26);
    private static final LocalDate THIRD = LocalDate.of(2026, 11, 27);
    private static final Path FOLDER = OpenStore.folder("record");

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @BeforeAll
    static void twoMornings() {
        store = OpenStore.open(FOLDER);
        store.take(morning(FIRST, "A", List.of()), OpenStore.freshDigest(), "M. Whelan");
        store.take(
                morning(SECOND, "B", List.of(run("PH1-02", SECOND, number(FIRST, 1)))),
                OpenStore.freshDigest(),
                "M. Whelan");
        store.take(
                InventedDay.onlyRuns(List.of(run("PH1-01", THIRD, number(FIRST, 2), number(SECOND, 1)))),
                OpenStore.freshDigest(),
                "M. Whelan");
    }

    @AfterAll
    static void closeIt() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    @Test
    void aRedoMeetsItsSoilTraySubmissionKeyAndStandardsOfTheDayBefore() {
        Day second = store.quality().dayWithControls("2026-11-26").orElseThrow();

        assertThat(second.soils().stream().map(Soil::labNumber).toList())
                .containsExactly(number(SECOND, 1), number(SECOND, 2), number(SECOND, 3), number(FIRST, 1));
        assertThat(second.submissions()).extracting(Submission::submission).containsExactly("S1", "S1 (2026-11-24)");
        assertThat(second.submissions()).extracting(Submission::client).containsExactly("B", "A");
        assertThat(second.soils().get(3).submission()).contains("S1 (2026-11-24)");
        assertThat(second.trays()).extracting(Tray::tray).containsExactly("T1", "T1 (2026-11-25)");
        assertThat(second.runs()).extracting(Run::run).containsExactly("PH1-01", "PH1-02");
        assertThat(second.controls()).containsOnlyKeys(number(SECOND, 3));
    }

    @Test
    void aDayOfRedoAloneHoldsAllItRefersTo() {
        Day third = store.quality().dayWithControls("2026-11-27").orElseThrow();

        assertThat(third.soils().stream().map(Soil::labNumber).toList())
                .containsExactly(number(FIRST, 2), number(SECOND, 1));
        assertThat(third.submissions()).extracting(Submission::client).containsExactlyInAnyOrder("A", "B");
        assertThat(third.trays()).extracting(Tray::tray).containsExactlyInAnyOrder("T1", "T1 (2026-11-25)");
        assertThat(third.laboratory().name()).isEqualTo("Ashgrove Soil Laboratory");
        assertThat(third.laboratory().zone()).isEqualTo("Europe/Dublin");
        assertThat(third.packages()).extracting(p -> p.name()).contains("standard");
        assertThat(third.standards())
                .isNotEmpty()
                .allMatch(standard -> standard.method().equals("mehlich3-icp"));
        assertThat(store.days())
                .extracting(DayEntry::name)
                .containsSubsequence("2026-11-27", "2026-11-26", "2026-11-25");
        assertThat(store.dayEntry("2026-11-27").orElseThrow().soils()).isEqualTo(2);
    }

    @Test
    void everythingIsFoundByItsOwnAddress() {
        LaboratoryRecord record = store.record();

        LaboratoryRecord.KnownSoil soil = record.soil("own", number(FIRST, 1)).orElseThrow();
        assertThat(soil.submission()).contains(new LaboratoryRecord.SubmissionKey("own", "S1", FIRST.minusDays(1)));
        assertThat(soil.days()).containsExactly("2026-11-26", "2026-11-25");
        assertThat(soil.trays()).containsExactly(new LaboratoryRecord.TrayKey("2026-11-25", "T1"));
        assertThat(soil.runs())
                .extracting(run -> run.day() + "/" + run.run())
                .containsExactly("2026-11-26/PH1-02", "2026-11-25/PH1-01");
        assertThat(record.run("2026-11-25", "PH1-01").orElseThrow().startedAt().toLocalDate())
                .isEqualTo(FIRST);
        assertThat(record.run("2026-11-26", "PH1-01").orElseThrow().startedAt().toLocalDate())
                .isEqualTo(SECOND);
        assertThat(record.run("2026-11-26", "PH1-09")).isEmpty();
        assertThat(record.tray("2026-11-25", "T1").orElseThrow().wells())
                .isEqualTo(morning(FIRST, "A", List.of()).trays().get(0).wells());
        assertThat(record.tray("2026-11-27", "T1")).isEmpty();
        assertThat(record.known("own", List.of(number(FIRST, 1), number(FIRST, 99))))
                .containsExactly(number(FIRST, 1));
        assertThat(record.known("nowhere", List.of(number(FIRST, 1)))).isEmpty();
    }

    @Test
    void whatIsNotWhollyReleasedIsOpenWhateverItsDay() throws Exception {
        LaboratoryRecord.SubmissionKey key = new LaboratoryRecord.SubmissionKey("own", "S1", FIRST.minusDays(1));
        assertThat(store.record().openWork())
                .extracting(LaboratoryRecord.KnownSubmission::key)
                .contains(key);

        store.release("2026-11-25", release("S1", 1, "waits for a redo"));
        LaboratoryRecord.KnownSubmission open = store.record().openWork().stream()
                .filter(one -> one.key().equals(key))
                .findFirst()
                .orElseThrow();
        assertThat(open.revision()).isEqualTo(1);
        assertThat(open.held()).isEqualTo(1);
        assertThat(open.days()).containsExactly("2026-11-27", "2026-11-26", "2026-11-25");
        assertThat(open.labNumbers()).containsExactly(number(FIRST, 1), number(FIRST, 2));

        // Released with its redo, on the page of the day that the redo was read.
        store.release("2026-11-26", release("S1 (2026-11-24)", 2, ""));
        assertThat(store.record().openWork())
                .extracting(LaboratoryRecord.KnownSubmission::key)
                .doesNotContain(key);
        assertThat(store.record().releases(key)).extracting(Release::revision).containsExactly(1, 2);
        assertThat(store.releases("2026-11-25")).extracting(Release::submission).containsExactly("S1", "S1");
        assertThat(store.releases("2026-11-26"))
                .extracting(Release::submission)
                .containsExactly("S1 (2026-11-24)", "S1 (2026-11-24)");
        assertThat(store.release("2026-11-26", "S1", 1)).isEmpty();
        RecordCheck check = store.compareWithJournal(says -> {});
        assertThat(check.differences()).isEmpty();
        assertThat(check.unreadable()).isEmpty();
    }

    @Test
    void theSameLabNumberOfAnotherRegisterIsAnotherSoil() {
        Day elsewhere = OpenStore.in("2026-11-25 elsewhere", morning(FIRST, "C", List.of()));

        Receipt receipt = store.take(elsewhere, OpenStore.freshDigest(), "M. Whelan");

        assertThat(receipt.day()).isEqualTo("2026-11-25 elsewhere");
        assertThat(store.record().soils(number(FIRST, 1)))
                .extracting(LaboratoryRecord.KnownSoil::register)
                .containsExactly("elsewhere", "own");
        assertThat(store.day("2026-11-25").orElseThrow().submissions())
                .extracting(Submission::client)
                .containsExactly("A");
        assertThat(store.day("2026-11-25 elsewhere").orElseThrow().submissions())
                .extracting(Submission::client)
                .containsExactly("C");
    }

    @Test
    void aLabNumberForAnotherSoilIsRefusedWithASentence() {
        Day other = morning(FIRST, "A", List.of());
        Soil first = other.soils().get(0);
        Day changed = soils(other, List.of(MadeSoil.like(first).ordinal(7).soil()));

        assertThatThrownBy(() -> store.take(changed, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("register own has lab number " + first.labNumber() + " already, for another soil")
                .hasMessageContaining("nothing of the import was stored")
                .hasMessageContaining("register in laboratory.yaml");
    }

    @Test
    void aLabNumberInASubmissionOfTheSameNameAndAnotherDateIsRefused() {
        Day later = morning(SECOND, "D", List.of());
        Submission tomorrow = later.submissions().get(0);
        Day changed = MadeDay.empty()
                .laboratory(later.laboratory())
                .submissions(List.of(MadeSubmission.like(tomorrow)
                        .receivedAt(tomorrow.receivedAt().plusDays(1))
                        .submission()))
                .soils(later.soils())
                .day();

        assertThatThrownBy(() -> store.take(changed, OpenStore.freshDigest(), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("in a submission S1 that was received on another date");
    }

    /** A furnace filled in the evening and the last run of a night belong to the date of the soils; a redo to its own date. */
    @Test
    void aRunBelongsToItsDateOrToThatOfItsSoils() {
        LocalDate date = LocalDate.of(2027, 3, 4);
        LabNumber one = number(date, 1);
        LabNumber two = number(date, 2);
        Run first = run("NIGHT-01", date.plusDays(1), one, two);
        Run night = MadeRun.like(first).method("ph-water-1-1").instrument("PH1").run();
        Day day = morning(
                date,
                "E",
                List.of(
                        run("LOI1-01", date.minusDays(1), one, two),
                        night,
                        run("REDO-01", date.plusDays(1), one, two),
                        run("LATE-01", date.plusDays(2), one)));

        Receipt receipt = store.take(day, OpenStore.freshDigest(), "M. Whelan");

        assertThat(receipt.day()).isEqualTo("2027-03-04");
        assertThat(runs("2027-03-04")).containsExactly("PH1-01", "LOI1-01", "NIGHT-01");
        assertThat(runs("2027-03-05")).containsExactly("REDO-01");
        assertThat(runs("2027-03-06")).containsExactly("LATE-01");
        assertThat(store.dayEntry("2027-03-03")).isEmpty();
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }

    private static List<String> runs(String day) {
        return store.day(day).orElseThrow().runs().stream().map(Run::run).toList();
    }

    @Test
    void soilsThatComeAfterTheirRunAndSubmissionsThatComeAfterTheirSoilsAreJoined() {
        LocalDate date = LocalDate.of(2027, 5, 6);
        Day whole = morning(date, "F", List.of());
        store.take(InventedDay.onlyRuns(whole.runs()), OpenStore.freshDigest(), "M. Whelan");
        assertThat(store.day("2027-05-06").orElseThrow().soils()).isEmpty();

        Day withoutSubmission = MadeDay.like(whole)
                .submissions(List.of())
                .materials(List.of())
                .standards(List.of())
                .runs(List.of())
                .day();
        store.take(withoutSubmission, OpenStore.freshDigest(), "M. Whelan");
        assertThat(store.day("2027-05-06").orElseThrow().soils()).isEqualTo(whole.soils());
        assertThat(store.record().soil("own", number(date, 1)).orElseThrow().submission())
                .isEmpty();

        Day onlySubmission = MadeDay.empty()
                .laboratory(whole.laboratory())
                .submissions(whole.submissions())
                .day();
        store.take(onlySubmission, date, OpenStore.freshDigest(), "M. Whelan");
        Day day = store.day("2027-05-06").orElseThrow();
        assertThat(day.submissions()).isEqualTo(whole.submissions());
        assertThat(store.record().soil("own", number(date, 1)).orElseThrow().submission())
                .contains(new LaboratoryRecord.SubmissionKey("own", "S1", date.minusDays(1)));
    }

    @Test
    void aRunIsNeverStoredTwice() throws Exception {
        String before = OpenStore.ask(store, "select count(*) from reading.reading");

        Receipt again = store.take(morning(FIRST, "A", List.of()), OpenStore.freshDigest(), "M. Whelan");

        assertThat(again.soils()).isZero();
        assertThat(again.runs()).isEmpty();
        assertThat(OpenStore.ask(store, "select count(*) from reading.reading")).isEqualTo(before);
    }

    private static LabNumber number(LocalDate date, int serial) {
        return LabNumber.of(date, serial);
    }

    /** Two soils of submission S1 and a hidden control in tray T1, read in run PH1-01; what is given comes on top. */
    private static Day morning(LocalDate date, String client, List<Run> further) {
        Day invented = InventedDay.of(3);
        List<LabNumber> numbers = List.of(number(date, 1), number(date, 2), number(date, 3));
        OffsetDateTime received =
                OffsetDateTime.parse("2026-11-24T10:00:00Z").plusDays(date.toEpochDay() - FIRST.toEpochDay());
        List<Run> runs = new ArrayList<>(List.of(run("PH1-01", date, numbers.get(0), numbers.get(1), numbers.get(2))));
        runs.addAll(further);
        return MadeDay.like(invented)
                .submissions(List.of(MadeSubmission.named("S1")
                        .client(client)
                        .receivedAt(received)
                        .promisedOn(date.plusDays(2))
                        .asking("standard")
                        .submission()))
                .soils(List.of(soil(numbers.get(0), 1), soil(numbers.get(1), 2), control(numbers.get(2))))
                .trays(List.of(new Tray(
                        "T1",
                        List.of(
                                new Tray.Place(new Well(0), Optional.of(numbers.get(0)), Tray.Purpose.SOIL),
                                new Tray.Place(new Well(1), Optional.of(numbers.get(1)), Tray.Purpose.SOIL),
                                new Tray.Place(new Well(2), Optional.of(numbers.get(2)), Tray.Purpose.SOIL)))))
                .controls(Map.of(numbers.get(2), "LOAM-A"))
                .runs(runs)
                .shortages(List.of())
                .day();
    }

    private static Soil soil(LabNumber number, int ordinal) {
        return MadeSoil.numbered(number)
                .of("S1", ordinal)
                .labelled("field " + ordinal)
                .soil();
    }

    private static Soil control(LabNumber number) {
        return MadeSoil.numbered(number).soil();
    }

    private static Run run(String name, LocalDate date, LabNumber... numbers) {
        Readings.Builder readings = Readings.builder();
        OffsetDateTime at = OffsetDateTime.parse(date + "T18:00:00Z");
        int position = 1;
        for (LabNumber number : numbers) {
            readings.add(position, Role.SAMPLE, number.text(), "", "K 766.490", position++, Unit.PER_SECOND, at, 1);
        }
        return MadeRun.of(name, "mehlich3-icp")
                .instrument("plasma-1")
                .startedAt(at)
                .readings(readings.build())
                .run();
    }

    private static Day soils(Day day, List<Soil> soils) {
        return MadeDay.empty()
                .laboratory(day.laboratory())
                .submissions(day.submissions())
                .soils(soils)
                .day();
    }

    private static Release release(String submission, int revision, String heldBecause) {
        return new Release(
                submission,
                revision,
                "M. Whelan",
                OffsetDateTime.parse("2026-11-27T17:05:00Z"),
                "a reason",
                List.of(new ReleasedResult(
                        number(FIRST, 1),
                        "mehlich3-icp",
                        "2026-01-01",
                        "K",
                        OptionalDouble.empty(),
                        "mg/kg",
                        heldBecause.isEmpty() ? "< 5" : "",
                        "",
                        heldBecause)));
    }
}
