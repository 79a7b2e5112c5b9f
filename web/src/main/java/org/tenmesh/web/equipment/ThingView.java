package org.tenmesh.web.equipment;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Consequence;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Finding;
import org.tenmesh.core.equipment.HeldByThings;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.web.words.Words;

/**
 * A lot or a piece of equipment as its page and its line on the list show it.
 *
 * @param of what it is: {@code buffer pH 7}, {@code balance at OM1, channel 2}
 * @param state where it is in its life, in words
 * @param until the last day of a lot, or the day by which the next check of equipment is due; empty text where none is known
 * @param wrong what is wrong with it now
 * @param facts everything that was registered of it, name and value
 * @param acts what was noted, the newest first
 * @param dues services and checks of equipment
 * @param onDay what was wrong with it in runs of the day that is shown
 */
public record ThingView(
        Thing thing,
        String href,
        String of,
        String state,
        String until,
        List<Wrong> wrong,
        boolean spent,
        List<Fact> facts,
        List<ActLine> acts,
        List<DueLine> dues,
        List<UseLine> uses,
        List<OnDay> onDay,
        String lookBack) {
    /** Something wrong with it now. */
    public record Wrong(String phrase, String says, String follows) {}

    /** One thing that was registered of it. */
    public record Fact(String name, String value) {}

    /** One thing that was noted. */
    public record ActLine(
            long number,
            String what,
            String says,
            String at,
            String person,
            boolean failed,
            boolean takenBack,
            boolean canBack) {}

    /** A service or check. */
    public record DueLine(
            String what,
            String every,
            String limits,
            boolean number,
            String last,
            boolean failed,
            String next,
            boolean overdue) {}

    /** What it was used for. */
    public record UseLine(String place, String method, String at, String person) {}

    /**
     * What was wrong with it when runs of the day used it.
     *
     * @param letStand by whom and why results stand all the same; empty text where nobody said so
     */
    public record OnDay(String says, String follows, List<String> runs, int results, boolean holds, String letStand) {}

    /** The lots, those with something wrong first, those used up last. */
    static List<ThingView> lots(Desk desk, Instant now) {
        return desk.holds().register().lots().stream()
                .map(lot -> of(desk, lot, now))
                .sorted(ORDER)
                .toList();
    }

    /** The equipment, that with something wrong first. */
    static List<ThingView> equipment(Desk desk, Instant now) {
        return desk.holds().register().equipment().stream()
                .map(one -> of(desk, one, now))
                .sorted(ORDER)
                .toList();
    }

    private static final Comparator<ThingView> ORDER = Comparator.comparing(ThingView::spent)
            .thenComparing(view -> view.wrong().isEmpty())
            .thenComparing(view -> !view.state().equals("in use"))
            .thenComparing(ThingView::of)
            .thenComparing(view -> view.thing().name());

    static ThingView of(Desk desk, Lot lot, Instant now) {
        Register register = desk.holds().register();
        boolean spent = register.usedUp(lot, now);
        boolean inUse = register.isInUse(lot, now);
        boolean opened = register.opened(lot, now).isPresent();
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("Stands for", lot.standsFor() + (lot.method().isEmpty() ? "" : " in " + lot.method())));
        facts.add(new Fact("Source", lot.source()));
        facts.add(new Fact(
                "Content",
                lot.contents().isEmpty()
                        ? "not stated"
                        : String.join(
                                "; ",
                                lot.contents().stream().map(Lot.Content::text).toList())));
        facts.add(new Fact("Received or prepared", Words.day(lot.received())));
        facts.add(new Fact("Expires", lot.expires().map(Words::day).orElse("not stated")));
        facts.add(new Fact(
                "After opening",
                lot.daysOpen().isPresent() ? Words.of(lot.daysOpen().getAsInt(), "day") : "not limited"));
        if (!lot.madeFrom().isEmpty()) {
            facts.add(new Fact("Made from", String.join(", ", lot.madeFrom())));
        }
        List<String> into = register.madeFrom(lot).stream().map(Lot::name).toList();
        if (!into.isEmpty()) {
            facts.add(new Fact("Is in", String.join(", ", into)));
        }
        facts.add(new Fact("Registered", lot.registeredBy() + ", " + Words.moment(lot.registeredAt(), desk.zone())));
        return view(
                desk,
                lot.thing(),
                now,
                lot.kind().phrase() + " " + lot.standsFor(),
                spent ? "used up" : inUse ? "in use" : opened ? "opened" : "not opened",
                register.lastDay(lot, now, desk.zone())
                        .map(last -> Words.day(last.day()))
                        .orElse(""),
                spent,
                facts,
                List.of(),
                "lot");
    }

    static ThingView of(Desk desk, Equipment one, Instant now) {
        Register register = desk.holds().register();
        List<DueLine> dues = new ArrayList<>();
        List<Register.Standing> standing = register.standing(one, now, desk.zone());
        for (Register.Standing due : standing) {
            boolean overdue = due.next().filter(desk.today()::isAfter).isPresent();
            dues.add(new DueLine(
                    due.due().what(),
                    due.due().everyDays().isPresent()
                            ? "every " + Words.of(due.due().everyDays().getAsInt(), "day")
                            : "once",
                    due.due().limits(),
                    due.due().hasLimits(),
                    due.last()
                            .map(act -> Words.moment(act.at(), desk.zone())
                                    + (act.value().isPresent()
                                            ? ": " + act.value().getAsDouble()
                                            : ""))
                            .orElse("never"),
                    due.last().filter(act -> !act.passed()).isPresent(),
                    due.next().map(Words::day).orElse("not again"),
                    overdue));
        }
        List<Fact> facts = new ArrayList<>();
        facts.add(new Fact("Serial or inventory number", one.identity().isEmpty() ? "not stated" : one.identity()));
        facts.add(new Fact(
                "Reads in runs of",
                one.instrument().isEmpty()
                        ? "not said by runs: note what it was used for"
                        : one.instrument() + (one.channel().isEmpty() ? "" : ", channel " + one.channel())));
        facts.add(new Fact("Registered", one.registeredBy() + ", " + Words.moment(one.registeredAt(), desk.zone())));
        boolean out = register.findings(one.thing(), now, desk.zone()).stream()
                .anyMatch(finding -> finding.wrong() == Finding.Wrong.OUT_OF_SERVICE);
        return view(
                desk,
                one.thing(),
                now,
                one.kind().word()
                        + (one.instrument().isEmpty() || one.instrument().equals(one.name())
                                ? ""
                                : " at " + one.instrument()
                                        + (one.channel().isEmpty() ? "" : ", channel " + one.channel())),
                out ? "out of service" : "in service",
                standing.stream()
                        .flatMap(due -> due.next().stream())
                        .min(Comparator.naturalOrder())
                        .map(Words::day)
                        .orElse(""),
                false,
                facts,
                dues,
                "equipment");
    }

    private static ThingView view(
            Desk desk,
            Thing thing,
            Instant now,
            String of,
            String state,
            String until,
            boolean spent,
            List<Fact> facts,
            List<DueLine> dues,
            String scope) {
        Register register = desk.holds().register();
        Policy policy = desk.day().laboratory().policy();
        List<Wrong> wrong = spent
                ? List.of()
                : register.findings(thing, now, desk.zone()).stream()
                        .map(finding -> new Wrong(
                                finding.wrong().phrase(), finding.says(), follows(finding.consequence(policy))))
                        .toList();
        List<ActLine> acts = new ArrayList<>();
        for (Act act : register.noted(thing)) {
            boolean stands = register.stands(act);
            boolean back = act.what() == Act.What.TAKEN_BACK;
            acts.add(
                    0,
                    new ActLine(
                            act.number(),
                            act.what().phrase() + (act.about().isEmpty() ? "" : ": " + act.about()),
                            (act.value().isPresent() ? act.value().getAsDouble() + " " : "")
                                    + (act.what() == Act.What.CHECKED && act.passed() ? "passed" : "")
                                    + (act.says().isEmpty() ? "" : " " + act.says()),
                            Words.moment(act.at(), desk.zone()),
                            act.person(),
                            !act.passed(),
                            !stands && !back,
                            stands));
        }
        List<UseLine> uses = new ArrayList<>();
        for (Use use : register.usesOf(thing)) {
            uses.add(
                    0,
                    new UseLine(
                            use.place().word() + " " + use.code() + " of " + use.day(),
                            use.method().isEmpty() ? "every method" : use.method(),
                            Words.moment(use.at(), desk.zone()),
                            use.person()));
        }
        return new ThingView(
                thing,
                "/" + (thing.kind() == Thing.Kind.LOT ? "lots" : "equipment") + "/" + Words.part(thing.name()),
                of,
                state,
                until,
                wrong,
                spent,
                facts,
                acts,
                dues,
                uses.subList(0, Math.min(50, uses.size())),
                onDay(desk, thing),
                "/look-back?of=" + scope + "&name=" + Words.part(thing.name()));
    }

    static String follows(Consequence consequence) {
        return switch (consequence) {
            case WARN -> "only warned of, by the policy";
            case HOLD -> "what is read with it is held";
            case REFUSE -> "nothing may begin with it; what is read all the same is held";
        };
    }

    private static List<OnDay> onDay(Desk desk, Thing thing) {
        Map<String, List<HeldByThings.One>> bySays = new LinkedHashMap<>();
        for (HeldByThings.One one : desk.things().found()) {
            if (one.used().thing().equals(thing)) {
                bySays.computeIfAbsent(one.finding().says(), says -> new ArrayList<>())
                        .add(one);
            }
        }
        List<OnDay> lines = new ArrayList<>();
        bySays.forEach((says, all) -> {
            Set<String> runs = new LinkedHashSet<>();
            int results = 0;
            for (HeldByThings.One one : all) {
                runs.add(one.run());
                results += (int) desk.day().runs().stream()
                        .filter(run -> run.run().equals(one.run()))
                        .flatMap(run -> desk.resultsOf(run).stream())
                        .filter(one.used()::touches)
                        .count();
            }
            lines.add(new OnDay(
                    says,
                    follows(all.get(0).consequence()),
                    List.copyOf(runs),
                    results,
                    all.get(0).holds(),
                    all.get(0)
                            .letStand()
                            .map(stands -> "Let stand by " + stands.person() + ", "
                                    + Words.moment(stands.at(), desk.zone()) + ": " + stands.reason())
                            .orElse("")));
        });
        return lines;
    }
}
