package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CyclicBarrier;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.custody.Balance;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

/** Ordinary soil that was ground after regulated soil, where that comes to be known after its layout. */
@Execution(ExecutionMode.SAME_THREAD)
final class BecameRegulatedDbTest {
    private static int racks = 400;
    // Of its own: the whole record is compared with the journal many times.
    private static final Path FOLDER = OpenStore.folder("became");
    private static final Store store = OpenStore.open(FOLDER);

    private final Instant nine = Instant.now().minusSeconds(36_000);
    private final String regulated = "SUB-R-" + UUID.randomUUID();
    private final String ordinary = "SUB-O-" + UUID.randomUUID();
    private final String mill = "M-" + UUID.randomUUID();
    private final String name = OpenStore.freshDay();
    private final Subject first = Subject.rack("R" + ++racks);
    private final Subject second = Subject.rack("R" + ++racks);
    private List<String> numbers = List.of();

    @AfterAll
    static void close() {
        store.close();
        OpenStore.delete(FOLDER);
    }

    private BenchAct note(
            Subject subject, String step, BenchAct.What what, String about, int minute, Map<Measure, Double> of) {
        Instant at = nine.plusSeconds(60L * minute);
        return store.benchActs()
                .keep(
                        new BenchAct(
                                UUID.randomUUID().toString(),
                                subject,
                                step,
                                what,
                                about,
                                "",
                                "A. Bench",
                                "tablet",
                                at,
                                at,
                                of),
                        "A. Bench");
    }

    private void load(Subject rack, String submission, boolean isRegulated) {
        note(
                rack,
                "",
                BenchAct.What.LOADED,
                submission,
                0,
                Map.of(
                        Measure.FIRST_BAG, 1.0,
                        Measure.LAST_BAG, 2.0,
                        Measure.PLACE, 1.0,
                        Measure.REGULATED, isRegulated ? 1.0 : 0.0));
    }

    private BenchAct ground(Subject rack, int minute) {
        return note(rack, Rack.GRIND, BenchAct.What.DONE, mill, minute, Map.of());
    }

    /** A day of twelve soils in one tray: six of the submission, six of another. */
    private Day day() {
        Day made = InventedDay.of(12);
        List<Soil> soils = made.soils().stream()
                .map(soil -> MadeSoil.like(soil)
                        .of(
                                soil.ordinal().orElseThrow() % 2 == 0 ? ordinary : "SUB-X-" + name,
                                soil.ordinal().orElseThrow())
                        .regulated(false)
                        .soil())
                .toList();
        OffsetDateTime received = nine.atOffset(ZoneOffset.UTC);
        return MadeDay.like(made)
                .soils(soils)
                .submissions(List.of(
                        MadeSubmission.named(ordinary)
                                .client("Invented Farm")
                                .receivedAt(received)
                                .from("IE")
                                .region("Meath")
                                .submission(),
                        MadeSubmission.named("SUB-X-" + name)
                                .client("Invented Mill")
                                .receivedAt(received)
                                .from("IE")
                                .region("Kerry")
                                .submission()))
                .day();
    }

    private void layOut() {
        OpenStore.take(store, day(), name, OpenStore.freshDigest(), "M. Whelan");
        numbers = store.day(name).orElseThrow().soils().stream()
                .filter(soil -> soil.submission().equals(Optional.of(ordinary)))
                .map(soil -> soil.labNumber().text())
                .toList();
        assertThat(numbers).isNotEmpty();
    }

    private Optional<Boolean> isRegulated(String number) {
        return store.day(name).orElseThrow().soils().stream()
                .filter(soil -> soil.labNumber().text().equals(number))
                .findFirst()
                .orElseThrow()
                .regulated();
    }

    private Parcel parcel() {
        return store.ledger().parcels().stream()
                .filter(one -> one.submission().equals(ordinary))
                .findFirst()
                .orElseThrow();
    }

