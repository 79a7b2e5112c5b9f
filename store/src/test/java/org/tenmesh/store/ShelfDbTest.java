package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.shelf.Codes;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Keeping;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.ShelfAct.What;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class ShelfDbTest {
    private static final Store STORE = OpenStore.get();
    private static final ZoneId ZONE = ZoneOffset.UTC;
    private static final Instant AT = Instant.parse("2027-01-04T09:00:00.123456Z");
    private static final LocalDate TODAY = LocalDate.of(2027, 1, 4);
    // Lab numbers come again in the registers of other tests: the newest is meant.
    private final String name = OpenStore.freshDay();
    private final Day day = take();

    /** Submissions of ordinary soil, and a soil in none. */
    private Day take() {
        Day made = InventedDay.of(40);
        OpenStore.take(
                STORE,
                MadeDay.like(made)
                        .soils(made.soils().stream()
                                .map(soil -> soil.labNumber().equals(MadeDay.lab(25))
                                        ? MadeSoil.numbered(soil.labNumber()).soil()
                                        : MadeSoil.like(soil).regulated(false).soil())
                                .toList())
                        .day(),
                name,
                OpenStore.freshDigest(),
                "M. Whelan");
        return STORE.day(name).orElseThrow();
    }

    @BeforeAll
    static void makePlaces() {
        act(What.PLACE_MADE, "P-T1", "", false);
        act(What.PLACE_MADE, "P-T2", "", false);
        act(What.PLACE_MADE, "P-TR", "", true);
    }

    private static ShelfAct made(What what, String about, String to, boolean regulated) {
        return new ShelfAct(what, about, to, Optional.empty(), regulated, "", "T. Byrne", AT);
    }

    private static void act(What what, String about, String to, boolean regulated) {
        STORE.shelves().keep(List.of(made(what, about, to, regulated)), ZONE);
    }

    private static String box(boolean regulated, String place) {
        String box = Codes.box(STORE.shelves().nextBox());
        act(What.BOX_MADE, box, "", regulated);
        act(What.BOX_PUT, box, place, false);
        return box;
    }

    private List<LabNumber> soilsOf(String submission) {
        return day.soils().stream()
                .filter(soil -> soil.submission().equals(Optional.of(submission)))
                .map(soil -> soil.labNumber())
                .toList();
    }

    private static void put(List<LabNumber> soils, String box) {
        STORE.shelves()
                .keep(
                        soils.stream()
                                .map(number -> made(What.SOIL_PUT, number.text(), box, false))
                                .toList(),
                        ZONE);
    }

    private void release(String submission, OffsetDateTime at, boolean held) {
        int next = 1
                + (int) STORE.releases(name).stream()
                        .filter(one -> one.submission().equals(submission))
                        .count();
        List<ReleasedResult> results = new ArrayList<>();
        for (LabNumber number : soilsOf(submission)) {
            results.add(new ReleasedResult(
                    number,
                    "ph-water-1-1",
                    "2026-01-01",
                    "pH",
                    held ? OptionalDouble.empty() : OptionalDouble.of(6.4),
                    "[pH]",
                    held ? "" : "6.4",
                    "",
                    held ? "not read yet" : ""));
        }
        STORE.release(name, new Release(submission, next, "M. Whelan", at, "first release", results));
    }

    @Test
    void regulatedBesideOrdinarySoilIsTold() throws SQLException {
        List<LabNumber> soils = soilsOf(day.submissions().get(0).submission()).subList(0, 2);
        String place = "P-X" + Integer.toString(Math.abs(day.hashCode() % 1000));
        act(What.PLACE_MADE, place, "", false);
        String box = box(false, place);
        put(soils, box);
        assertThat(STORE.shelves().mixed()).doesNotContain(place);
        String where = " where soil = (select soil from shelf.act where what = 'soil-put' and about = '"
                + soils.get(1).text() + "' order by seq desc limit 1)";
        for (String keeping : List.of("regulated", "ordinary")) {
            try (Connection owner = STORE.connections().owner();
                    Statement statement = owner.createStatement()) {
                statement.execute("update shelf.standing set keeping = '" + keeping + "'" + where);
            }
            assertThat(STORE.shelves().mixed().contains(place)).isEqualTo(keeping.equals("regulated"));
        }
    }

    @Test
    void aSoilIsPutMovedLentHeldListedScannedAndDiscardedOnce() {
        String submission = day.submissions().get(0).submission();
        List<LabNumber> soils = soilsOf(submission);
        assertThat(soils.size()).isGreaterThan(2);
        String box = box(false, "P-T1");
        put(soils, box);
        LabNumber one = soils.get(0);
        assertThat(STORE.shelves().find(one, ZONE).orElseThrow().place()).contains("P-T1");
        act(What.BOX_PUT, box, "P-T2", false);
        Stored moved = STORE.shelves().find(one, ZONE).orElseThrow();
        assertThat(moved.place()).contains("P-T2");
        assertThat(moved.releasedOn()).isEmpty();
        assertThat(STORE.shelves().due(TODAY, 28, Set.of(), ZONE))
                .extracting(Stored::labNumber)
                .doesNotContainAnyElementsOf(soils);

        LocalDate shelved = AT.atZone(ZONE).toLocalDate();
        assertThat(STORE.shelves().dueBeside("", shelved.plusDays(27), 28, ZONE))
                .as("not released: its days count from when it was put in a box")
                .extracting(Stored::labNumber)
                .doesNotContainAnyElementsOf(soils);
        assertThat(STORE.shelves().dueBeside("", shelved.plusDays(28), 28, ZONE))
                .extracting(Stored::labNumber)
                .containsAll(soils);
        release(submission, OffsetDateTime.parse("2026-11-27T16:00:00Z"), true);
        assertThat(STORE.shelves().find(one, ZONE).orElseThrow().releasedOn()).isEmpty();
        // The clock starts at the release of the last result, by the date where it was signed.
        release(submission, OffsetDateTime.parse("2026-12-06T23:30:00-05:00"), false);
        assertThat(STORE.shelves().find(one, ZONE).orElseThrow().releasedOn()).contains(LocalDate.of(2026, 12, 6));
        assertThat(STORE.shelves().releasedOn(LocalDate.of(2026, 12, 6)))
                .extracting(count -> count.box() + " " + count.soils())
                .contains(box + " " + soils.size());

        STORE.shelves()
                .keep(
                        List.of(new ShelfAct(
                                What.LENT, one.text(), "N. Okafor", Optional.of(TODAY), false, "", "T. Byrne", AT)),
                        ZONE);
        assertThat(STORE.shelves().lent(ZONE)).extracting(Stored::labNumber).contains(one);
        LabNumber two = soils.get(1);
        STORE.shelves()
                .keep(
                        List.of(new ShelfAct(
                                What.HELD,
                                two.text(),
                                "complaint",
                                Optional.empty(),
                                false,
                                "client rang about pH",
                                "M. Whelan",
                                AT)),
                        ZONE);
        assertThat(STORE.shelves().due(TODAY, 28, Set.of(soils.get(2)), ZONE))
                .extracting(Stored::labNumber)
                .doesNotContain(one, two, soils.get(2))
                .containsAll(soils.subList(3, soils.size()));
        assertThat(STORE.shelves().due(TODAY.minusDays(2), 28, Set.of(), ZONE))
                .extracting(Stored::labNumber)
                .doesNotContainAnyElementsOf(soils);

        String list = STORE.shelves().makeList(TODAY, 28, Set.of(), "M. Whelan", AT, ZONE);
        Set<LabNumber> listed =
                Set.copyOf(STORE.shelves().list(list).orElseThrow().lines());
        assertThat(DiscardList.keptOff(STORE.shelves().dueBeside(list, TODAY, 28, ZONE), 28, TODAY, Set.of()))
                .as("what is due and not on the list says why; nothing of these soils is neither")
                .filteredOn(kept -> soils.contains(kept.soil().labNumber()))
                .extracting(kept -> kept.soil().labNumber() + " " + kept.why())
                .containsExactlyInAnyOrder(
                        one + " lent to N. Okafor, back on " + TODAY, two + " complaint, not lifted yet");
        assertThat(listed).containsAll(soils.subList(2, soils.size())).doesNotContain(one, two);
        LabNumber three = soils.get(2);
        assertThatThrownBy(() -> STORE.shelves().scan(list, box, 28, Set.of(), "T. Byrne", AT, ZONE))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("one by one");
        assertThat(STORE.shelves().scan(list, three.text(), 28, Set.of(), "T. Byrne", AT, ZONE))
                .isTrue();
        assertThat(STORE.shelves().scan(list, three.text(), 28, Set.of(), "T. Byrne", AT, ZONE))
                .isFalse();
        List<DiscardList.Line> lines = STORE.shelves().sign(list, 28, Set.of(), "M. Whelan", AT, ZONE);
        assertThat(lines.stream()
                        .filter(DiscardList.Line::leaves)
                        .map(line -> line.soil().labNumber()))
                .containsExactly(three);
        assertThat(STORE.shelves().find(three, ZONE).orElseThrow().state()).isEqualTo(Stored.State.DISCARDED);
        assertThat(STORE.shelves().find(two, ZONE).orElseThrow().state()).isEqualTo(Stored.State.ON_SHELF);
        assertThatThrownBy(() -> STORE.shelves().sign(list, 28, Set.of(), "M. Whelan", AT, ZONE))
                .isInstanceOf(Refused.class);
        assertThatThrownBy(() -> put(List.of(three), box))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("discarded");
        assertThat(STORE.shelves().acts(three))
                .extracting(ShelfAct::what)
                .containsExactly(What.SOIL_PUT, What.LISTED, What.DISCARDED);
        assertThat(STORE.shelves().lists())
                .filteredOn(its -> its.name().equals(list))
                .singleElement()
                .satisfies(its -> assertThat(its.discarded()).isEqualTo(1));
    }

    @Test
    void regulatedSoilAndWhatNobodySettledAreKeptApart() {
        String ordinary = box(false, "P-T1");
        String regulated = box(true, "P-TR");
        String submission = day.submissions().get(1).submission();
        List<LabNumber> soils = soilsOf(submission);
        assertThatThrownBy(() -> put(soils, regulated))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("kept apart");
        String other = OpenStore.freshDay();
        OpenStore.take(
                STORE,
                MadeDay.like(InventedDay.of(3))
                        .soil(MadeSoil.numbered(new LabNumber("regulated-1"))
                                .of(submission)
                                .regulated(true))
                        .soil(MadeSoil.numbered(new LabNumber("unsettled-1")).of(submission))
                        .day(),
                other,
                OpenStore.freshDigest(),
                "M. Whelan");
        for (String number : List.of("regulated-1", "unsettled-1")) {
            assertThatThrownBy(() -> put(List.of(new LabNumber(number)), ordinary))
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("kept apart");
            put(List.of(new LabNumber(number)), regulated);
        }
        assertThatThrownBy(() -> act(What.BOX_PUT, regulated, "P-T2", false))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("kept apart");
        // All or none: the first of the list could have been put.
        assertThatThrownBy(() -> put(List.of(soils.get(0), new LabNumber("nothing")), ordinary))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("There is no soil nothing");
        assertThat(STORE.shelves().find(soils.get(0), ZONE)).isEmpty();
    }

    /** Wherever regulated soil goes from the shelf, the account has it there. */
    @Test
    void everyMoveOfRegulatedSoilIsALineOfTheAccount() {
        String submission = "SUB-" + OpenStore.freshDay().substring(11).replace(' ', '-');
        LabNumber number = new LabNumber("custody-" + submission);
        OpenStore.take(
                STORE,
                MadeDay.like(InventedDay.of(3))
                        .submissions(List.of(MadeSubmission.named(submission).submission()))
                        .soils(List.of(MadeSoil.numbered(number)
                                .of(submission)
                                .regulated(true)
                                .soil()))
                        .trays(List.of())
                        .controls(Map.of())
                        .day(),
                OpenStore.freshDay(),
                OpenStore.freshDigest(),
                "M. Whelan");
        Parcel parcel = LedgerBookDbTest.receive(STORE, submission);
        String box = box(true, "P-TR");
        put(List.of(number), box);
        assertThat(where(number)).isEqualTo("P-TR, " + box);
        STORE.shelves()
                .keep(
                        List.of(new ShelfAct(
                                What.LENT, number.text(), "N. Okafor", Optional.of(TODAY), false, "", "T. Byrne", AT)),
                        ZONE);
        assertThat(where(number)).isEqualTo("lent to N. Okafor until " + TODAY);
        act(What.RETURNED, number.text(), "", false);
        assertThat(where(number)).isEqualTo("P-TR, " + box);
        act(What.HANDED_OVER, number.text(), "the client, by carrier", false);
        assertThat(where(number)).isEqualTo("handed over: the client, by carrier");
        assertThat(Ledger.of(STORE.ledger().moves()).balance(parcel.code()).exact())
                .isTrue();
        assertThat(STORE.ledger().moves())
                .filteredOn(move -> move.portion().equals(number.text()))
                .extracting(Move::what)
                .containsExactly(Move.What.TAKEN, Move.What.MOVED, Move.What.MOVED, Move.What.MOVED);
        assertThat(STORE.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(parcel.code()))
                .isEmpty();
    }

    private static String where(LabNumber number) {
        return Ledger.of(STORE.ledger().moves())
                .portion(number.text())
                .orElseThrow()
                .place();
    }

    @Test
    void aSoilInNoSubmissionHasTheDatesOfTheOneBesideIt() {
        List<LabNumber> controls = day.soils().stream()
                .filter(soil -> soil.submission().isEmpty())
                .map(soil -> soil.labNumber())
                .toList();
        assertThat(controls).isNotEmpty();
        String submission = day.submissions().get(1).submission();
        String box = box(false, "P-T1");
        put(controls, box);
        put(soilsOf(submission), box);
        for (var one : day.submissions()) {
            if (STORE.releases(name).stream().noneMatch(its -> its.submission().equals(one.submission()))) {
                release(one.submission(), OffsetDateTime.parse("2027-02-01T10:00:00Z"), false);
            }
        }
        List<Stored> all = STORE.shelves().inBox(box, ZONE);
        assertThat(all).extracting(Stored::labNumber).containsAll(controls);
        assertThat(all).allSatisfy(soil -> assertThat(soil.releasedOn()).isPresent());
        assertThat(STORE.shelves().due(LocalDate.of(2027, 3, 1), 28, Set.of(), ZONE))
                .extracting(Stored::labNumber)
                .containsAll(controls);
    }

    @Test
    void aControlBeforeTheFirstRegulatedSoilIsKeptAsTheyAre() {
        String box = box(true, "P-TR");
        String other = OpenStore.freshDay();
        List<LabNumber> regulated = List.of(new LabNumber("beside-2"), new LabNumber("beside-3"));
        String submission = day.submissions().get(0).submission();
        OpenStore.take(
                STORE,
                MadeDay.like(InventedDay.of(3))
                        .soil(MadeSoil.numbered(new LabNumber("beside-1"))
                                .of(submission)
                                .regulated(false))
                        .soil(MadeSoil.numbered(regulated.get(0)).regulated(true))
                        .soil(MadeSoil.numbered(regulated.get(1)).of(submission).regulated(true))
                        .day(),
                other,
                OpenStore.freshDigest(),
                "M. Whelan");
        put(regulated, box);
        assertThat(STORE.shelves().inBox(box, ZONE))
                .extracting(Stored::keeping)
                .containsExactly(Keeping.REGULATED, Keeping.REGULATED);
    }

    @Test
    void whatIsChangedBehindTheProgramIsFound() throws SQLException {
        String box = box(false, "P-T1");
        put(soilsOf(day.submissions().get(0).submission()), box);
        assertThat(found()).isEmpty();
        for (String[] tampering : new String[][] {
            {"update shelf.act set person = 'nobody' where about = '" + box + "'", "shelf.act", "not stored so"},
            {
                "update shelf.standing set lent_to = 'x', lent_until = '2027-01-01' where box = '" + box + "'",
                "",
                "not what was done"
            },
            {"update shelf.box set place = 'P-T2' where box = '" + box + "'", "", "not what was done"},
            {"update shelf.place set regulated = true where place = 'P-T2'", "", "not what was done"},
            {"delete from shelf.standing where box = '" + box + "'", "", "not what was done"},
        }) {
            String guard = tampering[1].isEmpty() ? "select 1" : "alter table " + tampering[1] + " %s trigger user";
            OpenStore.run(
                    STORE,
                    "create table public.kept_act as select * from shelf.act",
                    "create table public.kept_standing as select * from shelf.standing",
                    "create table public.kept_box as select * from shelf.box",
                    "create table public.kept_place as select * from shelf.place",
                    String.format(guard, "disable"),
                    tampering[0]);
            assertThat(found()).as(tampering[0]).anyMatch(said -> said.contains(tampering[2]));
            OpenStore.run(
                    STORE,
                    "update shelf.place p set regulated = k.regulated from public.kept_place k where k.place = p.place",
                    "update shelf.box b set place = k.place from public.kept_box k where k.box = b.box",
                    "delete from shelf.standing",
                    "insert into shelf.standing select * from public.kept_standing",
                    "alter table shelf.act disable trigger user",
                    "update shelf.act a set person = k.person from public.kept_act k where k.seq = a.seq",
                    "alter table shelf.act enable trigger user",
                    "drop table public.kept_act, public.kept_standing, public.kept_box, public.kept_place");
        }
        assertThat(found()).isEmpty();
    }

    private static List<String> found() {
        return STORE.compareWithJournal(says -> {}).differences().stream()
                .filter(said -> said.contains("shelf") || said.contains("what was done"))
                .toList();
    }
}
