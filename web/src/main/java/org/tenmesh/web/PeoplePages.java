package org.tenmesh.web;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.JournalCheck;
import org.tenmesh.store.Person;
import org.tenmesh.store.PersonRole;

/** Who may sign in, and the record of who did what. */
final class PeoplePages {
    private static final Duration LINK_LASTS = Duration.ofHours(24);
    private static final int MOST_ENTRIES = 500;

    private PeoplePages() {}

    static List<Route> routes(House house) {
        Set<PersonRole> inCharge = Set.of(PersonRole.IN_CHARGE);
        return List.of(
                Route.get(
                        "/people",
                        Set.of(PersonRole.IN_CHARGE, PersonRole.AUDITOR),
                        visit -> people(house, visit, "", "", 200)),
                Route.post("/people", inCharge, visit -> add(house, visit)),
                Route.post("/people/link", inCharge, visit -> link(house, visit)),
                Route.post("/people/change", inCharge, visit -> change(house, visit)),
                Route.get("/journal", Route.SEALED, visit -> journal(house, visit)));
    }

    private static Answer people(House house, Visit visit, String wrong, String link, int status) {
        return new Answer.Shown(
                status,
                "people",
                "People",
                Map.of(
                        "people",
                        house.book().people(),
                        "roles",
                        List.of(PersonRole.values()),
                        "acts",
                        visit.role() == PersonRole.IN_CHARGE,
                        "self",
                        visit.actor(),
                        "link",
                        link,
                        "wrong",
                        wrong));
    }

    private static Optional<PersonRole> role(Visit visit) {
        return List.of(PersonRole.values()).stream()
                .filter(r -> r.word().equals(visit.form("role")))
                .findFirst();
    }

    private static Answer add(House house, Visit visit) {
        String name = visit.form("name");
        Optional<PersonRole> role = role(visit);
        if (name.isEmpty() || name.length() > 80 || role.isEmpty()) {
            return people(house, visit, "A person needs a name of 1 to 80 characters and a role.", "", 400);
        }
        if (house.book().find(name).isPresent()) {
            return people(house, visit, "There is a person of the name " + name + " already.", "", 409);
        }
        house.book().add(new Person(name, role.get(), ""), visit.actor());
        return people(house, visit, "", once(house, visit, name), 200);
    }

    private static Answer link(House house, Visit visit) {
        return house.book()
                .find(visit.form("name"))
                .filter(Person::active)
                .map(p -> people(house, visit, "", once(house, visit, p.name()), 200))
                .orElseGet(() -> people(house, visit, "There is nobody active of this name.", "", 409));
    }

    private static String once(House house, Visit visit, String name) {
        return name + "\n" + visit.site() + "/enter/" + house.book().oneTimeToken(name, LINK_LASTS);
    }

    private static Answer change(House house, Visit visit) {
        Optional<Person> person = house.book().find(visit.form("name"));
        Optional<PersonRole> role = role(visit);
        if (person.isEmpty() || role.isEmpty()) {
            return people(house, visit, "There is nobody of this name, or the role is not known.", "", 409);
        }
        if (person.get().name().equals(visit.actor())) {
            return people(
                    house,
                    visit,
                    "You cannot change your own role or leave by yourself: another person in charge does that.",
                    "",
                    409);
        }
        house.book()
                .change(
                        new Person(
                                person.get().name(),
                                role.get(),
                                person.get().passwordHash(),
                                !visit.form("active").equals("no")),
                        visit.actor());
        return Answer.moved("/people");
    }

    private static Answer journal(House house, Visit visit) {
        boolean check = visit.query("check").equals("yes");
        List<JournalCheck> checks = check ? List.of(house.book().verifyJournal()) : List.of();
        return Answer.shown(
                "journal",
                "Journal",
                Map.of(
                        "entries",
                        house.book().journal(MOST_ENTRIES),
                        "zone",
                        visit.desk().map(Desk::zone).orElse(java.time.ZoneOffset.UTC),
                        "most",
                        MOST_ENTRIES,
                        "checks",
                        checks));
    }
}
