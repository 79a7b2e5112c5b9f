package org.tenmesh.web.custody;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiConsumer;
import java.util.function.Function;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;

/** Lists of areas and permits: drafted in versions, signed with the password, an origin looked up. */
final class PaperPages {
    private static final Set<PersonRole> DRAFTS = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);
    private static final Set<PersonRole> READS = Set.of(
            PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR, PersonRole.BENCH, PersonRole.CLIENT_SERVICE);

    /** The paper that a form changes, in its first draft listed, and the newest version that was looked at; none and 0 for a new one. */
    private record Changed<P>(Optional<P> paper, int seen) {
        static <P> Changed<P> of(List<Draft<P>> drafts, Visit visit) {
            List<Draft<P>> its = drafts.stream()
                    .filter(one -> one.name().equals(visit.query("change")))
                    .toList();
            return new Changed<>(
                    its.stream().findFirst().map(Draft::paper),
                    its.stream().mapToInt(Draft::version).max().orElse(0));
        }
    }

    private final PageContext context;

    private PaperPages(PageContext context) {
        this.context = context;
    }

    static List<Route> routes(PageContext context) {
        PaperPages pages = new PaperPages(context);
        return List.of(
                Route.get("/regulated/areas", READS, pages::areas),
                Route.get("/regulated/permits", READS, pages::permits),
                Route.post("/regulated/areas", DRAFTS, pages::draftAreas),
                Route.post("/regulated/permits", DRAFTS, pages::draftPermit),
                Route.post("/regulated/sign", DRAFTS, pages::sign));
    }

    private CustodyStore store() {
        return context.store().custody();
    }

    private Answer areas(Visit visit) {
        Account account = Account.of(context, visit);
        List<Draft<AreaList>> drafts = store().areaLists();
        Changed<AreaList> changed = Changed.of(drafts, visit);
        return Answer.shown(
                "areas",
                "Lists of areas",
                Map.of(
                        "drafts", drafts,
                        "inForce", account.areas().lists(),
                        "form", changed.paper().map(PaperPages::fields).orElse(Map.of()),
                        "seen", changed.seen(),
                        "today", account.today().toString(),
                        "may", visit.may(DRAFTS),
                        "sees", visit.may(Account.SEES),
                        "asked", asked(visit, account)));
    }

    /** What the lists that are in force say of the origin in the address; empty text where none is asked. */
    private static String asked(Visit visit, Account account) {
        if (visit.query("country").isEmpty() && visit.query("region").isEmpty()) {
            return "";
        }
        Origin origin = Origin.written(
                Optional.of(visit.query("country")).filter(text -> !text.isEmpty()),
                List.of(visit.query("region"), visit.query("county")));
        Areas.Answer answer = account.areas().lookUp(origin);
        return "Looked up on " + account.today() + ": " + account.areas().lookedUp(origin) + ". " + answer.words();
    }

    private static Map<String, String> fields(AreaList list) {
        return Map.ofEntries(
                Map.entry("name", list.name()),
                Map.entry("authority", list.authority()),
                Map.entry("pest", list.pest()),
                Map.entry("rule", list.rule()),
                Map.entry(
                        "covers",
                        String.join(", ", list.covers().stream().sorted().toList())),
                Map.entry("elsewhere", list.everywhereElse() ? "yes" : ""),
                Map.entry("areas", Typed.text(list.areas())),
                Map.entry("free", Typed.text(list.free())),
                Map.entry("source", list.source()),
                Map.entry("asOf", list.asOf().toString()),
                Map.entry("reviewBy", list.reviewBy().toString()));
    }

    private Answer permits(Visit visit) {
        Account account = Account.of(context, visit);
        List<Draft<Permit>> drafts = store().permits();
        Changed<Permit> changed = Changed.of(drafts, visit);
        return Answer.shown(
                "permits",
                "Permits",
                Map.of(
                        "drafts", drafts,
                        "inForce", account.permits().permits(),
                        "warnings", account.permits().warnings(),
                        "form", changed.paper().map(PaperPages::fields).orElse(Map.of()),
                        "seen", changed.seen(),
                        "today", account.today().toString(),
                        "may", visit.may(DRAFTS),
                        "sees", visit.may(Account.SEES)));
    }

    private static Map<String, String> fields(Permit permit) {
        return Map.ofEntries(
                Map.entry("number", permit.number()),
                Map.entry("kind", permit.kind().name()),
                Map.entry("authority", permit.authority()),
                Map.entry("holder", permit.holder()),
                Map.entry("site", permit.site()),
                Map.entry("origins", Typed.text(permit.origins())),
                Map.entry(
                        "lists",
                        String.join("; ", permit.lists().stream().sorted().toList())),
                Map.entry("analyses", permit.analyses().toString()),
                Map.entry(
                        "mostG",
                        permit.mostG().isPresent()
                                ? Long.toString(permit.mostG().getAsLong())
                                : "none"),
                Map.entry("handCarried", permit.handCarried() ? "yes" : ""),
                Map.entry("issued", permit.issued().toString()),
                Map.entry("amended", permit.amended().map(LocalDate::toString).orElse("")),
                Map.entry("expires", permit.expires().toString()),
                Map.entry("warnDays", Integer.toString(permit.warnDays())),
                Map.entry(
                        "storageDays",
                        permit.storageDays().isPresent()
                                ? Integer.toString(permit.storageDays().getAsInt())
                                : "none"),
                Map.entry(
                        "retentionYears",
                        permit.retentionYears().isPresent()
                                ? Integer.toString(permit.retentionYears().getAsInt())
                                : "none"),
                Map.entry("treatments", Typed.treatmentText(permit.treatments())),
                Map.entry("label", permit.label()),
                Map.entry("effluent", permit.effluent()),
                Map.entry("conditions", String.join("\n", permit.conditions())),
                Map.entry("contact", permit.contact()));
    }

    private Answer draftAreas(Visit visit) {
        return draft(
                visit,
                Typed::areaList,
                (list, version) -> store().draft(
                                list,
                                version,
                                visit.form("reason"),
                                visit.actor(),
                                context.clock().instant()),
                "/regulated/areas");
    }

    private Answer draftPermit(Visit visit) {
        return draft(
                visit,
                Typed::permit,
                (permit, version) -> store().draft(
                                permit,
                                version,
                                visit.form("reason"),
                                visit.actor(),
                                context.clock().instant()),
                "/regulated/permits");
    }

    private static <P> Answer draft(Visit visit, Function<Visit, P> typed, BiConsumer<P, Integer> keep, String back) {
        try {
            keep.accept(typed.apply(visit), seen(visit));
            return Answer.moved(back);
        } catch (Typed.Wrong wrong) {
            return Answer.refused(400, "Not kept", String.valueOf(wrong.getMessage()));
        }
    }

    private static int seen(Visit visit) {
        return Typed.whole("version that was looked at", visit.form("seen"));
    }

    private Answer sign(Visit visit) {
        Papers.Kind kind = visit.form("kind").equals("permit") ? Papers.Kind.PERMIT : Papers.Kind.AREAS;
        try {
            LocalDate from = Typed.date("first day", visit.form("from"));
            int version = Typed.whole("version", visit.form("version"));
            Optional<PasswordAgain.Wrong> wrong = PasswordAgain.wrong(context, visit, "Nothing was signed.");
            if (wrong.isPresent()) {
                return Answer.refused(
                        wrong.get().status(), "Not signed", wrong.get().says());
            }
            store().sign(
                            kind,
                            visit.form("name"),
                            version,
                            from,
                            Account.of(context, visit).today(),
                            visit.actor(),
                            context.clock().instant());
        } catch (Typed.Wrong wrong) {
            return Answer.refused(400, "Not signed", String.valueOf(wrong.getMessage()));
        }
        return Answer.moved(kind == Papers.Kind.PERMIT ? "/regulated/permits" : "/regulated/areas");
    }
}
