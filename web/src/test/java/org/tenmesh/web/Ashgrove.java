package org.tenmesh.web;

import com.password4j.Argon2Function;
import com.password4j.Password;
import com.password4j.types.Argon2;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Step;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.Judge;
import org.tenmesh.web.days.SheetReader;

/** The made-up laboratory with one person of each role, served on a free port. */
record Ashgrove(Server server, MemoryStore book, InventedDay invented) implements AutoCloseable {
    static final String LOT = "B7-2610";
    static final String PIPETTE = "P5";
    static final String PASSWORD = "four words do well here";
    static final MethodBook METHODS = AllKinds.with(MethodFiles.shipped());
    static final Clock CLOCK = Clock.fixed(Instant.parse("2026-11-25T13:42:00Z"), ZoneOffset.UTC);
    /** Of a hundredth of the work of a real one: these tests sign in many hundreds of times. */
    private static final String HASH = Password.hash(PASSWORD)
            .addRandomSalt(16)
            .with(Argon2Function.getInstance(256, 1, 1, 32, Argon2.ID))
            .getResult();

    static Ashgrove open(int soils) {
        return open(InventedDay.of(soils, METHODS));
    }

    static Ashgrove open(InventedDay invented) {
        MemoryStore book = new MemoryStore();
        book.take(invented.day());
        return open(book, invented);
    }

    /** With control values of earlier days. */
    static Ashgrove open(InventedDay invented, ControlHistory earlier) {
        MemoryStore book = new MemoryStore();
        book.take(invented.day());
        book.remember(earlier);
        return open(book, invented);
    }

    /** Before the first day was taken. */
    static Ashgrove empty() {
        return open(new MemoryStore(), InventedDay.of(12, METHODS));
    }

    private static Ashgrove open(MemoryStore book, InventedDay invented) {
        return open(book, invented, judge(invented));
    }

    /** With a judge of the test's own. */
    static Ashgrove open(MemoryStore book, InventedDay invented, Judge judge) {
        for (PersonRole role : PersonRole.values()) {
            book.add(new Person(name(role), role, HASH), "test");
        }
        book.keep(
                new RunOrder(
                        "order-1",
                        "mehlich3-icp",
                        "plasma 1",
                        OffsetDateTime.parse("2026-11-25T12:00:00Z"),
                        List.of(
                                new RunOrder.Place(1, Role.STANDARD, "low"),
                                new RunOrder.Place(2, Role.SAMPLE, "26329-9001-0"))),
                "test");
        registerThings(book);
        book.sheets()
                .keep(
                        "sheet.csv",
                        "Sample\nA\n".getBytes(StandardCharsets.UTF_8),
                        new KeptSheet.Said(
                                "Hollow Lane Farm (invented)", Optional.empty(), Optional.empty(), Optional.empty()),
                        "test",
                        CLOCK.instant(),
                        LocalDate.of(2026, 11, 25));
        // A day on which nothing has happened has nothing on the shelf and nothing regulated.
        if (!invented.day().trays().isEmpty()) {
            shelve(book, invented);
            InventedCustody.fill(book.custody(), invented);
        }
        return new Ashgrove(
                Server.start(
                        ServerSettings.local(0),
                        book,
                        METHODS,
                        CLOCK,
                        judge,
                        Optional.empty(),
                        Optional.of(Ashgrove::sheet)),
                book,
                invented);
    }

    /** A buffer and a pipette that no run names, and a hold on a run that is not there: they hold nothing of the day. */
    private static void registerThings(MemoryStore book) {
        book.equipment()
                .register(new Lot(
                        LOT,
                        Lot.Kind.BUFFER,
                        "spare buffer",
                        "",
                        "invented supplier",
                        List.of(new Lot.Content("pH", 7, OptionalDouble.of(0.01), Unit.PH)),
                        LocalDate.of(2026, 10, 1),
                        Optional.of(LocalDate.of(2026, 11, 20)),
                        OptionalInt.of(60),
                        List.of(),
                        "test",
                        CLOCK.instant()));
        book.equipment()
                .register(new Equipment(
                        PIPETTE,
                        Equipment.Kind.PIPETTE,
                        "",
                        "",
                        "",
                        List.of(new Equipment.Due(
                                "delivers 5 mL",
                                OptionalInt.of(30),
                                Optional.of(LocalDate.of(2026, 11, 20)),
                                OptionalDouble.of(4.97),
                                OptionalDouble.of(5.03),
                                "mL")),
                        "test",
                        CLOCK.instant()));
        book.equipment()
                .lay(new Hold(
                        0,
                        "instrument none",
                        "invented",
                        List.of(new Hold.Span("2026-11-25", "none", 1, 2)),
                        "test",
                        CLOCK.instant(),
                        Optional.empty()));
    }

