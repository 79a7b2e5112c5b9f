package org.tenmesh.web.programs;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Tokens of other programs: made, listed, withdrawn. */
public final class ProgramPages {
    private static final Set<PersonRole> MAKES = Set.of(PersonRole.IN_CHARGE);
    private static final Set<PersonRole> SEES = Set.of(PersonRole.IN_CHARGE, PersonRole.AUDITOR);

    private ProgramPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/programs", SEES, visit -> page(context, visit, 200, "", "")),
                Route.post("/programs", MAKES, visit -> make(context, visit)),
                Route.post("/programs/withdraw", MAKES, visit -> withdraw(context, visit)));
    }

    /**
     * One token in the table.
     *
     * @param standing {@code opens}, {@code ended} or {@code withdrawn}
     */
    public record Row(
            int id,
            String program,
            List<String> may,
            String sees,
            String standing,
            String ends,
            String made,
            String used,
            String why,
            boolean opens) {
        static Row of(ProgramToken token, Instant now, ZoneId zone) {
            boolean opens = token.opens(now);
            return new Row(
                    token.id(),
                    token.program(),
                    token.scopes().stream().sorted().map(Scope::phrase).toList(),
                    token.ownOnly() ? "what it registered" : "all of register " + token.register(),
                    opens ? "opens" : token.withdrawn().isPresent() ? "withdrawn" : "ended",
                    Words.moment(token.expiresAt(), zone),
                    Words.moment(token.madeAt(), zone) + " by " + token.madeBy(),
                    token.lastUsedAt().map(at -> Words.moment(at, zone)).orElse("never"),
                    token.withdrawn()
                            .map(one -> Words.moment(one.at(), zone) + " by " + one.actor() + ": " + one.reason())
                            .orElse(""),
                    opens);
        }
    }

    private static Answer page(PageContext context, Visit visit, int status, String wrong, String token) {
        Instant now = context.clock().instant();
        ZoneId zone = zone(visit);
        List<Row> rows = context.store().programs().tokens().stream()
                .map(one -> Row.of(one, now, zone))
                .toList();
        return new Answer.Shown(
                status,
                "programs",
                "Programs",
                Map.of(
                        "rows",
                        rows,
                        "scopes",
                        List.of(Scope.values()),
                        "makes",
                        visit.may(MAKES),
                        "wrong",
                        wrong,
                        "token",
                        token,
                        "site",
                        visit.site()));
    }

    private static ZoneId zone(Visit visit) {
        return visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC);
    }

    private static Answer make(PageContext context, Visit visit) {
        Set<Scope> scopes = EnumSet.noneOf(Scope.class);
        List<String> sees = new ArrayList<>(List.of("own", "register"));
        for (Scope scope : Scope.values()) {
            if (!visit.form(scope.word()).isEmpty()) {
                scopes.add(scope);
            }
        }
        if (!sees.contains(visit.form("sees"))) {
            return page(context, visit, 400, "Say which submissions the program sees. Nothing was done.", "");
        }
        Instant ends;
        try {
            // Through the whole of that day, by the laboratory's clock.
            ends = LocalDate.parse(visit.form("ends"))
                    .plusDays(1)
                    .atStartOfDay(zone(visit))
                    .toInstant();
        } catch (DateTimeParseException wrong) {
            return page(context, visit, 400, "The last day is written like 2027-03-31. Nothing was done.", "");
        }
        String token = context.store()
                .programs()
                .make(visit.form("program"), scopes, visit.form("sees").equals("own"), ends, visit.actor());
        return page(context, visit, 200, "", token);
    }

    private static Answer withdraw(PageContext context, Visit visit) {
        String id = visit.form("token");
        if (!id.matches("\\d{1,9}")) {
            return page(context, visit, 400, "No token was named. Nothing was done.", "");
        }
        context.store().programs().withdraw(Integer.parseInt(id), visit.form("reason"), visit.actor());
        return Answer.moved("/programs");
    }
}
