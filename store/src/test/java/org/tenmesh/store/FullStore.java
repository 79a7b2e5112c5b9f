package org.tenmesh.store;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.sheets.KeptSheet;

/** A store with a row in every table, each written by the program: what a test of the whole schema starts from. */
final class FullStore {
    static final String DAY = "2026-11-25";

    private static final String IN_CHARGE = "M. Whelan";
    private static final String BENCH = "T. Byrne";
    private static final Instant AT = Instant.parse("2026-11-25T14:00:00.123456Z");

    private FullStore() {}

    static void fill(Store store) {
        people(store);
        Day invented = InventedDay.of(20);
        Day day = MadeDay.like(invented)
                .soils(invented.soils().stream()
                        .map(soil -> soil.submission().equals(Optional.of("S1"))
                                        && soil.regulated().orElse(false)
                                ? MadeSoil.like(soil).regulated(false).soil()
                                : soil)
                        .toList())
                .day();
        store.take(day, OpenStore.freshDigest(), IN_CHARGE);
        arrivals(store, day);
        causes(store);
        releases(store, day);
        orders(store, day);
        sheets(store);
        laidOut(store, day);
        custody(store);
        programs(store);
        equipment(store);
        shelf(store, day);
        becameRegulated(store);
        store.printings().print("trays", DAY, List.of("T0001", "T0002"), "", BENCH, AT);
        store.printings().print("trays", DAY, List.of("T0001", "T0002", "T0003"), "torn", BENCH, AT);
        bench(store);
        store.note(IN_CHARGE, "report-printed", DAY + "/S1/2", Map.of("pages", "3"));
    }

    /** Nobody has settled whether its soils are regulated, so they are kept as if they were. */
    private static void shelf(Store store, Day day) {
        String soil = day.soils().get(0).labNumber().text();
        store.shelves()
                .keep(
                        List.of(
                                shelved(ShelfAct.What.PLACE_MADE, "P-F1", "", Optional.empty(), true),
                                shelved(ShelfAct.What.BOX_MADE, "B-000001", "", Optional.empty(), true),
                                shelved(ShelfAct.What.BOX_PUT, "B-000001", "P-F1", Optional.empty(), false),
                                shelved(ShelfAct.What.SOIL_PUT, soil, "B-000001", Optional.empty(), false),
                                shelved(
                                        ShelfAct.What.LENT,
                                        soil,
                                        "N. Okafor",
                                        Optional.of(LocalDate.of(2036, 11, 30)),
                                        false)),
                        ZoneOffset.UTC);
    }

    private static ShelfAct shelved(
            ShelfAct.What what, String about, String to, Optional<LocalDate> until, boolean regulated) {
        return new ShelfAct(what, about, to, until, regulated, "full", BENCH, AT);
    }

    private static void equipment(Store store) {
        Lot part = store.equipment().register(lot("ACID-1"));
        Lot made = store.equipment().register(lot("M3-44", part.name()));
        Equipment balance = store.equipment()
                .register(new Equipment(
                        "B2",
                        Equipment.Kind.BALANCE,
                        "inventory 17",
                        "OM1",
                        "2",
                        List.of(new Equipment.Due(
                                "10 g",
                                OptionalInt.of(7),
                                Optional.of(LocalDate.of(2026, 11, 30)),
                                OptionalDouble.of(9.998),
                                OptionalDouble.of(10.002),
                                "g")),
                        BENCH,
                        AT));
        store.equipment()
                .note(new Act(0, made.thing(), Act.What.OPENED, "", OptionalDouble.empty(), true, "", AT, BENCH, AT));
        store.equipment()
                .note(new Act(
                        0, balance.thing(), Act.What.CHECKED, "10 g", OptionalDouble.of(10), true, "", AT, BENCH, AT));
        store.equipment().note(new Use(0, made.thing(), Use.Place.TRAY, DAY, "T1", "", AT, BENCH, AT));
        store.equipment().note(new Use(0, balance.thing(), Use.Place.RUN, DAY, "P1", "", AT, BENCH, AT));
        store.equipment().letStand(new LetStand(0, made.thing(), DAY, "expired", "titrated", IN_CHARGE, AT));
        store.equipment().letStand(new LetStand(0, balance.thing(), DAY, "overdue", "weighed again", IN_CHARGE, AT));
        Hold hold = store.holds()
                .lay(new Hold(
                        0,
                        "instrument ICP1",
                        "the pump leaked",
                        List.of(new Hold.Span(DAY, "P1", 3, 9)),
                        IN_CHARGE,
                        AT,
                        Optional.empty()));
        store.holds().lift(hold.number(), "read again without a difference", IN_CHARGE);
    }

