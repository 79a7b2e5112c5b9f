package org.tenmesh.web.custody;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.exchange.readers.TemperatureLines;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Charges: opened, loaded by scan, recorded, closed, signed by two people, what is left released. */
final class ChargePages {
    private static final Set<PersonRole> SIGNS = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);

    private final PageContext context;

    private ChargePages(PageContext context) {
        this.context = context;
    }

    static List<Route> routes(PageContext context) {
        ChargePages pages = new ChargePages(context);
        return List.of(
                Route.get("/regulated/charges/{charge}", Account.SEES, pages::show),
                Route.post("/regulated/charge/open", Account.WORKS, visit -> Typed.answered(() -> pages.open(visit))),
                Route.post("/regulated/charge/load", Account.WORKS, visit -> Typed.answered(() -> pages.load(visit))),
                Route.post(
                        "/regulated/charge/unload", Account.WORKS, visit -> Typed.answered(() -> pages.unload(visit))),
                Route.file(
                        "/regulated/charge/record", Account.WORKS, visit -> Typed.answered(() -> pages.record(visit))),
                Route.post("/regulated/charge/close", Account.WORKS, visit -> Typed.answered(() -> pages.close(visit))),
                Route.post("/regulated/charge/sign", SIGNS, visit -> Typed.answered(() -> pages.sign(visit))),
                Route.post("/regulated/charge/release", SIGNS, visit -> Typed.answered(() -> pages.release(visit))));
    }

    private CustodyStore store() {
        return context.store().custody();
    }

    private Optional<ChargeState> find(String name) {
        return store().charges().stream()
                .filter(one -> one.charge().name().equals(name))
                .findFirst();
    }

    private List<String> recorders(String device) {
        return context.capture().stream()
                .flatMap(capture -> capture.recorders().stream())
                .filter(source -> source.instrument().equals(device))
                .map(Source::name)
                .toList();
    }

    private static Answer to(String charge) {
        return Answer.moved("/regulated/charges/" + Words.part(charge));
    }

    private Answer show(Visit visit) {
        ZoneId zone = Account.of(context, visit).zone();
        return find(visit.part("charge"))
                .map(state -> Answer.shown(
                        "charge",
                        "Charge " + state.charge().name(),
                        Map.of(
                                "view",
                                        ChargeView.of(
                                                state,
                                                recorders(state.charge().device()),
                                                context.clock().instant(),
                                                zone),
                                "works", visit.may(Account.WORKS),
                                "signs", visit.may(SIGNS))))
                .orElseGet(Answer::notFound);
    }

    private Answer open(Visit visit) {
        Account account = Account.of(context, visit);
        String[] chosen = visit.form("treatment").split("\\|", 2);
        Signed<Permit> permit = account.permits().permits().stream()
                .filter(one -> one.name().equals(chosen[0]))
                .findFirst()
                .orElseThrow(
                        () -> new Typed.Wrong("Choose a treatment of a permit that is in force. Nothing was opened."));
        Treatment treatment = permit.paper()
                .treatment(chosen.length < 2 ? "" : chosen[1])
                .orElseThrow(() ->
                        new Typed.Wrong("The permit " + chosen[0] + " has no such treatment. Nothing was opened."));
        Charge charge = new Charge(
                visit.form("name"),
                visit.form("device").strip(),
                permit.name(),
                permit.version(),
                treatment,
                Arrays.stream(visit.form("sensors").split("[,;]"))
                        .map(String::strip)
                        .filter(one -> !one.isEmpty())
                        .toList(),
                Typed.number("uncertainty of the sensors", visit.form("uncertainty")),
                visit.actor(),
                context.clock().instant());
        store().open(charge, account.today());
        return to(charge.name());
    }

    /** Codes that were scanned; the name of a place stands for everything that the account has there. */
    private Answer load(Visit visit) {
        Account account = Account.of(context, visit);
        Set<String> codes = new LinkedHashSet<>();
        for (String scanned : visit.form("codes").split("\\R")) {
            String code = scanned.strip();
            if (code.isEmpty()) {
                continue;
            }
            List<String> there = account.ledger().here().stream()
                    .filter(held ->
                            held.state() == Held.State.HELD && held.place().equals(code))
                    .map(Held::code)
                    .toList();
            if (account.ledger().portion(code).isEmpty() && there.isEmpty()) {
                throw new Typed.Wrong(code + " is neither a portion nor a place of the account. Nothing was loaded.");
            }
            codes.addAll(account.ledger().portion(code).isPresent() ? List.of(code) : there);
        }
        store().load(
                        visit.form("charge"),
                        new ArrayList<>(codes),
                        visit.actor(),
                        context.clock().instant());
        return to(visit.form("charge"));
    }

    private Answer unload(Visit visit) {
        store().unload(
                        visit.form("charge"),
                        visit.form("code"),
                        visit.actor(),
                        context.clock().instant());
        return to(visit.form("charge"));
    }

    private Answer record(Visit visit) {
        ZoneId zone = Account.of(context, visit).zone();
        Optional<Visit.Upload> file =
                Optional.ofNullable(visit.files().get("record")).filter(one -> one.bytes().length > 0);
        String text =
                file.map(one -> new String(one.bytes(), StandardCharsets.UTF_8)).orElse(visit.form("points"));
        store().record(
                        visit.form("charge"),
                        file.map(Visit.Upload::name).orElse("typed"),
                        Typed.points(text, zone),
                        visit.actor(),
                        context.clock().instant());
        return to(visit.form("charge"));
    }

    private Answer close(Visit visit) {
        ZoneId zone = Account.of(context, visit).zone();
        ChargeState state = find(visit.form("charge"))
                .orElseThrow(
                        () -> new Typed.Wrong("There is no charge " + visit.form("charge") + ". Nothing was closed."));
        Instant opened;
        try {
            opened = TemperatureLines.moment(visit.form("opened"), zone);
        } catch (DateTimeParseException wrong) {
            throw new Typed.Wrong("When the device was opened again is written like 2026-11-25 10:45, found \""
                    + visit.form("opened") + "\". Nothing was closed.");
        }
        Set<String> confirmed = new LinkedHashSet<>();
        List<String> asked = state.charge().treatment().confirm();
        for (int i = 0; i < asked.size(); i++) {
            if (visit.form("confirm-" + i).equals("yes")) {
                confirmed.add(asked.get(i));
            }
        }
        store().close(
                        visit.form("charge"),
                        opened,
                        confirmed,
                        visit.actor(),
                        context.clock().instant());
        return to(visit.form("charge"));
    }

    private Answer sign(Visit visit) {
        Optional<PasswordAgain.Wrong> wrong = PasswordAgain.wrong(context, visit, "Nothing was signed.");
        if (wrong.isPresent()) {
            return Answer.refused(
                    wrong.get().status(), "Not signed", wrong.get().says());
        }
        store().sign(visit.form("charge"), visit.actor(), context.clock().instant());
        return to(visit.form("charge"));
    }

    private Answer release(Visit visit) {
        if (visit.form("carrier").isEmpty() || visit.form("destination").isEmpty()) {
            throw new Typed.Wrong("Say who took the residue and where to. Nothing was released.");
        }
        store().release(
                        visit.form("charge"),
                        new ChargeState.Residue(
                                visit.form("carrier"),
                                visit.form("destination"),
                                visit.form("ticket"),
                                visit.actor(),
                                context.clock().instant()));
        return to(visit.form("charge"));
    }
}
