package org.tenmesh.web.people;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.print.labels.Labels;
import org.tenmesh.store.people.Badge;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.Assets;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Passwords;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.http.WrongPasswords;

/** Signing in at the bench with a badge and a PIN, the lock of a shared tablet, and who gets a badge. */
public final class BadgePages {
    /** Those who may withdraw a badge that was lost: it gives nobody a right. */
    static final Set<PersonRole> WITHDRAW = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);

    /** Digits of a PIN (choice): with {@link WrongPasswords#MOST} tries a quarter of an hour, years of trying. */
    private static final int DIGITS = 6;

    /** Wrong PINs are counted under the badge whatever tablet they are typed on. */
    private static final String ANYWHERE = "badge";

    private BadgePages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/badge", Set.of(), visit -> scan(context, visit, "", 200)),
                Route.post("/badge", Set.of(), visit -> signIn(context, visit)),
                Route.post("/bench-lock", Set.of(PersonRole.BENCH), visit -> lock(context, visit)),
                Route.post("/people/badge", Set.of(PersonRole.IN_CHARGE), visit -> issue(context, visit)),
                Route.post("/people/badge/withdraw", WITHDRAW, visit -> withdraw(context, visit)));
    }

    private static Answer scan(PageContext context, Visit visit, String wrong, int status) {
        return shown(context, visit, wrong, "", false, status);
    }

    private static Answer shown(
            PageContext context, Visit visit, String wrong, String code, boolean chooses, int status) {
        String to = visit.form("to").isEmpty() ? visit.query("to") : visit.form("to");
        boolean locked = visit.query("locked").equals("yes");
        return new Answer.Shown(
                status,
                "badge",
                locked ? "Locked" : "Scan your badge",
                Map.of(
                        "wrong",
                        wrong,
                        "to",
                        to,
                        "code",
                        code,
                        "chooses",
                        chooses,
                        "locked",
                        locked
                                ? "Nobody used this tablet for " + minutes(context.benchLocksAfter())
                                        + ". Scan your badge: the page that was open comes back."
                                : ""));
    }

    private static String minutes(Duration time) {
        long s = time.toSeconds();
        return s % 60 == 0 ? (s == 60 ? "1 minute" : s / 60 + " minutes") : s + " seconds";
    }

    private static Answer lock(PageContext context, Visit visit) {
        context.store().endSession(visit.token());
        return new Answer.Moved("/badge?locked=yes", Optional.of(""));
    }

    private static Answer signIn(PageContext context, Visit visit) {
        String code = visit.form("code").toUpperCase(Locale.ROOT);
        String counted = "badge " + Assets.hash(code).substring(0, 32);
        if (code.isEmpty() || code.length() > 64) {
            return scan(context, visit, "Scan the bars of your badge.", 400);
        }
        if (context.store().failedSignIns(counted, ANYWHERE, WrongPasswords.WAIT) >= WrongPasswords.MOST
                || context.store().failedSignInsFrom(visit.from(), WrongPasswords.WAIT)
                        >= WrongPasswords.MOST_FROM_ADDRESS) {
            return scan(
                    context,
                    visit,
                    "Too many wrong PINs. Wait a quarter of an hour, or ask the person in charge for a new badge.",
                    429);
        }
        Optional<Badge> badge = context.store().badges().find(code);
        boolean chooses = badge.filter(one -> one.pinHash().isEmpty()).isPresent();
        String pin = visit.secret("pin");
        if (pin.isEmpty()) {
            // A code that is no badge gets the same question: only with its PIN does anybody learn whether it is one.
            return shown(context, visit, "", code, chooses, 200);
        }
        if (chooses) {
            return choose(context, visit, badge.get(), code, pin);
        }
        if (!Passwords.right(pin, badge.map(Badge::pinHash).orElse(""))) {
            context.store().signInFailed(counted, ANYWHERE);
            return shown(context, visit, "Wrong badge or PIN.", code, false, 403);
        }
        context.store().signInSucceeded(counted, ANYWHERE);
        return started(context, visit, badge.get().person());
    }

    private static Answer choose(PageContext context, Visit visit, Badge badge, String code, String pin) {
        if (!pin.matches("[0-9]{" + DIGITS + "}")) {
            return shown(context, visit, "A PIN has six digits.", code, true, 400);
        }
        if (easy(pin)) {
            return shown(context, visit, "Choose digits that are harder to guess.", code, true, 400);
        }
        if (!pin.equals(visit.secret("again"))) {
            return shown(context, visit, "The two PINs differ.", code, true, 400);
        }
        context.store().badges().choosePin(code, Passwords.hash(pin));
        return started(context, visit, badge.person());
    }

    /** All digits alike, or one after the other up or down. */
    private static boolean easy(String pin) {
        int step = pin.charAt(1) - pin.charAt(0);
        for (int i = 2; i < pin.length(); i++) {
            if (pin.charAt(i) - pin.charAt(i - 1) != step) {
                return false;
            }
        }
        return Math.abs(step) <= 1;
    }

    private static Answer started(PageContext context, Visit visit, Person person) {
        String token =
                context.store().badges().startSession(person.name(), context.sessionLasts(), context.benchLocksAfter());
        String to = Answer.own(visit.form("to"));
        return new Answer.Moved(to.equals("/") ? "/bench" : to, Optional.of(token));
    }

    private static Answer issue(PageContext context, Visit visit) {
        String name = visit.form("name");
        boolean bench = context.store()
                .find(name)
                .filter(one -> one.active() && one.role() == PersonRole.BENCH)
                .isPresent();
        if (!bench) {
            return Answer.refused(
                    409, "Not done", "A badge is for somebody active who works at the bench. Nothing was done.");
        }
        String code = context.store().badges().issue(name, visit.actor());
        return Answer.shown(
                "badge-issued", "Badge of " + name, Map.of("name", name, "label", Labels.badge(code, name)));
    }

    private static Answer withdraw(PageContext context, Visit visit) {
        return context.store().badges().withdraw(visit.form("name"), visit.actor())
                ? Answer.moved("/people")
                : Answer.refused(409, "Not done", "Nobody of this name has a badge. Nothing was done.");
    }
}