    private static Lot lot(String name, String... madeFrom) {
        return new Lot(
                name,
                Lot.Kind.EXTRACTANT,
                "Mehlich 3",
                "mehlich3-icp",
                "invented supplier",
                List.of(new Lot.Content("P", 0, OptionalDouble.of(0.01), Unit.MILLIGRAM_PER_LITRE)),
                LocalDate.of(2026, 1, 2),
                Optional.of(LocalDate.of(2026, 12, 31)),
                OptionalInt.of(60),
                List.of(madeFrom),
                BENCH,
                AT);
    }

    private static void people(Store store) {
        store.people().add(new Person(IN_CHARGE, PersonRole.IN_CHARGE, "argon2 of one"), "Tenmesh");
        store.people().add(new Person(BENCH, PersonRole.BENCH, "argon2 of another"), IN_CHARGE);
        store.people().add(new Person("L. Reed", PersonRole.AUDITOR, "argon2 of a third"), IN_CHARGE);
        store.people().rename("L. Reed", "L. Sallow", IN_CHARGE);
        String withdrawn = store.badges().issue(BENCH, IN_CHARGE);
        store.badges().choosePin(withdrawn, "argon2 of a pin");
        store.badges().withdraw(BENCH, IN_CHARGE);
        store.badges().choosePin(store.badges().issue(BENCH, IN_CHARGE), "argon2 of another pin");
    }

    /** A run that ended and one that is under way, both reading by reading. */
    private static void arrivals(Store store, Day day) {
        Run like = day.runs().get(0);
        Run ended = MadeRun.like(like).named("P8").run();
        Run open = MadeRun.like(like).named("P9").run();
        store.arrivals().take(arrival("1", new RunPart(ended, true)), "capture");
        store.arrivals().take(arrival("2", new RunPart(open.with(open.readings().part(0, 60)), false)), "capture");
        store.arrivals()
                .take(
                        new Arrival(
                                "drop",
                                "3",
                                "3.csv",
                                AT,
                                "no export".getBytes(StandardCharsets.UTF_8),
                                List.of(),
                                Optional.of("it has no heading")),
                        "capture");
    }

    private static Arrival arrival(String key, RunPart part) {
        return new Arrival(
                "drop",
                key,
                key + ".csv",
                AT,
                ("export " + key).getBytes(StandardCharsets.UTF_8),
                List.of(part),
                Optional.empty());
    }

    private static void causes(Store store) {
        store.ownRecord(DAY);
        Grounds drift = new Grounds("drift@P1#0123456789", "ab".repeat(32), "P1", "K drifts by 4 %.", 12);
        store.act(DAY, drift, Action.ORDER_REDO, "", BENCH, AT);
        store.act(DAY, drift, Action.ACCEPT, "the client was asked", IN_CHARGE, AT.plusSeconds(60));
        for (Answer.Said said : List.of(Answer.Said.UNDECIDED, Answer.Said.CONFIRMED)) {
            store.keepAnswers(
                    DAY,
                    List.of(new Answer("drift@P1#0123456789", CauseKind.PORTION_WRONG, said, -5.9, 4, 3, "Made up.")),
                    AT.plusSeconds(600 + said.ordinal()));
        }
    }

    private static void releases(Store store, Day day) {
        store.approvals().sign(false, "one person works here this week", IN_CHARGE);
        store.approvals().sign(true, "there are two again", IN_CHARGE);
        store.release(DAY, release(day, 1, "first release"));
        store.release(
                DAY,
                List.of(new SignedReport(
                        release(day, 2, "redo of potassium"), new byte[] {1, 2, 3}, ReportForm.defaults())));
    }

    private static Release release(Day day, int revision, String reason) {
        return new Release(
                "S1",
                revision,
                IN_CHARGE,
                OffsetDateTime.parse("2026-11-25T17:05:00.500002+01:00"),
                reason,
                List.of(
                        new ReleasedResult(
                                day.soils().get(1).labNumber(),
                                "ph-water-1-1",
                                "2026-01-01",
                                "pH",
                                OptionalDouble.of(6.123456789),
                                "[pH]",
                                "6.1",
                                "0.1",
                                ""),
                        new ReleasedResult(
                                day.soils().get(0).labNumber(),
                                "mehlich3-icp",
                                "2026-01-01",
                                "K",
                                OptionalDouble.empty(),
                                "mg/kg",
                                "",
                                "",
                                "drift along the run")));
    }

