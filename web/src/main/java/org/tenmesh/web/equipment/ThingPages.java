package org.tenmesh.web.equipment;

import java.time.Instant;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Function;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Cleanliness;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Lots and equipment: registered, found by a scan, noted, and let stand where somebody answers for it. */
public final class ThingPages {
    private static final Set<PersonRole> NOTES =
            Set.copyOf(EnumSet.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH));

    private final PageContext context;

    private ThingPages(PageContext context) {
        this.context = context;
    }

    public static List<Route> routes(PageContext context) {
        ThingPages pages = new ThingPages(context);
        return List.of(
                Route.get("/lots", Rights.TRAYS, visit -> pages.withDay(visit, desk -> pages.lots(visit, desk, ""))),
                Route.get(
                        "/lots/{lot}",
                        Rights.TRAYS,
                        visit -> pages.withDay(visit, desk -> pages.lot(visit, desk, visit.part("lot"), ""))),
                Route.get(
                        "/equipment",
                        Rights.TRAYS,
                        visit -> pages.withDay(visit, desk -> pages.equipment(visit, desk, ""))),
                Route.get(
                        "/equipment/{equipment}",
                        Rights.TRAYS,
                        visit -> pages.withDay(visit, desk -> pages.one(visit, desk, visit.part("equipment"), ""))),
                Route.post("/lots", NOTES, visit -> pages.withDay(visit, desk -> pages.registerLot(visit, desk))),
                Route.post(
                        "/equipment",
                        NOTES,
                        visit -> pages.withDay(visit, desk -> pages.registerEquipment(visit, desk))),
                Route.post("/lots/note", NOTES, visit -> pages.withDay(visit, desk -> pages.note(visit, desk))),
                Route.post("/lots/use", NOTES, visit -> pages.withDay(visit, desk -> pages.use(visit, desk))),
                Route.post(
                        "/lots/let-stand",
                        Rights.ACT,
                        visit -> pages.withDay(visit, desk -> pages.letStand(visit, desk))));
    }

    private Answer withDay(Visit visit, Function<Desk, Answer> page) {
        return PageContext.withDay(visit, page);
    }

    private Answer lots(Visit visit, Desk desk, String wrong) {
        String scanned = visit.query("q").strip();
        if (desk.holds().register().lot(scanned).isPresent()) {
            return Answer.moved("/lots/" + Words.part(scanned));
        }
        return new Answer.Shown(
                wrong.isEmpty() ? 200 : 409,
                "lots",
                "Lots",
                Map.of(
                        "lots",
                        ThingView.lots(desk, now()),
                        "notes",
                        visit.may(NOTES),
                        "scanned",
                        scanned,
                        "typed",
                        visit.form(),
                        "methods",
                        desk.methods().ids(),
                        "wrong",
                        wrong));
    }

    private Answer equipment(Visit visit, Desk desk, String wrong) {
        String scanned = visit.query("q").strip();
        if (desk.holds().register().equipment(scanned).isPresent()) {
            return Answer.moved("/equipment/" + Words.part(scanned));
        }
        return new Answer.Shown(
                wrong.isEmpty() ? 200 : 409,
                "equipment",
                "Equipment",
                Map.of(
                        "equipment",
                        ThingView.equipment(desk, now()),
                        "instruments",
                        List.copyOf(desk.instruments().keySet()),
                        "notes",
                        visit.may(NOTES),
                        "scanned",
                        scanned,
                        "typed",
                        visit.form(),
                        "wrong",
                        wrong));
    }

    private Answer lot(Visit visit, Desk desk, String name, String wrong) {
        return desk.holds()
                .register()
                .lot(name)
                .map(lot -> thing(visit, desk, ThingView.of(desk, lot, now()), wrong, lotActs()))
                .orElseGet(Answer::notFound);
    }

    private Answer one(Visit visit, Desk desk, String name, String wrong) {
        return desk.holds()
                .register()
                .equipment(name)
                .map(one -> thing(visit, desk, ThingView.of(desk, one, now()), wrong, equipmentActs()))
                .orElseGet(Answer::notFound);
    }

    private Answer thing(Visit visit, Desk desk, ThingView view, String wrong, List<Act.What> acts) {
        return new Answer.Shown(
                wrong.isEmpty() ? 200 : 409,
                "thing",
                Words.sentence(view.thing().kind().word()) + " " + view.thing().name(),
                Map.of(
                        "view",
                        view,
                        "cleaning",
                        desk.holds()
                                .register()
                                .equipment(view.thing().name())
                                .filter(one -> view.thing().kind() == Thing.Kind.EQUIPMENT
                                        && one.kind() == Equipment.Kind.GRINDER)
                                .map(one -> cleaning(one.name(), desk))
                                .orElse(""),
                        "acts",
                        acts,
                        "notes",
                        visit.may(NOTES),
                        "decides",
                        visit.may(Rights.ACT),
                        "looksBack",
                        visit.may(Rights.FLOOR),
                        "methods",
                        desk.methods().ids(),
                        "typed",
                        visit.form(),
                        "wrong",
                        wrong));
    }

    /** How clean a mill is, as the bench noted it. */
    private String cleaning(String mill, Desk desk) {
        List<BenchAct> acts = context.store().bench().sinceCleaned(mill);
        String soil = Cleanliness.uncleaned(acts)
                .map(act -> "Regulated soil of rack " + act.subject().code() + " was ground in it (" + noted(act, desk)
                        + "), and its cleaning is not noted: it refuses ordinary soil.")
                .orElse("No regulated soil since it was cleaned last.");
        return acts.stream()
                .filter(act -> act.what() == BenchAct.What.CLEANED)
                .reduce((first, last) -> last)
                .map(act -> soil + " Cleaned last: " + noted(act, desk) + ".")
                .orElse(soil + " No cleaning is noted.");
    }

    private static String noted(BenchAct act, Desk desk) {
        return act.person() + ", " + Words.moment(act.deviceAt(), desk.zone());
    }

    private static List<Act.What> lotActs() {
        return List.of(Act.What.OPENED, Act.What.TAKEN_INTO_USE, Act.What.USED_UP);
    }

    private static List<Act.What> equipmentActs() {
        return List.of(Act.What.OUT_OF_SERVICE, Act.What.BACK_IN_SERVICE);
    }

    private Answer registerLot(Visit visit, Desk desk) {
        return tried(() ->
                        context.store().equipment().register(typed(visit, desk).lot()))
                .map(wrong -> lots(visit, desk, wrong))
                .orElseGet(() -> Answer.moved("/lots/" + Words.part(visit.form("name"))));
    }

    private Answer registerEquipment(Visit visit, Desk desk) {
        return tried(() ->
                        context.store().equipment().register(typed(visit, desk).equipment()))
                .map(wrong -> equipment(visit, desk, wrong))
                .orElseGet(() -> Answer.moved("/equipment/" + Words.part(visit.form("name"))));
    }

    /** One act, or one check, of a thing; what comes of it is on its page. */
    private Answer note(Visit visit, Desk desk) {
        return onItsPage(visit, desk, thing -> {
            Act.What what = Act.What.of(visit.form("what"))
                    .orElseThrow(() -> new IllegalArgumentException("choose what happened"));
            Typed typed = typed(visit, desk);
            context.store()
                    .equipment()
                    .note(new Act(
                            0,
                            thing,
                            what,
                            visit.form("about"),
                            typed.number("value"),
                            !visit.form("outcome").equals("failed"),
                            visit.form("says"),
                            typed.at(),
                            visit.actor(),
                            now()));
        });
    }

    private Answer use(Visit visit, Desk desk) {
        return onItsPage(visit, desk, thing -> {
            Typed typed = typed(visit, desk);
            // A tray of an earlier day has a blank in its name; it stands alone.
            List<String> codes =
                    desk.tray(visit.form("codes")).isPresent() ? List.of(visit.form("codes")) : typed.names("codes");
            if (codes.isEmpty()) {
                throw new IllegalArgumentException("scan or type the trays or runs it was used for");
            }
            List<Use> uses = codes.stream()
                    .map(code -> use(visit, desk, thing, typed, code))
                    .toList();
            uses.forEach(context.store().equipment()::note);
        });
    }

    private Use use(Visit visit, Desk desk, Thing thing, Typed typed, String code) {
        boolean tray = desk.tray(code).isPresent();
        if (!tray && desk.run(code).isEmpty()) {
            throw new IllegalArgumentException("\"" + code + "\" is no tray and no run of " + desk.name()
                    + "; nothing was stored. Open the page of the day that has it");
        }
        return tray
                ? Use.ofTray(thing, desk.name(), code, visit.form("method"), typed.at(), visit.actor(), now())
                : new Use(
                        0,
                        thing,
                        Use.Place.RUN,
                        desk.name(),
                        code,
                        visit.form("method"),
                        typed.at(),
                        visit.actor(),
                        now());
    }

    private Answer letStand(Visit visit, Desk desk) {
        return onItsPage(
                visit,
                desk,
                thing -> context.store()
                        .equipment()
                        .letStand(new LetStand(
                                0,
                                thing,
                                desk.name(),
                                visit.form("finding"),
                                visit.form("reason"),
                                visit.actor(),
                                now())));
    }

    private Answer onItsPage(Visit visit, Desk desk, Consumer<Thing> step) {
        String name = visit.form("name");
        Register register = desk.holds().register();
        boolean lot = visit.form("kind").equals(Thing.Kind.LOT.word());
        if (lot ? register.lot(name).isEmpty() : register.equipment(name).isEmpty()) {
            return Answer.notFound();
        }
        Thing thing = lot ? Thing.lot(name) : Thing.equipment(name);
        return tried(() -> step.accept(thing))
                .map(wrong -> lot ? lot(visit, desk, name, wrong) : one(visit, desk, name, wrong))
                .orElseGet(() -> Answer.moved((lot ? "/lots/" : "/equipment/") + Words.part(name)));
    }

    /** Does it and takes it in; what was wrong, in a sentence, where it could not be done. */
    private Optional<String> tried(Runnable step) {
        try {
            step.run();
        } catch (Refused | IllegalArgumentException wrong) {
            return Optional.of("Nothing was stored: " + wrong.getMessage() + ".");
        }
        context.currentDay().renew();
        return Optional.empty();
    }

    private Typed typed(Visit visit, Desk desk) {
        return new Typed(visit, desk.zone(), now());
    }

    private Instant now() {
        return context.clock().instant();
    }

    /** What a lot can be of, for the form. */
    public static List<Lot.Kind> lotKinds() {
        return Arrays.asList(Lot.Kind.values());
    }

    /** What a piece of equipment can be, for the form. */
    public static List<Equipment.Kind> equipmentKinds() {
        return Arrays.asList(Equipment.Kind.values());
    }
}
