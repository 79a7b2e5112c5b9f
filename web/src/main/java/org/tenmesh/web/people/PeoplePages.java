package org.tenmesh.web.people;

import java.time.Duration;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonName;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Who may sign in. */
public final class PeoplePages {
    private static final Duration LINK_LASTS = Duration.ofHours(24);

    private PeoplePages() {}

    public static List<Route> routes(PageContext context) {
        Set<PersonRole> keepers = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);
        return List.of(
                Route.get(
                        "/people",
                        Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR),
                        visit -> people(context, visit, "", "", 200)),
                Route.post("/people", keepers, visit -> add(context, visit)),
                Route.post("/people/link", keepers, visit -> link(context, visit)),
                Route.post("/people/change", keepers, visit -> change(context, visit)),
                Route.post("/people/rename", keepers, visit -> rename(context, visit)));
    }

    private static Answer people(PageContext context, Visit visit, String wrong, String link, int status) {
        List<Person> people = context.store().people();
        Map<String, String> proposed = new HashMap<>();
        people.stream()
                .filter(person -> !person.active() && Rights.SEALED.contains(person.role()))
                .forEach(person ->
                        context.store().proposedBy(person.name()).ifPresent(who -> proposed.put(person.name(), who)));
        Map<String, List<String>> former = new HashMap<>();
        context.store()
                .formerNames()
                .forEach(had -> former.computeIfAbsent(had.person(), person -> new ArrayList<>())
                        .add(had.name() + " until " + Words.moment(had.until(), zone(visit))));
        Map<String, String> badges = new HashMap<>();
        context.store().badges().inUse().forEach((name, since) -> badges.put(name, Words.moment(since, zone(visit))));
        return new Answer.Shown(
                status,
                "people",
                "People",
                Map.ofEntries(
                        Map.entry("people", people),
                        Map.entry("badges", badges),
                        Map.entry("issues", Admission.may(visit.role(), PersonRole.BENCH)),
                        Map.entry("withdraws", BadgePages.WITHDRAW.contains(visit.role())),
                        Map.entry("proposed", proposed),
                        Map.entry("former", former),
                        Map.entry("roles", Admission.lookedAfterBy(visit.role())),
                        Map.entry("ends", visit.role() == PersonRole.IN_CHARGE),
                        Map.entry(
                                "quality", people.stream().anyMatch(p -> p.active() && p.role() == PersonRole.QUALITY)),
                        Map.entry("self", visit.actor()),
                        Map.entry("link", link),
                        Map.entry("wrong", wrong)));
    }

    private static ZoneId zone(Visit visit) {
        return visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC);
    }

    private static Optional<PersonRole> role(Visit visit) {
        return List.of(PersonRole.values()).stream()
                .filter(r -> r.word().equals(visit.form("role")))
                .findFirst();
    }

    private static Answer add(PageContext context, Visit visit) {
        String name = visit.form("name");
        Optional<PersonRole> role = role(visit);
        Optional<String> wrong = PersonName.wrong(name);
        if (wrong.isPresent() || role.isEmpty()) {
            return people(context, visit, wrong.orElse("A person needs a role."), "", 400);
        }
        if (!Admission.may(visit.role(), role.get())) {
            return people(context, visit, notYours(role.get()), "", 403);
        }
        if (context.store().find(name).isPresent()) {
            return people(context, visit, "There is a person of the name " + name + " already.", "", 409);
        }
        if (Rights.SEALED.contains(role.get())) {
            context.store().add(new Person(name, role.get(), "", false), visit.actor());
            return Answer.moved("/people");
        }
        context.store().add(new Person(name, role.get(), ""), visit.actor());
        return people(context, visit, "", once(context, visit, name), 200);
    }

    private static Answer link(PageContext context, Visit visit) {
        Optional<Person> person = context.store().find(visit.form("name")).filter(Person::active);
        if (person.isEmpty()) {
            return people(context, visit, "No active person of this name.", "", 409);
        }
        if (!Admission.may(visit.role(), person.get().role())) {
            return people(context, visit, notYours(person.get().role()), "", 403);
        }
        return people(context, visit, "", once(context, visit, person.get().name()), 200);
    }

    private static String notYours(PersonRole role) {
        return "Links and roles of " + role.phrase() + " are given by "
                + (Rights.SEALED.contains(role)
                        ? "quality, because they open the key of the hidden controls."
                        : "whoever is in charge.")
                + " Nothing was done.";
    }

    private static String once(PageContext context, Visit visit, String name) {
        return name + "\n" + visit.site() + "/enter/" + context.store().oneTimeToken(name, LINK_LASTS, visit.actor());
    }

    /** Whoever sees the key is let in by two people: quality asks for it, whoever is in charge agrees. */
    private static Answer lets(PageContext context, Visit visit, Person person) {
        if (visit.role() == PersonRole.QUALITY) {
            context.store().propose(person.name(), visit.actor());
            return Answer.moved("/people");
        }
        Map<String, String> nowCalled =
                context.store().formerNames().stream().collect(Collectors.toMap(FormerName::name, FormerName::person));
        if (context.store()
                .proposedBy(person.name())
                .filter(who -> !nowCalled.getOrDefault(who, who).equals(visit.actor()))
                .isEmpty()) {
            return people(context, visit, notYours(person.role()), "", 403);
        }
        context.store()
                .change(
                        new Person(person.name(), person.role(), person.passwordHash(), true),
                        visit.actor(),
                        Optional.empty());
        return Answer.moved("/people");
    }

    /** A name gives nobody a right, so whoever looks after a role may rename its people, themselves among them. */
    private static Answer rename(PageContext context, Visit visit) {
        Optional<Person> person = context.store().find(visit.form("name"));
        if (person.isEmpty()) {
            return people(context, visit, "There is nobody of this name.", "", 409);
        }
        if (!Admission.may(visit.role(), person.get().role())) {
            return people(context, visit, notYours(person.get().role()), "", 403);
        }
        try {
            context.store().rename(person.get().name(), visit.form("new-name"), visit.actor());
        } catch (Refused refused) {
            return people(context, visit, Words.sentence(String.valueOf(refused.getMessage())) + ".", "", 409);
        }
        return Answer.moved("/people");
    }

    private static Answer change(PageContext context, Visit visit) {
        Optional<Person> person = context.store().find(visit.form("name"));
        if (person.isEmpty()) {
            return people(context, visit, "There is nobody of this name.", "", 409);
        }
        Person before = person.get();
        if (before.name().equals(visit.actor())) {
            return people(
                    context,
                    visit,
                    "You cannot change your own role or deactivate yourself: another person does that.",
                    "",
                    409);
        }
        if (!before.active() && visit.form("active").equals("yes") && Rights.SEALED.contains(before.role())) {
            return lets(context, visit, before);
        }
        // Whoever is in charge may end anybody's access; that gives nobody a right.
        boolean ends = visit.form("active").equals("no");
        PersonRole role = ends ? before.role() : role(visit).orElse(before.role());
        boolean may = Admission.may(visit.role(), before.role()) && Admission.may(visit.role(), role);
        if (!may && !(ends && visit.role() == PersonRole.IN_CHARGE)) {
            return people(
                    context, visit, notYours(Rights.SEALED.contains(before.role()) ? before.role() : role), "", 403);
        }
        boolean asks = role == PersonRole.QUALITY && before.role() != role && before.active();
        boolean active =
                !ends && !asks && (before.active() || visit.form("active").equals("yes"));
        context.store()
                .change(
                        new Person(before.name(), role, before.passwordHash(), active),
                        visit.actor(),
                        Optional.empty());
        if (asks) {
            context.store().propose(before.name(), visit.actor());
        }
        return Answer.moved("/people");
    }
}
