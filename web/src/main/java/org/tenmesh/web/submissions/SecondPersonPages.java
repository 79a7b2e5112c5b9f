package org.tenmesh.web.submissions;

import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Whether somebody else has to sign what a person worked on, and signing that it is so or not. */
public final class SecondPersonPages {
    private SecondPersonPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/second-person", Rights.CLIENTS, visit -> page(context, visit, "", 200)),
                Route.post("/second-person", Rights.ACT, visit -> sign(context, visit)));
    }

    private static Answer page(PageContext context, Visit visit, String wrong, int status) {
        List<SecondPerson> decided = context.store().secondPerson();
        boolean asked =
                decided.stream().findFirst().orElseGet(SecondPerson::shipped).asked();
        return new Answer.Shown(
                status,
                "second-person",
                "Second person",
                Map.of(
                        "asked", asked,
                        "decided",
                                decided.stream()
                                        .map(one -> Words.moment(
                                                        one.at(),
                                                        visit.desk()
                                                                .map(Desk::zone)
                                                                .orElse(ZoneOffset.UTC))
                                                + ", " + one.signedBy() + ": "
                                                + (one.asked() ? "asked for" : "not asked for") + ". " + one.reason())
                                        .toList(),
                        "signs", visit.may(Rights.ACT),
                        "reason", visit.form("reason"),
                        "wrong", wrong));
    }

    private static Answer sign(PageContext context, Visit visit) {
        String nothing = "Nothing was changed.";
        if (!visit.form("asked").matches("yes|no")) {
            return page(context, visit, "Say whether a second person is asked for. " + nothing, 400);
        }
        if (visit.form("reason").isBlank()) {
            return page(context, visit, "This needs a reason, for the journal and every release. " + nothing, 400);
        }
        Optional<PasswordAgain.Wrong> wrong = PasswordAgain.wrong(context, visit, nothing);
        if (wrong.isPresent()) {
            return page(context, visit, wrong.get().says(), wrong.get().status());
        }
        try {
            context.store().signSecondPerson(visit.form("asked").equals("yes"), visit.form("reason"), visit.actor());
        } catch (Refused refused) {
            return page(context, visit, Words.sentence(String.valueOf(refused.getMessage())) + ".", 409);
        }
        return Answer.moved("/second-person");
    }
}