    private static void orders(Store store, Day day) {
        LabNumber soil = day.soils().get(2).labNumber();
        for (String name : List.of("ICP-A-1", "ICP-A-2")) {
            store.runOrders()
                    .keep(
                            new RunOrder(
                                    name,
                                    "mehlich3-icp",
                                    "ICP-A",
                                    OffsetDateTime.parse("2026-11-25T08:00:00.123456+01:00"),
                                    List.of(
                                            new RunOrder.Place(1, Role.STANDARD, "STD-1"),
                                            new RunOrder.Place(2, Role.SAMPLE, soil.text(), 2.5, true))),
                            IN_CHARGE);
            if (name.endsWith("1")) {
                store.runOrders().cancel(name, "argon ran out", BENCH, AT);
            }
        }
    }

    private static void sheets(Store store) {
        LocalDate today = MadeDay.DATE;
        KeptSheet.Said said = new KeptSheet.Said(
                "Tern Bay (invented)", Optional.of(today.plusDays(3)), Optional.of("standard"), Optional.of("wet"));
        String first = store.sheets()
                .keep("sheet.csv", "Sample\nA\n".getBytes(StandardCharsets.UTF_8), said, IN_CHARGE, AT, today);
        store.sheets().change(first, 1, said, "full name", BENCH, AT.plusSeconds(9));
        store.dockActs()
                .keep(
                        new DockAct("box-there-1", first, DockAct.What.BOX, 1, "BX-1", "wet", "torn", BENCH, AT),
                        before -> Optional.empty());
        store.dockActs()
                .keep(
                        new DockAct("bag-there-1", first, DockAct.What.THERE, 1, "", "scanned", "", BENCH, AT),
                        before -> Optional.empty());
        store.sheets().laidOut(List.of(first), IN_CHARGE, AT.plusSeconds(60));
        String second = store.sheets()
                .keep("sheet.csv", "Sample\nB\n".getBytes(StandardCharsets.UTF_8), said, IN_CHARGE, AT, today);
        store.sheets().leave(second, "the client rang", BENCH, AT.plusSeconds(90));
    }

    private static void laidOut(Store store, Day day) {
        for (int seen = 0; seen < 2; seen++) {
            store.laidOut()
                    .change(
                            DAY,
                            day.submissions().get(0).submission(),
                            seen,
                            new KeptSheet.Said(
                                    "Tern Bay (invented)",
                                    Optional.of(MadeDay.DATE.plusDays(seen)),
                                    Optional.of("standard"),
                                    Optional.of("rang")),
                            "the client rang",
                            BENCH,
                            AT.plusSeconds(seen));
        }
    }

    private static void custody(Store store) {
        AreaList ants = new AreaList(
                "ants",
                "an authority",
                "an ant",
                "a rule",
                Set.of("US"),
                false,
                List.of(new Area(
                        "US",
                        List.of("Tennessee", "TN"),
                        List.of("Hardeman"),
                        Optional.of(MadeDay.DATE),
                        Optional.empty(),
                        "in part")),
                List.of(new Area("US", List.of("Iowa", "IA"), List.of(), Optional.empty(), Optional.empty(), "")),
                "a map",
                MadeDay.DATE.minusDays(30),
                MadeDay.DATE.plusDays(30));
        store.papers().draft(ants, 0, "first", "P. Officer", AT);
        store.papers().draft(PapersDbTest.permit("P-1"), 0, "as issued", "P. Officer", AT);
        store.papers().sign(Papers.Kind.AREAS, "ants", 1, MadeDay.DATE, MadeDay.DATE, "P. Officer", AT);
        store.papers().sign(Papers.Kind.PERMIT, "P-1", 1, MadeDay.DATE, MadeDay.DATE, "P. Officer", AT);
        ledger(store);
    }

    /** Two parcels, of which one was destroyed and its residue released. */
    private static void ledger(Store store) {
        Signed<Permit> permit =
                store.papers().signedPermits().stream().findFirst().orElseThrow();
        for (String id : List.of("parcel-1", "parcel-2")) {
            Parcel parcel = store.ledger()
                    .receive(
                            new LedgerBook.Received(
                                    id,
                                    "SUB-261125-1",
                                    Origin.written(Optional.of("US"), List.of("Tennessee", "Hardeman")),
                                    "on an invented list",
                                    permit,
                                    OptionalLong.of(1200),
                                    2,
                                    "dry",
                                    "dock"),
                            MadeDay.DATE,
                            BENCH,
                            AT);
            String soil = parcel.code() + "-a";
            store.ledger()
                    .keep(List.of(new Move(
                            id + "-taken",
                            Move.What.TAKEN,
                            parcel.code(),
                            soil,
                            PortionKind.SOIL,
                            parcel.code(),
                            "shelf R",
                            600_000,
                            1,
                            "",
                            "",
                            BENCH,
                            AT)));
            String charge = "C-" + id;
            store.charges()
                    .open(
                            new Charge(
                                    charge,
                                    "oven 2",
                                    permit.name(),
                                    permit.version(),
                                    permit.paper().treatments().get(0),
                                    List.of("middle"),
                                    0.5,
                                    BENCH,
                                    AT),
                            MadeDay.DATE);
            store.charges().load(charge, List.of(soil), BENCH, AT);
            List<Charge.Point> points = new ArrayList<>();
            for (int minute = 0; minute <= 130; minute += 2) {
                points.add(new Charge.Point(AT.plusSeconds(60L * minute), "middle", 125));
            }
            store.charges().record(charge, "typed", points, BENCH, AT);
            store.charges()
                    .close(
                            charge,
                            AT.plusSeconds(7800),
                            Set.of("trays at most 5 cm deep"),
                            BENCH,
                            AT.plusSeconds(10_800));
            store.charges().sign(charge, BENCH, AT);
            store.charges().sign(charge, IN_CHARGE, AT);
            store.charges().release(charge, new ChargeState.Residue("a carrier", "a landfill", "T-1", IN_CHARGE, AT));
        }
    }

