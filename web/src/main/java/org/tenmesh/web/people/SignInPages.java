package org.tenmesh.web.people;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Passwords;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.http.WrongPasswords;

/** Signing in, by password or by a link that works once; the own password; the look. */
public final class SignInPages {
    private SignInPages() {}

    public static List<Route> routes(PageContext context) {
        Set<PersonRole> everybody = Set.of();
        return List.of(
                Route.get("/", Rights.ALL, visit -> Answer.moved(home(visit.role()))),
                Route.get(
                        "/sign-in",
                        everybody,
                        visit -> signIn(context, visit, "", visit.query("to"), SentForm.none(), 200)),
                Route.post("/sign-in", everybody, visit -> signInWith(context, visit)),
                Route.post("/sign-in/visitor", everybody, visit -> signInAs(context, visit)),
                Route.get(
                        "/enter/{token}",
                        everybody,
                        visit -> Answer.shown("enter", "Sign in once", Map.of("token", visit.part("token")))),
                Route.post("/enter/{token}", everybody, visit -> enter(context, visit)),
                Route.post("/sign-out", Rights.ALL, visit -> {
                    context.store().endSession(visit.token());
                    return new Answer.Moved("/sign-in", Optional.of(""));
                }),
                Route.get("/password", Rights.ALL, visit -> password(context, visit, "")),
                Route.post("/password", Rights.ALL, visit -> changePassword(context, visit)),
                Route.post("/look", everybody, SignInPages::look));
    }

    /** Where somebody of this role begins. */
    public static String home(PersonRole role) {
        return switch (role) {
            case IN_CHARGE, QUALITY, AUDITOR -> "/today";
            case BENCH -> "/bench";
            case CLIENT_SERVICE -> "/submissions";
        };
    }

    /** The sign-in ended before somebody sent a form: sign in, then it can be sent again. */
    public static Answer ended(PageContext context, Visit visit, SentForm sent) {
        return signIn(
                context,
                visit,
                "Your sign-in has ended and nothing was done yet. Sign in: what you sent is kept and you are asked once more.",
                "",
                sent,
                403);
    }

    private static Answer signIn(PageContext context, Visit visit, String wrong, String to, SentForm sent, int status) {
        return new Answer.Shown(
                status,
                "sign-in",
                "Sign in",
                Map.of(
                        "wrong",
                        wrong,
                        "to",
                        to,
                        "kept",
                        sent.kept(),
                        "name",
                        sent.isEmpty() || visit.form("again").equals(sent.to()) ? visit.form("name") : "",
                        "visitors",
                        context.visitorsMayBe().stream()
                                .flatMap(name -> visitor(context, name).stream())
                                .toList()));
    }

    /** Somebody as whom a visitor of a demonstration may look around. */
    private static Optional<Person> visitor(PageContext context, String name) {
        return context.visitorsMayBe().contains(name)
                ? context.store().find(name).filter(Person::active)
                : Optional.empty();
    }

    private static Answer signInAs(PageContext context, Visit visit) {
        return visitor(context, visit.form("name"))
                .map(person -> started(context, person, home(person.role()), Optional.empty()))
                .orElseGet(Answer::notFound);
    }

    private static Answer signInWith(PageContext context, Visit visit) {
        String name = visit.form("name");
        String to = visit.form("to");
        SentForm sent = SentForm.from(visit.form());
        if (name.isEmpty() || name.length() > 80) {
            return signIn(context, visit, "Give the name you are known by here.", to, sent, 400);
        }
        if (context.store().failedSignIns(name, visit.from(), WrongPasswords.WAIT) >= WrongPasswords.MOST
                || context.store().failedSignInsFrom(visit.from(), WrongPasswords.WAIT)
                        >= WrongPasswords.MOST_FROM_ADDRESS) {
            return signIn(
                    context,
                    visit,
                    "Too many wrong passwords from here. Wait a quarter of an hour, or ask the person in charge for a link "
                            + "that signs you in once.",
                    to,
                    sent,
                    429);
        }
        Optional<Person> person = context.store().find(name).filter(Person::active);
        boolean right = Passwords.right(
                visit.secret("password"), person.map(Person::passwordHash).orElse(""));
        if (!right || person.isEmpty()) {
            context.store().signInFailed(name, visit.from());
            return signIn(context, visit, "Wrong name or password.", to, sent, 403);
        }
        context.store().signInSucceeded(name, visit.from());
        return sent.isEmpty() || !Answer.own(sent.to()).equals(sent.to())
                ? started(context, person.get(), Answer.own(to), Optional.empty())
                : new Answer.Entered(
                        context.store().startSession(person.get().name(), context.sessionLasts(), Optional.empty()),
                        new Answer.Shown(200, "again", "Once more", Map.of("sent", sent)));
    }

    private static Answer enter(PageContext context, Visit visit) {
        return context.store()
                .redeem(visit.part("token"))
                .map(used -> started(
                        context,
                        used.person(),
                        used.person().passwordHash().isEmpty()
                                ? "/password"
                                : home(used.person().role()),
                        Optional.of(used.issuer())))
                .orElseGet(() -> Answer.refused(
                        410,
                        "This link is used up",
                        "A sign-in link works once and for a short time. Sign in with your password, or ask for a new "
                                + "link."));
    }

    private static Answer started(PageContext context, Person person, String to, Optional<String> linkIssuer) {
        String token = context.store().startSession(person.name(), context.sessionLasts(), linkIssuer);
        return new Answer.Moved(to, Optional.of(token));
    }

    private static Answer password(PageContext context, Visit visit, String wrong) {
        boolean has = context.store()
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

    private static Answer changePassword(PageContext context, Visit visit) {
        Person person = context.store().find(visit.actor()).orElseThrow();
        String fresh = visit.secret("fresh");
        if (!person.passwordHash().isEmpty() && visit.linkIssuer().isEmpty()) {
            if (context.store().failedSignIns(person.name(), WrongPasswords.of(visit), WrongPasswords.WAIT)
                    >= WrongPasswords.MOST) {
                return password(context, visit, "Too many wrong passwords. Wait a quarter of an hour.");
            }
            if (!Passwords.right(visit.secret("old"), person.passwordHash())) {
                context.store().signInFailed(person.name(), WrongPasswords.of(visit));
                return password(context, visit, "The old password is not right. Nothing was changed.");
            }
        }
        if (fresh.length() < Passwords.LEAST || fresh.length() > Passwords.MOST) {
            return password(
                    context,
                    visit,
                    "The new password has " + fresh.length() + " characters; it needs " + Passwords.LEAST + " or more ("
                            + Passwords.MOST + " at most). Four words do well. Nothing was changed.");
        }
        if (!fresh.equals(visit.secret("again"))) {
            return password(context, visit, "The two new passwords differ. Nothing was changed.");
        }
        context.store()
                .change(
                        new Person(person.name(), person.role(), Passwords.hash(fresh), person.active()),
                        visit.actor(),
                        visit.linkIssuer());
        context.store().signInSucceeded(person.name(), visit.from());
        return started(context, person, "/", Optional.empty());
    }

    private static Answer look(Visit visit) {
        String look = visit.form("look");
        return new Answer.Look(look.equals("light") || look.equals("dark") ? look : "", Answer.own(visit.form("back")));
    }
}
