package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.living.EarlierDay;
import org.tenmesh.app.living.EarlierShelf;
import org.tenmesh.app.living.InventedInstruments;
import org.tenmesh.app.living.LivingDay;
import org.tenmesh.capture.Capture;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * The invented laboratory with everything that runs in it.
 *
 * @param names of its people, by what they were called at first: in charge, quality, bench, client service, auditor
 * @param password of all of them
 * @param told what a visitor is to know of the day
 */
record Demonstration(
        Store store, Capture capture, Server server, LivingDay day, List<String> names, String password, String told)
        implements AutoCloseable {
    private static final List<Invented> PEOPLE = List.of(
            new Invented("R. Quill", PersonRole.IN_CHARGE),
            new Invented("A. Marram", PersonRole.QUALITY),
            new Invented("B. Tansy", PersonRole.BENCH),
            new Invented("C. Fescue", PersonRole.CLIENT_SERVICE),
            new Invented("D. Yarrow", PersonRole.AUDITOR));
    private static final String ACTOR = "Tenmesh demo";

    /** Somebody of the demonstration. */
    private record Invented(String name, PersonRole role) {}

    /**
     * Opens it, and begins to play its day where that was never begun.
     *
     * @param still a day of every method that stands still
     * @param speed how many times faster than usual the day is played
     */
    static Demonstration open(Console console, Path data, int port, boolean still, double speed, Clock clock)
            throws IOException {
        // A demonstration is of today, so that what is due and what is late look as they would.
        LocalDate today = LocalDate.now(clock);
        Scenario scenario = still ? Scenario.demonstration(today) : LivingDay.scenario(today);
        MethodBook methods = MethodFiles.shipped();
        Store store = console.during(
                "Starting the database in " + data,
                () -> Databases.open(StoreSettings.embedded(data.resolve("database")), clock));
        try {
            boolean fresh = store.dayEntry(today.toString()).isEmpty();
            if (fresh && !still && begun(store, today)) {
                throw new CannotUse("the invented laboratory in " + data
                        + " was not made to its end, because the program was stopped meanwhile; delete this folder, or"
                        + " name another one with --data");
            }
            Map<String, Scenario> earlier = fresh && !still
                    ? console.during("Inventing earlier days", () -> takeEarlier(store, today, methods))
                    : Map.of();
            if (fresh) {
                Day day = console.during(
                        "Inventing a day", () -> Simulator.simulate(scenario).day());
                Receipt taken = console.during(
                        "Storing it", () -> take(store, scenario, still ? day : day.withRuns(List.of())));
                console.during("Registering lots and equipment", () -> {
                    InventedThings.register(store, taken.day(), day, today, clock.instant(), ACTOR);
                    return taken;
                });
                InventedPapers.sign(
                        store, day, PEOPLE.get(1).name(), PEOPLE.get(3).name(), today, clock.instant());
                // A visitor finds boxes at the dock, one with an exception to settle.
                InventedDock.fill(store, PEOPLE.get(3).name(), PEOPLE.get(2).name(), clock.instant(), today);
            }
            String password = newPassword();
            String hash = Server.passwordHash(password);
            // By the order of the list; a visitor may have renamed them.
            List<String> names =
                    PEOPLE.stream().map(one -> person(store, one, hash)).toList();
            return started(
                    console, data, port, still, fresh, speed, clock, scenario, earlier, store, methods, names,
                    password);
        } catch (IOException | RuntimeException failed) {
            store.close();
            throw failed;
        }
    }

    private static Demonstration started(
            Console console,
            Path data,
            int port,
            boolean still,
            boolean fresh,
            double speed,
            Clock clock,
            Scenario scenario,
            Map<String, Scenario> earlier,
            Store store,
            MethodBook methods,
            List<String> names,
            String password)
            throws IOException {
        InventedInstruments instruments = InventedInstruments.in(
                data.resolve("instruments"), scenario.options().zone().getId(), still ? 1 : speed);
        Capture capture = CaptureChoice.start(instruments.settings(), data, store, methods, clock, console);
        try {
            Server server = console.during(
                    "Judging the day",
                    () -> Listening.start(
                            ServerSettings.demonstration(port, names), store, methods, clock, Optional.of(capture)));
            LivingDay day = LivingDay.of(
                    scenario, instruments, server.address(), names, password, server::day, clock, speed, earlier);
            if (still) {
                return new Demonstration(store, capture, server, day, names, password, "The day stands still.");
            }
            if (!fresh) {
                return new Demonstration(
                        store,
                        capture,
                        server,
                        day,
                        names,
                        password,
                        "This day was begun before and is not played on. To see one from its first soil on, name another folder with"
                                + " --data.");
            }
            day.start();
            return new Demonstration(store, capture, server, day, names, password, LivingDay.told(speed, names.get(0)));
        } catch (RuntimeException failed) {
            capture.close();
            throw failed;
        }
    }

    /** The scenarios of the days before, by the names of the days. */
    private static Map<String, Scenario> takeEarlier(Store store, LocalDate today, MethodBook methods) {
        List<EarlierDay> days = EarlierDay.before(today, methods, PEOPLE.get(0).name());
        String bench = PEOPLE.get(2).name();
        Map<String, Scenario> scenarios = new HashMap<>();
        for (EarlierDay one : days) {
            String name = take(store, one.scenario(), one.day()).day();
            one.releases().forEach(release -> store.release(name, release));
            EarlierShelf.dumped(one, name, bench)
                    .forEach(act -> store.benchActs().keep(act, bench));
            scenarios.put(name, one.scenario());
        }
        List<Day> shelved = days.stream().map(EarlierDay::day).toList();
        if (!shelved.isEmpty()) {
            ZoneId zone = ZoneId.of(shelved.get(0).laboratory().zone());
            EarlierShelf.of(shelved, bench, PEOPLE.get(0).name())
                    .forEach(acts -> store.shelves().keep(acts, zone));
        }
        return scenarios;
    }

    /** Whether the first of the days before is there already. */
    private static boolean begun(Store store, LocalDate today) {
        return store.receipt(source(EarlierDay.first(today))).isPresent();
    }

    static Receipt take(Store store, Scenario scenario, Day day) {
        return store.take(day, scenario.date(), source(scenario), ACTOR);
    }

    private static String source(Scenario scenario) {
        return new Sha256().text("simulated " + scenario).hex();
    }

    /** Makes sure that somebody is there with this role and password, and returns the name they have. */
    private static String person(Store store, Invented one, String hash) {
        Optional<Person> known = store.people().called(one.name());
        Person person = new Person(known.map(Person::name).orElse(one.name()), one.role(), hash);
        if (known.isPresent()) {
            store.people().change(person, "Tenmesh");
        } else {
            store.people().add(person, "Tenmesh");
        }
        return person.name();
    }

    /** Twelve letters and digits that cannot be mistaken for one another. */
    private static String newPassword() {
        String alphabet = "abcdefghjkmnpqrstuvwxyz23456789";
        SecureRandom random = new SecureRandom();
        StringBuilder password = new StringBuilder();
        for (int i = 0; i < 12; i++) {
            password.append(i > 0 && i % 4 == 0 ? "-" : "").append(alphabet.charAt(random.nextInt(alphabet.length())));
        }
        return password.toString();
    }

    @Override
    public void close() {
        day.close();
        server.close();
        capture.close();
        store.close();
    }
}
