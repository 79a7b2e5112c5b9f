package org.tenmesh.web;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.JournalCheck;
import org.tenmesh.store.Person;
import org.tenmesh.store.PersonName;
import org.tenmesh.store.PersonRole;

/** Who may sign in, and the record of who did what. */
final class PeoplePages {
    private static final Duration LINK_LASTS = Duration.ofHours(24);
    private static final int MOST_ENTRIES = 500;

    private PeoplePages() {}

    static List<Route> routes(House house) {
        Set<PersonRole> keepers = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);
        return List.of(
                Route.get(
                        "/people",
                        Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR),
                        visit -> people(house, visit, "", "", 200)),
                Route.post("/people", keepers, visit -> add(house, visit)),
                Route.post("/people/link", keepers, visit -> link(house, visit)),
                Route.post("/people/change", keepers, visit -> change(house, visit)),
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
                        Admission.lookedAfterBy(visit.role()),
                        "ends",
                        visit.role() == PersonRole.IN_CHARGE,
                        "quality",
                        house.book().people().stream().anyMatch(p -> p.active() && p.role() == PersonRole.QUALITY),
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
        Optional<String> wrong = PersonName.wrong(name);
        if (wrong.isPresent() || role.isEmpty()) {
            return people(house, visit, wrong.orElse("A person needs a role."), "", 400);
        }
        if (!Admission.may(visit.role(), role.get())) {
            return people(house, visit, notYours(role.get()), "", 403);
        }
        if (house.book().find(name).isPresent()) {
            return people(house, visit, "There is a person of the name " + name + " already.", "", 409);
        }
        house.book().add(new Person(name, role.get(), ""), visit.actor());
        return people(house, visit, "", once(house, visit, name), 200);
    }

    private static Answer link(House house, Visit visit) {
        Optional<Person> person = house.book().find(visit.form("name")).filter(Person::active);
        if (person.isEmpty()) {
            return people(house, visit, "No active person of this name.", "", 409);
        }
        if (!Admission.may(visit.role(), person.get().role())) {
            return people(house, visit, notYours(person.get().role()), "", 403);
        }
        return people(house, visit, "", once(house, visit, person.get().name()), 200);
    }

    private static String notYours(PersonRole role) {
        return "Links and roles of " + role.phrase() + " are given by "
                + (Route.SEALED.contains(role)
                        ? "quality, because they open the key of the hidden controls."
                        : "whoever is in charge.")
                + " Nothing was done.";
    }

    private static String once(House house, Visit visit, String name) {
        return name + "\n" + visit.site() + "/enter/" + house.book().oneTimeToken(name, LINK_LASTS, visit.actor());
    }

    private static Answer change(House house, Visit visit) {
        Optional<Person> person = house.book().find(visit.form("name"));
        if (person.isEmpty()) {
            return people(house, visit, "There is nobody of this name.", "", 409);
        }
        Person before = person.get();
        if (before.name().equals(visit.actor())) {
            return people(
                    house,
                    visit,
                    "You cannot change your own role or leave by yourself: another person does that.",
                    "",
                    409);
        }
        // Whoever is in charge may end anybody's access; that gives nobody a right.
        boolean ends = visit.form("active").equals("no");
        PersonRole role = ends ? before.role() : role(visit).orElse(before.role());
        boolean may = Admission.may(visit.role(), before.role()) && Admission.may(visit.role(), role);
        if (!may && !(ends && visit.role() == PersonRole.IN_CHARGE)) {
            return people(house, visit, notYours(Route.SEALED.contains(before.role()) ? before.role() : role), "", 403);
        }
        boolean active = !ends && (before.active() || visit.form("active").equals("yes"));
        house.book()
                .change(
                        new Person(before.name(), role, before.passwordHash(), active),
                        visit.actor(),
                        Optional.empty());
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