    private static void programs(Store store) {
        Instant until = Instant.now().plus(Duration.ofDays(30));
        for (String program : List.of("old desk", "desk")) {
            ProgramToken token = store.tokens()
                    .find(store.tokens().make(program, Set.of(Scope.REGISTER, Scope.FEED), false, until, IN_CHARGE))
                    .orElseThrow();
            store.registrations()
                    .register(
                            token,
                            "key-" + program.length(),
                            program + ".json",
                            program.getBytes(StandardCharsets.UTF_8),
                            new KeptSheet.Said(
                                    "Tern Bay (invented)", Optional.empty(), Optional.empty(), Optional.empty()),
                            AT,
                            MadeDay.DATE);
            if (program.startsWith("old")) {
                store.tokens().withdraw(token.id(), "laptop lost", BENCH);
            }
        }
    }

    private static void bench(Store store) {
        for (Subject subject : List.of(Subject.tray(DAY, "T0001"), Subject.rack("R17"))) {
            store.benchActs()
                    .keep(
                            new BenchAct(
                                    "act-of-" + subject.code() + "-1",
                                    subject,
                                    "mehlich3.shake",
                                    BenchAct.What.DONE,
                                    "",
                                    "",
                                    BENCH,
                                    "tablet-1",
                                    AT,
                                    Instant.EPOCH,
                                    Map.of(Measure.PLACE, 4.0)),
                            BENCH);
        }
        store.people().startBadgeSession(BENCH, Duration.ofHours(8), Duration.ofMinutes(5));
    }

    /** A submission that was ground after soil of which nobody knows the permit, and what was decided since. */
    private static void becameRegulated(Store store) {
        for (String submission : List.of("S1", "S2")) {
            String rack = submission.equals("S1") ? "R801" : "R802";
            note(
                    store,
                    rack,
                    "",
                    BenchAct.What.LOADED,
                    submission,
                    Map.of(
                            Measure.FIRST_BAG, 1.0,
                            Measure.LAST_BAG, 2.0,
                            Measure.PLACE, 1.0,
                            Measure.REGULATED, 0.0));
            note(store, rack, "rack.grind", BenchAct.What.DONE, "M-" + submission, Map.of(Measure.REGULATED, 1.0));
        }
        Became.InOneTray tray = store.became().trays().get(0);
        store.became().decide(tray.day(), tray.tray(), Became.Decision.ORDINARY, "lids on every well", IN_CHARGE, AT);
        ordinaryAgain(store);
        store.became().decide(tray.day(), tray.tray(), Became.Decision.REGULATED, "one lid was off", IN_CHARGE, AT);
        Signed<Permit> permit =
                store.papers().signedPermits().stream().findFirst().orElseThrow();
        store.ledger().parcels().stream()
                .filter(one -> !one.permitKnown())
                .forEach(one -> store.became()
                        .enterPermit(one.code(), permit, "the permit office, by mail", MadeDay.DATE, IN_CHARGE, AT));
    }

    /** The note was a mistake, and one of two people signed that. */
    private static void ordinaryAgain(Store store) {
        note(
                store,
                "R801",
                "rack.grind",
                BenchAct.What.TAKEN_BACK,
                "became-R801-" + BenchAct.What.DONE.word(),
                Map.of());
        store.became()
                .ordinaryAgain(store.became().became().get(0).parcel(), "it was another mill", IN_CHARGE, false, AT);
    }

    private static void note(
            Store store, String rack, String step, BenchAct.What what, String about, Map<Measure, Double> measured) {
        store.benchActs()
                .keep(
                        new BenchAct(
                                "became-" + rack + "-" + what.word(),
                                Subject.rack(rack),
                                step,
                                what,
                                about,
                                "",
                                BENCH,
                                "tablet-1",
                                AT,
                                AT,
                                measured),
                        BENCH);
    }
}
