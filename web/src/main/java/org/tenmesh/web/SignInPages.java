package org.tenmesh.web;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.store.Person;
import org.tenmesh.store.PersonRole;

/** Signing in, by password or by a link that works once; the own password; the look. */
final class SignInPages {
    /** Wrong passwords under one name from one address in a quarter of an hour before it must wait: common practice. */
    static final int MOST_FAILURES = 5;

    /** The same from one address under all names: more than a laboratory behind one address mistypes. */
    private static final int MOST_FAILURES_FROM = 40;

    static final Duration WAIT = Duration.ofMinutes(15);

    private SignInPages() {}

    static List<Route> routes(House house) {
        Set<PersonRole> everybody = Set.of();
        return List.of(
                Route.get("/", Route.ALL, visit -> Answer.moved(home(visit.role()))),
                Route.get("/sign-in", everybody, visit -> signIn(visit, "", visit.query("to"), 200)),
                Route.post("/sign-in", everybody, visit -> signInWith(house, visit)),
                Route.get(
                        "/enter/{token}",
                        everybody,
                        visit -> Answer.shown("enter", "Sign in once", Map.of("token", visit.part("token")))),
                Route.post("/enter/{token}", everybody, visit -> enter(house, visit)),
                Route.post("/sign-out", Route.ALL, visit -> {
                    house.book().endSession(visit.token());
                    return new Answer.Moved("/sign-in", Optional.of(""));
                }),
                Route.get("/password", Route.ALL, visit -> password(house, visit, "")),
                Route.post("/password", Route.ALL, visit -> changePassword(house, visit)),
                Route.post("/look", everybody, SignInPages::look));
    }

    /** Under what wrong passwords of a running session are counted: nobody outside it can make it wait. */
    static String signing(Visit visit) {
        return "session " + Assets.hash(visit.token());
    }

    /** Where somebody of this role begins. */
    static String home(PersonRole role) {
        return switch (role) {
            case IN_CHARGE, QUALITY, AUDITOR -> "/today";
            case BENCH -> "/bench";
            case CLIENT_SERVICE -> "/submissions";
        };
    }

    private static Answer signIn(Visit visit, String wrong, String to, int status) {
        return new Answer.Shown(
                status, "sign-in", "Sign in", Map.of("wrong", wrong, "to", to, "name", visit.form("name")));
    }

    private static Answer signInWith(House house, Visit visit) {
        String name = visit.form("name");
        String to = visit.form("to");
        if (name.isEmpty() || name.length() > 80) {
            return signIn(visit, "Give the name you are known by here.", to, 400);
        }
        if (house.book().failedSignIns(name, visit.from(), WAIT) >= MOST_FAILURES
                || house.book().failedSignInsFrom(visit.from(), WAIT) >= MOST_FAILURES_FROM) {
            return signIn(
                    visit,
                    "Too many wrong passwords from here. Wait a quarter of an hour, or ask the person in charge for a link "
                            + "that signs you in once.",
                    to,
                    429);
        }
        Optional<Person> person = house.book().find(name).filter(Person::active);
        boolean right = Passwords.right(
                visit.secret("password"), person.map(Person::passwordHash).orElse(""));
        if (!right || person.isEmpty()) {
            house.book().signInFailed(name, visit.from());
            return signIn(visit, "Name and password do not belong together. Nothing else was done.", to, 403);
        }
        house.book().signInSucceeded(name, visit.from());
        return started(house, person.get(), safe(to), Optional.empty());
    }

    private static Answer enter(House house, Visit visit) {
        return house.book()
                .redeem(visit.part("token"))
                .map(used -> started(house, used.person(), "/password", Optional.of(used.issuer())))
                .orElseGet(() -> Answer.refused(
                        410,
                        "This link is used up",
                        "A sign-in link works once and for a short time. Sign in with your password, or ask for a new "
                                + "link."));
    }

    private static Answer started(House house, Person person, String to, Optional<String> linkIssuer) {
        String token = house.book().startSession(person.name(), house.settings().sessionLasts(), linkIssuer);
        return new Answer.Moved(to, Optional.of(token));
    }

    /** Only an address of these pages; anything else leads home. */
    static String safe(String to) {
        return to.matches("/[A-Za-z0-9._~%/-]*") && !to.startsWith("//") ? to : "/";
    }

    private static Answer password(House house, Visit visit, String wrong) {
        boolean has = house.book()
                .find(visit.actor())
                .map(p -> !p.passwordHash().isEmpty())
                .orElse(false);
        boolean byLink = visit.linkIssuer().isPresent();
        return new Answer.Shown(
                wrong.isEmpty() ? 200 : 400,
                "password",
                "Your password",
                Map.of("wrong", wrong, "has", has && !byLink, "another", has && byLink, "least", Passwords.LEAST));
    }

    private static Answer changePassword(House house, Visit visit) {
        Person person = house.book().find(visit.actor()).orElseThrow();
        String fresh = visit.secret("fresh");
        if (!person.passwordHash().isEmpty() && visit.linkIssuer().isEmpty()) {
            if (house.book().failedSignIns(person.name(), signing(visit), WAIT) >= MOST_FAILURES) {
                return password(house, visit, "Too many wrong passwords. Wait a quarter of an hour.");
            }
            if (!Passwords.right(visit.secret("old"), person.passwordHash())) {
                house.book().signInFailed(person.name(), signing(visit));
                return password(house, visit, "The old password is not right. Nothing was changed.");
            }
        }
        if (fresh.length() < Passwords.LEAST || fresh.length() > Passwords.MOST) {
            return password(
                    house,
                    visit,
                    "The new password has " + fresh.length() + " characters; it needs " + Passwords.LEAST + " or more ("
                            + Passwords.MOST + " at most). Four words do well. Nothing was changed.");
        }
        if (!fresh.equals(visit.secret("again"))) {
            return password(house, visit, "The two new passwords differ. Nothing was changed.");
        }
        house.book()
                .change(
                        new Person(person.name(), person.role(), Passwords.hash(fresh), person.active()),
                        visit.actor(),
                        visit.linkIssuer());
        house.book().signInSucceeded(person.name(), visit.from());
        return started(house, person, "/", Optional.empty());
    }

    private static Answer look(Visit visit) {
        String look = visit.form("look");
        return new Answer.Look(look.equals("light") || look.equals("dark") ? look : "", safe(visit.form("back")));
    }
}
