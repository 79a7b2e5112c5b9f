package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;

/** Whoever did the work behind results is not the only one who approves them, on whatever way the work came into the record. */
final class ApprovalsDbTest {
    private static final String DAY = "2026-11-25";
    private static final Instant AT = Instant.parse("2026-11-25T09:00:00Z");
    private static final OffsetDateTime SIGNED = OffsetDateTime.parse("2026-11-25T17:05:00+01:00");

    private final Path folder = OpenStore.folder("approvals");
    private final Day day = InventedDay.of(20);

    @SuppressWarnings("NullAway.Init")
    private Store store;

    @BeforeEach
    void aLaboratory() {
        store = OpenStore.open(folder);
        store.people().add(new Person("M. Whelan", PersonRole.IN_CHARGE, "argon2"), "Tenmesh");
        store.people().add(new Person("A. Quill", PersonRole.QUALITY, "argon2"), "M. Whelan");
        store.take(day, OpenStore.freshDigest(), "M. Whelan");
    }

    @AfterEach
    void closeIt() {
        store.close();
        OpenStore.delete(folder);
    }

    private Release by(String person, int revision) {
        return new Release(
                "S1",
                revision,
                person,
                SIGNED,
                "revision " + revision,
                List.of(new ReleasedResult(
                        first(), "ph-water-1-1", "2026-01-01", "pH", OptionalDouble.of(6.1), "[pH]", "6.1", "", "")));
    }

    private LabNumber first() {
        return day.soils().stream()
                .filter(soil -> soil.submission().equals(Optional.of("S1")))
                .findFirst()
                .orElseThrow()
                .labNumber();
    }

    private String tray() {
        return day.trays().stream()
                .filter(tray -> tray.wells().stream()
                        .anyMatch(place -> place.labNumber().equals(Optional.of(first()))))
                .findFirst()
                .orElseThrow()
                .tray();
    }

    private void noted(String id, Subject subject, BenchAct.What what, String step, String about, String person) {
        store.benchActs()
                .keep(
                        new BenchAct(
                                "approval-" + id,
                                subject,
                                step,
                                what,
                                about,
                                "",
                                person,
                                "tablet-1",
                                AT,
                                Instant.EPOCH,
                                Map.of(Measure.PLACE, 1.0)),
                        person);
    }

    private void typed(String person) {
        Run like = day.runs().get(0);
        Readings one = Readings.builder()
                .add(
                        1,
                        Role.SAMPLE,
                        first().text(),
                        "1",
                        like.readings().quantity(0),
                        1,
                        like.readings().unit(0),
                        OffsetDateTime.parse("2026-11-25T11:00:00+01:00"),
                        1)
                .build();
        store.arrivals()
                .take(
                        new Arrival(
                                "by-hand",
                                "H1",
                                "position 1 of H1",
                                AT,
                                "6.1".getBytes(StandardCharsets.UTF_8),
                                List.of(new RunPart(
                                        MadeRun.like(like)
                                                .named("H1")
                                                .operator("somebody else")
                                                .run()
                                                .with(one),
                                        true)),
                                Optional.empty()),
                        person);
    }

    private void refused(String person) {
        assertThatThrownBy(() -> store.release(DAY, by(person, 1)))
                .isInstanceOf(Refused.class)
                .hasMessageContaining(person + ", who did work behind it");
        assertThat(store.releases(DAY)).isEmpty();
    }

    private List<String> of(String person) {
        return store.approvals().workBehind(DAY, "S1").stream()
                .filter(one -> one.person().equals(person))
                .map(WorkBehind::phrase)
                .toList();
    }

    @Test
    void whoDidNothingOfItSignsAndTheReleaseSaysSo() {
        store.release(DAY, by("M. Whelan", 1));
        assertThat(store.approvals().of(DAY, "S1"))
                .containsExactly(Map.entry(1, "Signed by somebody who did none of the work; it was done by T. Byrne."));
        assertThat(store.journal(1).get(0).detail()).contains("it was done by T. Byrne.");
    }

    @Test
    void whoNotedAStepOfATrayDoesNotSign() {
        noted("1", Subject.tray(DAY, tray()), BenchAct.What.DONE, "mehlich3.shake", "", "M. Whelan");
        assertThat(of("M. Whelan")).containsExactly("noted 1 step of tray " + tray());
        refused("M. Whelan");
        store.release(DAY, by("A. Quill", 1));
    }