    /** The soils of the first tray in a box, and a list of what of it may go. */
    private static void shelve(MemoryStore book, InventedDay invented) {
        Map<String, String> clients = new HashMap<>();
        invented.day().submissions().forEach(one -> clients.put(one.submission(), one.client()));
        book.shelf().know(invented.day().soils(), clients);
        List<ShelfAct> acts = new ArrayList<>(List.of(
                shelfAct(ShelfAct.What.PLACE_MADE, "P-A1", ""),
                shelfAct(ShelfAct.What.BOX_MADE, "B-000001", ""),
                shelfAct(ShelfAct.What.BOX_PUT, "B-000001", "P-A1")));
        invented.day()
                .trays()
                .get(0)
                .wells()
                .forEach(place -> place.labNumber()
                        .ifPresent(one -> acts.add(shelfAct(ShelfAct.What.SOIL_PUT, one.text(), "B-000001"))));
        book.shelf().keep(acts, ZoneOffset.UTC);
        book.shelf().makeList(LocalDate.of(2026, 11, 25), 28, Set.of(), "test", CLOCK.instant(), ZoneOffset.UTC);
    }

    private static ShelfAct shelfAct(ShelfAct.What what, String about, String to) {
        return new ShelfAct(what, about, to, Optional.empty(), false, "", "test", CLOCK.instant());
    }

    static String name(PersonRole role) {
        return "invented " + role.phrase();
    }

    Browser visitor() {
        return new Browser(server.address());
    }

    Browser as(PersonRole role) {
        return visitor().signedIn(name(role), PASSWORD);
    }

    @Override
    public void close() {
        server.close();
    }

    static Judge judge(InventedDay invented) {
        return new Judge() {
            @Override
            public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
                return invented.judged();
            }

            @Override
            public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
                return Story.of(
                        result,
                        List.of(new Step("Signal of position " + result.position(), "40 / 1", 40, Unit.PER_SECOND)),
                        List.of("Verdict: " + result.verdict().word() + "."));
            }
        };
    }

    /** Notes a box, ticks its bags, counts them, and books the submission in as not regulated: whatever the pages ask for on the way. */
    void bookIn(String submission, int bags) {
        Browser dock = as(PersonRole.CLIENT_SERVICE);
        String page = "/dock/" + submission;
        dock.submit(
                page,
                "/dock/act",
                Map.of("submission", submission, "what", "box", "about", "BX " + submission, "says", "sound"));
        dock.submit(page, "/dock/rest", Map.of("submission", submission));
        dock.submit(
                page, "/dock/act", Map.of("submission", submission, "what", "counted", "number", String.valueOf(bags)));
        dock.page(page).select("input[name=about][value^=origin-unclear]").stream()
                .map(field -> field.attr("value"))
                .distinct()
                .forEach(key -> dock.submit(
                        page,
                        "/dock/act",
                        Map.of(
                                "submission", submission,
                                "what", "decided",
                                "about", key,
                                "says", "not-regulated",
                                "reason", "the field is known")));
        dock.submit(
                page,
                "/dock/act",
                Map.of("submission", submission, "what", "booked", "number", String.valueOf(bags), "says", "ordinary"));
    }

    /**
     * Lines of text below a heading, each the label of a soil; an empty one is a problem. Above the heading may stand a country. What sheets really
     * look like is tested where they are read.
     */
    private static SheetReader.Sheet sheet(String fileName, byte[] bytes) {
        List<SheetReader.Sample> samples = new ArrayList<>();
        List<SheetReader.Problem> problems = new ArrayList<>();
        String[] lines = new String(bytes, StandardCharsets.UTF_8).split("\n");
        Optional<String> country = lines[0].startsWith("Client") ? Optional.empty() : Optional.of("IE");
        int first = 1;
        while (!lines[first - 1].endsWith("Sample")) {
            if (lines[first - 1].startsWith("Country,")) {
                country = Optional.of(
                        lines[first - 1].substring("Country,".length()).replace("\"", ""));
            }
            first++;
        }
        for (int i = first; i < lines.length; i++) {
            if (lines[i].isBlank()) {
                problems.add(new SheetReader.Problem(i + 1, "A" + (i + 1), "an empty cell", "the label of this soil"));
            }
            String label = lines[i].substring(lines[i].indexOf(',') + 1).replace("\"", "");
            samples.add(new SheetReader.Sample(
                    i - first + 1, label, OptionalDouble.empty(), OptionalDouble.empty(), Optional.empty()));
        }
        return new SheetReader.Sheet(
                Optional.empty(),
                country,
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                samples,
                List.of(),
                problems);
    }
}