    /** Other tests of this class leave lines of their own that were put in outside, and use the same lab numbers in other registers. */
    private List<String> differences() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains(ordinary)
                        || one.contains("custody-became")
                        || one.contains("custody-permit-entered")
                        || one.contains("custody-tray-decided")
                        || one.contains("custody-ordinary-again"))
                .toList();
    }

    private List<String> shelfDifferences() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains("shelf"))
                .toList();
    }

    // Lab numbers come again in the registers of other tests.
    private Ledger account() {
        String parcel = parcel().code();
        return Ledger.of(store.ledger().moves().stream()
                .filter(move -> move.parcel().equals(parcel))
                .toList());
    }

    private Became.InOneTray tray() {
        return store.became().trays().stream()
                .filter(one -> one.day().equals(name))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void soilIsRegulatedEverywhereFromTheNoteThatSaysSoWhicheverNoteCameLast() throws SQLException {
        Parcel met = LedgerBookDbTest.receive(store, regulated);
        load(first, regulated, true);
        load(second, ordinary, false);
        ground(second, 60);
        note(second, "rack.lay-out", BenchAct.What.DONE, "", 90, Map.of());
        layOut();
        long newest = store.newestImport();
        assertThat(isRegulated(numbers.get(0))).contains(false);
        // Ground before the ordinary soil, and sent by a tablet that had no network until now.
        ground(first, 30);
        assertThat(store.newestImport()).as("pages read the day anew").isGreaterThan(newest);
        assertThat(numbers).allSatisfy(number -> assertThat(isRegulated(number)).contains(true));
        assertThat(parcel().permit()).isEqualTo(met.permit());
        assertThat(parcel().because()).contains("rack " + second.code(), "regulated soil of rack " + first.code());
        assertThat(store.ledger().seen().stream().filter(one -> one.parcel().equals(parcel().code())))
                .extracting(one -> one.labNumber())
                .as("the others of the tray are in the account with them until somebody decides")
                .containsAll(numbers)
                .containsAll(tray().ordinary());
        assertThat(tray().open()).isTrue();
        assertThat(store.became().trays().stream().filter(one -> one.day().equals(name)))
                .flatExtracting(Became.InOneTray::regulated)
                .containsExactlyInAnyOrderElementsOf(numbers);
        assertThat(differences()).isEmpty();

        assertThatThrownBy(() ->
                        store.became().decide(name, tray().tray(), Became.Decision.ORDINARY, " ", "Q. Ahern", nine))
                .hasMessageContaining("needs a reason");
        List<String> others = tray().ordinary();
        store.became().decide(name, tray().tray(), Became.Decision.ORDINARY, "lids on every well", "Q. Ahern", nine);
        assertThat(tray().open()).isFalse();
        assertThat(store.ledger().seen().stream().filter(one -> one.parcel().equals(parcel().code())))
                .extracting(one -> one.labNumber())
                .doesNotContainAnyElementsOf(others);
        store.became().decide(name, tray().tray(), Became.Decision.REGULATED, "one lid was off", "Q. Ahern", nine);
        assertThat(others).allSatisfy(number -> assertThat(isRegulated(number)).contains(true));
        assertThat(differences()).isEmpty();

        try (Connection owner = store.connections().app().open().getConnection();
                Statement statement = owner.createStatement()) {
            for (String table : List.of("became", "permit_entered", "tray_decided")) {
                assertThatThrownBy(() -> statement.execute("delete from custody." + table))
                        .isInstanceOf(SQLException.class);
            }
            statement.execute("""
                    insert into custody.tray_decided (tray, version, decision, reason, actor, at)
                    select tray, 9, 'ordinary', 'smuggled', 'X', now() from custody.tray_decided limit 1
                    """);
        }
        assertThat(differences()).anyMatch(one -> one.contains("custody-tray-decided") && one.contains("/9"));
        try (Connection owner = store.connections().owner();
                Statement statement = owner.createStatement()) {
            statement.execute("alter table custody.tray_decided disable trigger tray_decided_stays");
            statement.execute("delete from custody.tray_decided where version = 9");
            statement.execute("alter table custody.tray_decided enable trigger tray_decided_stays");
        }
    }

    @Test
    void withoutAKnownPermitItIsInTheAccountAndNothingOfItIsDestroyed() {
        load(first, regulated, true);
        load(second, ordinary, false);
        layOut();
        ground(first, 30);
        ground(second, 60);
        assertThat(parcel().permitKnown()).isFalse();
        assertThat(account().balance(parcel().code()).received().pieces()).isEqualTo(numbers.size());
        Signed<Permit> permit = permit();
        Charge charge = charge(permit);
        store.charges().open(charge, LocalDate.now(ZoneOffset.UTC));
        store.ledger().keep(List.of(taken(numbers.get(0))));
        assertThatThrownBy(
                        () -> store.charges().load(charge.name(), List.of(numbers.get(0)), "A. Bench", Instant.now()))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("The permit of parcel " + parcel().code() + " is not known");
        LocalDate today = LocalDate.now(ZoneOffset.UTC);
        assertThatThrownBy(
                        () -> store.became().enterPermit(parcel().code(), permit, "", today, "Q. Ahern", Instant.now()))
                .hasMessageContaining("Say why");
        store.became()
                .enterPermit(parcel().code(), permit, "the permit office, by mail", today, "Q. Ahern", Instant.now());
        assertThat(parcel().permit()).isEqualTo(permit.name());
        assertThatThrownBy(() ->
                        store.became().enterPermit(parcel().code(), permit, "again", today, "Q. Ahern", Instant.now()))
                .hasMessageContaining("is known");
        store.charges().load(charge.name(), List.of(numbers.get(0)), "A. Bench", Instant.now());
        assertThat(differences()).isEmpty();
    }

    private static Charge charge(Signed<Permit> permit) {
        return new Charge(
                "C-" + UUID.randomUUID(),
                "oven 2",
                permit.name(),
                permit.version(),
                permit.paper().treatments().get(0),
                List.of("middle"),
                0.5,
                "A. Bench",
                Instant.now());
    }

    private Move taken(String number) {
        return new Move(
                UUID.randomUUID().toString(),
                Move.What.TAKEN,
                parcel().code(),
                number,
                PortionKind.SOIL,
                parcel().code(),
                "bag 1",
                0,
                1,
                "",
                "",
                "A. Bench",
                Instant.now());
    }

    private Signed<Permit> permit() {
        String number = "P-" + UUID.randomUUID();
        LocalDate from = LocalDate.now(ZoneOffset.UTC);
        store.papers().draft(PapersDbTest.permit(number), 0, "as issued", "P. Officer", Instant.now());
        store.papers().sign(Papers.Kind.PERMIT, number, 1, from, from, "P. Officer", Instant.now());
        return store.papers().signedPermits().stream()
                .filter(one -> one.name().equals(number))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void whatStandsOnTheShelfOrIsLentBeginsInTheAccountWithItsPlaceAndIsFlagged() {
        LedgerBookDbTest.receive(store, regulated);
        load(first, regulated, true);
        load(second, ordinary, false);
        layOut();
        String place = "P-BR" + ++racks;
        String box = "B-9" + String.format("%05d", racks);
        shelf(ShelfAct.What.PLACE_MADE, place, "");
        shelf(ShelfAct.What.BOX_MADE, box, "");
        shelf(ShelfAct.What.BOX_PUT, box, place);
        for (int i = 0; i < 2; i++) {
            shelf(ShelfAct.What.SOIL_PUT, numbers.get(i), box);
        }
        store.shelves()
                .keep(
                        List.of(new ShelfAct(
                                ShelfAct.What.LENT,
                                numbers.get(1),
                                "Invented College",
                                Optional.of(LocalDate.now(ZoneOffset.UTC).plusDays(9)),
                                false,
                                "",
                                "T. Byrne",
                                Instant.now())),
                        ZoneOffset.UTC);
        List<String> before = shelfDifferences();
        ground(first, 30);
        ground(second, 60);
        Ledger account = account();
        assertThat(account.portion(numbers.get(0)).orElseThrow().place()).isEqualTo(place + ", " + box);
        assertThat(account.portion(numbers.get(1)).orElseThrow().place()).startsWith("lent to Invented College");
        assertThat(store.became().toMove()).contains(numbers.get(0) + ": " + place + ", " + box);
        assertThat(shelfDifferences()).isEqualTo(before);
        assertThat(differences()).isEmpty();
        // The way back: the shelf holds it as ordinary, and what is lent is lent still.
        takeBack(second);
        signBoth();
        assertThat(store.became().toMove()).noneMatch(one -> one.startsWith(numbers.get(0)));
        assertThat(account().portion(numbers.get(1)).orElseThrow().state()).isEqualTo(Held.State.ORDINARY);
        assertThat(shelfDifferences()).isEqualTo(before);
        assertThat(differences()).isEmpty();
        // And regulated anew: both begin once more, with a parcel of their own.
        ground(second, 62);
        assertThat(account().portion(numbers.get(0)).orElseThrow().place()).isEqualTo(place + ", " + box);
        assertThat(store.became().toMove()).contains(numbers.get(0) + ": " + place + ", " + box);
        assertThat(shelfDifferences()).isEqualTo(before);
        assertThat(differences()).isEmpty();
    }

    private void shelf(ShelfAct.What what, String about, String to) {
        store.shelves()
                .keep(
                        List.of(new ShelfAct(what, about, to, Optional.empty(), false, "", "T. Byrne", Instant.now())),
                        ZoneOffset.UTC);
    }

    /** The layout and the note in the same moment, in two transactions, again and again: one of the two sees the other. */
    @Test
    void aLayoutInTheSameMomentLeavesNoGap() throws Exception {
        LedgerBookDbTest.receive(store, regulated);
        load(first, regulated, true);
        ground(first, 1);
        for (int i = 0; i < 6; i++) {
            String submission = store.sheets()
                    .keep(
                            "sheet.csv",
                            ("Sample\n" + UUID.randomUUID() + "\n").getBytes(StandardCharsets.UTF_8),
                            new KeptSheet.Said(
                                    "Tern Bay (invented)", Optional.empty(), Optional.empty(), Optional.empty()),
                            "M. Whelan",
                            nine,
                            LocalDate.ofInstant(nine, ZoneOffset.UTC));
            Subject rack = Subject.rack("R" + ++racks);
            load(rack, submission, false);
            Day made = InventedDay.of(1);
            Day day = MadeDay.like(made)
                    .soils(made.soils().stream()
                            .map(soil -> MadeSoil.like(soil)
                                    .of(submission, 1)
                                    .regulated(false)
                                    .soil())
                            .toList())
                    .submissions(List.of(MadeSubmission.named(submission)
                            .client("Tern Bay (invented)")
                            .receivedAt(nine.atOffset(ZoneOffset.UTC))
                            .submission()))
                    .runs(List.of())
                    .day();
            String fresh = OpenStore.freshDay();
            CyclicBarrier together = new CyclicBarrier(2);
            int minute = 10 + i;
            CompletableFuture<Void> grinding = CompletableFuture.runAsync(() -> {
                await(together);
                ground(rack, minute);
            });
            CompletableFuture<Boolean> layout = CompletableFuture.supplyAsync(() -> {
                await(together);
                try {
                    store.dockActs()
                            .layOut(
                                    OpenStore.in(fresh, day),
                                    LocalDate.of(2026, 11, 25),
                                    OpenStore.freshDigest(),
                                    List.of(submission),
                                    acts -> acts.getOrDefault(submission, List.of()).stream()
                                                    .anyMatch(act -> act.what() == DockAct.What.MADE_REGULATED)
                                            ? Optional.of("It is regulated.")
                                            : Optional.empty(),
                                    "Q. Ahern",
                                    Instant.now());
                    return true;
                } catch (Refused e) {
                    return false;
                }
            });
            grinding.get();
            boolean laidOut = layout.get();
            assertThat(store.ledger().parcels())
                    .anyMatch(one -> one.submission().equals(submission));
            assertThat(store.became().became().stream()
                            .anyMatch(one -> one.submission().equals(submission)))
                    .isEqualTo(laidOut);
            assertThat(store.dockActs().of(submission).stream()
                            .anyMatch(act -> act.what() == DockAct.What.MADE_REGULATED))
                    .isEqualTo(!laidOut);
            assertThat(store.compareWithJournal(says -> {}).differences()).noneMatch(one -> one.contains(submission));
        }
    }

    private static void await(CyclicBarrier barrier) {
        try {
            barrier.await();
        } catch (Exception e) {
            throw new IllegalStateException(e);
        }
    }

    @Test
    void verifyNamesSoilThatMetRegulatedSoilAndIsKeptAsOrdinary() throws SQLException {
        LedgerBookDbTest.receive(store, regulated);
        load(first, regulated, true);
        load(second, ordinary, false);
        ground(first, 30);
        layOut();
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            statement.execute("""
                    insert into bench.act (id, kind, code, step, what, about, told, person, sent_by, device, device_at, stored_at, measured)
                    values ('%s', 'rack', '%s', 'rack.grind', 'done', '%s', '', 'X', 'X', 'x', now() - interval '9 hours', now(), '')
                    """.formatted(UUID.randomUUID(), second.code(), mill));
        }
        assertThat(differences())
                .singleElement()
                .asString()
                .contains("submission " + ordinary + " is kept as ordinary soil and met regulated soil");
        // The next note about any rack or mill puts it right.
        note(Subject.equipment(mill), "", BenchAct.What.CLEANED, "", 599, Map.of());
        assertThat(differences()).isEmpty();
        assertThat(isRegulated(numbers.get(0))).contains(true);
    }

    // The way back

    private static final String QUALITY = "Q. Ahern";

    /** Takes back that a rack was ground. */
    private void takeBack(Subject rack) {
        String id = store.benchActs().racks(1_000).stream()
                .filter(act -> act.subject().equals(rack) && act.step().equals(Rack.GRIND))
                .reduce((first, last) -> last)
                .orElseThrow()
                .id();
        note(rack, Rack.GRIND, BenchAct.What.TAKEN_BACK, id, 61, Map.of());
    }

    private void sign(String parcel, String person, boolean quality) {
        store.became().ordinaryAgain(parcel, "it was another mill", person, quality, Instant.now());
    }

    private void signBoth() {
        String parcel = parcel().code();
        sign(parcel, "M. Whelan", false);
        sign(parcel, QUALITY, true);
    }

    private void becomes() {
        load(first, regulated, true);
        load(second, ordinary, false);
        layOut();
        ground(first, 30);
        ground(second, 60);
        assertThat(isRegulated(numbers.get(0))).contains(true);
    }

    private List<Became> became() {
        return store.became().became().stream()
                .filter(one -> one.submission().equals(ordinary))
                .toList();
    }

    /** Every line of every parcel that the submission ever had. */
    private List<Move> lines() {
        List<String> parcels = store.ledger().parcels().stream()
                .filter(one -> one.submission().equals(ordinary))
                .map(Parcel::code)
                .toList();
        return store.ledger().moves().stream()
                .filter(move -> parcels.contains(move.parcel()))
                .toList();
    }

    private void theBalanceIsExactAtEveryMoment() {
        List<Move> lines = lines();
        assertThat(Ledger.of(lines).faults()).isEmpty();
        lines.forEach(line -> {
            for (Instant at : List.of(line.at().minusMillis(1), line.at())) {
                assertThat(Ledger.at(lines, at).balance().exact()).isTrue();
            }
        });
    }

    @Test
    void twoPeopleSignSoilBackOfWhichTheNotesNoLongerSayThatItMetRegulatedSoil() {
        LedgerBookDbTest.receive(store, regulated);
        becomes();
        String parcel = parcel().code();
        store.ledger().keep(List.of(taken(numbers.get(0))));
        assertThatThrownBy(() -> sign(parcel, QUALITY, true))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("The notes that count now say")
                .hasMessageContaining("stays regulated");
        takeBack(first);
        assertThat(isRegulated(numbers.get(0)))
                .as("taking the note back alone changes nothing")
                .contains(true);
        assertThat(became()).singleElement().matches(Became::open);
        assertThatThrownBy(() -> store.became().ordinaryAgain(parcel, " ", QUALITY, true, Instant.now()))
                .hasMessageContaining("Say why");
        Instant before = Instant.now();
        sign(parcel, "M. Whelan", false);
        assertThat(isRegulated(numbers.get(0))).as("one signature does nothing").contains(true);
        assertThat(account().here()).isNotEmpty();
        assertThatThrownBy(() -> sign(parcel, "M. Whelan", true)).hasMessageContaining("You signed");
        assertThatThrownBy(() -> sign(parcel, "C. Rook", false)).hasMessageContaining("of quality");
        long newest = store.newestImport();
        sign(parcel, QUALITY, true);
        assertThat(store.newestImport()).as("pages read the day anew").isGreaterThan(newest);
        assertThat(numbers).allSatisfy(number -> assertThat(isRegulated(number)).contains(false));
        assertThat(became()).singleElement().matches(Became::ordinaryAgain);
        assertThat(store.ledger().seen()).noneMatch(one -> one.parcel().equals(parcel));
        assertThat(store.became().trays()).noneMatch(one -> one.day().equals(name));
        assertThat(account().here()).isEmpty();
        assertThat(account().balance(parcel).ordinary())
                .as("the parcel, one soil and the dust of the mill")
                .isEqualTo(new Balance.Amount(0, numbers.size() + 2));
        assertThat(Ledger.at(lines(), before).here()).hasSize(3);
        theBalanceIsExactAtEveryMoment();
        assertThat(differences()).isEmpty();
        assertThatThrownBy(() -> sign(parcel, QUALITY, true)).hasMessageContaining("ordinary again already");

        ground(first, 30);
        assertThat(numbers).allSatisfy(number -> assertThat(isRegulated(number)).contains(true));
        assertThat(parcel().code()).isNotEqualTo(parcel);
        assertThat(became()).hasSize(2);
        assertThat(store.ledger().seen().stream().filter(one -> one.parcel().equals(parcel().code())))
                .extracting(one -> one.labNumber())
                .containsAll(numbers);
        store.ledger().keep(List.of(taken(numbers.get(0))));
        theBalanceIsExactAtEveryMoment();
        assertThat(differences()).isEmpty();
    }

    @Test
    void whatLiesInAChargeKeepsItsSubmissionRegulatedUntilItIsTakenOut() {
        becomes();
        Signed<Permit> permit = permit();
        LocalDate today = LocalDate.now(ZoneOffset.UTC);
        store.became().enterPermit(parcel().code(), permit, "by mail", today, QUALITY, Instant.now());
        Charge charge = charge(permit);
        store.charges().open(charge, today);
        store.ledger().keep(List.of(taken(numbers.get(0))));
        store.charges().load(charge.name(), List.of(numbers.get(0)), "A. Bench", Instant.now());
        takeBack(second);
        assertThatThrownBy(this::signBoth).hasMessageContaining(numbers.get(0) + " lies in charge " + charge.name());
        assertThat(became()).singleElement().matches(one -> one.signatures().isEmpty());
        store.charges().unload(charge.name(), numbers.get(0), "A. Bench", Instant.now());
        String parcel = parcel().code();
        sign(parcel, QUALITY, true);
        sign(parcel, "M. Whelan", false);
        assertThat(isRegulated(numbers.get(0))).contains(false);
        theBalanceIsExactAtEveryMoment();
        assertThat(differences()).isEmpty();
    }

    @Test
    void whatIsRegulatedByItsOriginHasNoWayBack() {
        Parcel met = LedgerBookDbTest.receive(store, regulated);
        assertThatThrownBy(() -> sign(met.code(), QUALITY, true))
                .hasMessageContaining("is not of soil that became regulated by a note");
        LedgerBookDbTest.receive(store, ordinary);
        becomes();
        takeBack(second);
        assertThatThrownBy(this::signBoth).hasMessageContaining("was regulated before that note");
        assertThat(isRegulated(numbers.get(0))).contains(true);
        assertThat(differences()).isEmpty();
    }

    @Test
    void otherSoilsOfATrayStayAsTheyWereDecidedUntilSomebodyDecidesAnew() {
        becomes();
        List<String> others = tray().ordinary();
        store.ledger().keep(List.of(taken(others.get(0))));
        store.became()
                .decide(name, tray().tray(), Became.Decision.REGULATED, "one lid was off", QUALITY, Instant.now());
        takeBack(second);
        signBoth();
        String parcel = parcel().code();
        assertThat(numbers).allSatisfy(number -> assertThat(isRegulated(number)).contains(false));
        assertThat(others).allSatisfy(number -> assertThat(isRegulated(number)).contains(true));
        assertThat(tray()).matches(Became.InOneTray::open).matches(Became.InOneTray::anew);
        assertThat(store.ledger().seen().stream().filter(one -> one.parcel().equals(parcel)))
                .extracting(one -> one.labNumber())
                .containsAll(others)
                .doesNotContainAnyElementsOf(numbers);
        assertThat(account().here()).extracting(Held::code).containsExactly(others.get(0));
        store.ledger().keep(List.of(taken(others.get(1))));
        theBalanceIsExactAtEveryMoment();
        store.became()
                .decide(name, tray().tray(), Became.Decision.ORDINARY, "nothing was there", QUALITY, Instant.now());
        assertThat(others).allSatisfy(number -> assertThat(isRegulated(number)).contains(false));
        assertThat(account().here()).isEmpty();
        theBalanceIsExactAtEveryMoment();
        assertThat(differences()).isEmpty();
    }

    @Test
    void otherRegulatedSoilInItsTrayKeepsItRegulatedUntilThatIsFoundToBeAMistakeToo() {
        becomes();
        takeBack(second);
        Subject third = Subject.rack("R" + ++racks);
        load(third, "SUB-X-" + name, false);
        note(third, Rack.GRIND, BenchAct.What.DONE, "other " + mill, 70, Map.of(Measure.REGULATED, 1.0));
        assertThatThrownBy(this::signBoth).hasMessageContaining("holds other regulated soil");
        takeBack(third);
        signBoth();
        assertThat(isRegulated(numbers.get(0))).contains(false);
        assertThat(differences()).isEmpty();
    }

    @Test
    void verifyNamesSoilThatWasMadeOrdinaryOutsideTheProgram() throws SQLException {
        becomes();
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            assertThatThrownBy(() -> statement.execute("delete from custody.ordinary_again"))
                    .isInstanceOf(SQLException.class);
            for (int place = 1; place <= 2; place++) {
                statement.execute("""
                        insert into custody.ordinary_again (submission, version, place, quality, reason, person, at)
                        select b.submission, b.version, %d, true, 'smuggled', 'X', now()
                        from custody.became b join intake.submission u on u.id = b.submission where u.submission = '%s'
                        """.formatted(place, ordinary));
            }
        }
        assertThat(differences())
                .anyMatch(
                        one -> one.contains("custody-ordinary-again " + ordinary) && one.contains("not in the journal"))
                .anyMatch(one ->
                        one.contains("submission " + ordinary + " is kept as ordinary soil and met regulated soil"))
                .anyMatch(one -> one.contains("without the signatures of two people"));
        try (Connection owner = store.connections().owner();
                Statement statement = owner.createStatement()) {
            statement.execute("alter table custody.ordinary_again disable trigger ordinary_again_stays");
            statement.execute("delete from custody.ordinary_again where reason = 'smuggled'");
            statement.execute("alter table custody.ordinary_again enable trigger ordinary_again_stays");
        }
        assertThat(differences()).isEmpty();
    }
}