    @Test
    void aNoteThatWasTakenBackAndANoteOnAnotherTrayCountNot() {
        noted("1", Subject.tray(DAY, tray()), BenchAct.What.DONE, "mehlich3.shake", "", "M. Whelan");
        noted("2", Subject.tray(DAY, tray()), BenchAct.What.TAKEN_BACK, "", "approval-1", "M. Whelan");
        noted("3", Subject.tray(DAY, "T-none"), BenchAct.What.DONE, "mehlich3.shake", "", "M. Whelan");
        noted("4", Subject.rack("R-9"), BenchAct.What.DONE, "rack.dry", "", "M. Whelan");
        assertThat(of("M. Whelan")).isEmpty();
        store.release(DAY, by("M. Whelan", 1));
    }

    @Test
    void whoNotedSomethingOfASoilOrOfTheRackItCameOnDoesNotSign() {
        noted("1", Subject.soil(DAY, first().text()), BenchAct.What.SPILT, "mehlich3.shake", "", "M. Whelan");
        noted("2", Subject.rack("R-9"), BenchAct.What.LOADED, "rack.load", "S1", "A. Quill");
        noted("3", Subject.rack("R-9"), BenchAct.What.DONE, "rack.dry", "", "A. Quill");
        noted("4", Subject.rack("R-9"), BenchAct.What.DONE, "rack.lay-out", "", "B. Other");
        noted("5", Subject.rack("R-9"), BenchAct.What.DONE, "rack.dry", "", "B. Later");
        assertThat(of("M. Whelan")).containsExactly("noted 1 step of soil " + first().text());
        assertThat(of("A. Quill")).containsExactly("noted 2 steps of rack R-009");
        assertThat(of("B. Other")).hasSize(1);
        assertThat(of("B. Later")).isEmpty();
        refused("M. Whelan");
        refused("A. Quill");
    }

    @Test
    void whoTypedAReadingDoesNotSign() {
        typed("M. Whelan");
        assertThat(of("M. Whelan")).containsExactly("entered 1 reading of run H1");
        refused("M. Whelan");
    }

    @Test
    void readingsThatAServiceTookAreNobodysWork() {
        typed("capture");
        assertThat(of("capture")).isEmpty();
    }

    @Test
    void theOperatorOfARunDoesNotSignHoweverTheNameIsWritten() {
        assertThat(of("T. Byrne")).isNotEmpty().allMatch(says -> says.startsWith("was the operator of run "));
        refused("t. byrne");
    }

    /** A new name is not a second person. */
    @Test
    void aFormerNameIsTheSamePerson() {
        noted("1", Subject.tray(DAY, tray()), BenchAct.What.DONE, "mehlich3.shake", "", "M. Whelan");
        store.people().rename("M. Whelan", "M. Newname", "A. Quill");
        assertThat(of("M. Newname")).hasSize(1);
        refused("M. Newname");
    }

    @Test
    void aLaboratoryOfOnePersonSignsThatNoneIsAskedForAndEveryReleaseSaysSo() {
        noted("1", Subject.tray(DAY, tray()), BenchAct.What.DONE, "mehlich3.shake", "", "M. Whelan");
        assertThat(store.approvals().rule()).isEqualTo(SecondPerson.shipped());
        assertThatThrownBy(() -> store.approvals().sign(false, " ", "M. Whelan"))
                .isInstanceOf(Refused.class);
        assertThatThrownBy(() -> store.approvals().sign(true, "it is asked for already", "M. Whelan"))
                .isInstanceOf(Refused.class);
        store.approvals().sign(false, "one person works here", "M. Whelan");
        assertThat(store.journal(1).get(0).what()).isEqualTo("second-person-decided");
        store.release(DAY, by("M. Whelan", 1));
        assertThat(store.approvals().of(DAY, "S1").get(1))
                .startsWith("Signed by a person who did work behind it (noted 1 step of tray " + tray()
                        + "): this laboratory asks for no second person, signed by M. Whelan on ")
                .endsWith(": one person works here");
        store.approvals().sign(true, "there are two now", "M. Whelan");
        assertThatThrownBy(() -> store.release(DAY, by("M. Whelan", 2))).isInstanceOf(Refused.class);
        assertThat(store.approvals().rules()).extracting(SecondPerson::asked).containsExactly(true, false);
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }
}
