package org.tenmesh.web.cards;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Consequence;
import org.tenmesh.core.equipment.Finding;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.UsedInRun;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.words.Words;

/**
 * A lot or a piece of equipment with something wrong today, as whoever is about to use it must see it.
 *
 * @param says one sentence without a full stop: what it is and what is wrong
 * @param follows what follows from it
 * @param refused whether nothing may begin with it
 */
public record ThingsNow(String name, String href, String says, String follows, boolean refused) {
    /** The end of the date by the clock: what is due today is not overdue today, and what was noted today has happened. */
    private static Instant at(Desk desk) {
        return desk.today().plusDays(1).atStartOfDay(desk.zone()).toInstant().minusMillis(1);
    }

    /** Everything with something wrong: equipment, and the lots in use. */
    public static List<ThingsNow> all(Desk desk) {
        return desk.holds().register().wrong(at(desk), desk.zone()).stream()
                .map(finding -> of(desk, finding))
                .toList();
    }

    /** The same in one line for the page Today; empty text where nothing is wrong. */
    public static String line(Desk desk) {
        List<ThingsNow> all = all(desk);
        return all.isEmpty()
                ? ""
                : Words.sentence(all.get(0).says()) + (all.size() > 1 ? ", and " + (all.size() - 1) + " more." : ".");
    }

    /** What is wrong with one piece of equipment; nothing where it is not registered. */
    public static List<ThingsNow> ofEquipment(Desk desk, String name) {
        return all(desk).stream()
                .filter(one -> one.href().equals(href(Thing.equipment(name))))
                .toList();
    }

    /** What is wrong with the equipment that reads on an instrument. */
    static List<ThingsNow> of(Desk desk, String instrument) {
        return desk.holds().register().wrong(at(desk), desk.zone()).stream()
                .filter(finding -> finding.thing().kind() == Thing.Kind.EQUIPMENT)
                .filter(finding -> desk.holds()
                        .register()
                        .equipment(finding.thing().name())
                        .filter(one -> one.name().equals(instrument)
                                || one.instrument().equals(instrument))
                        .isPresent())
                .map(finding -> of(desk, finding))
                .toList();
    }

    private static ThingsNow of(Desk desk, Finding finding) {
        Thing thing = finding.thing();
        Consequence consequence = finding.consequence(desk.day().laboratory().policy());
        return new ThingsNow(
                thing.name(),
                href(thing),
                thing.kind().word() + " " + thing.name() + " " + finding.wrong().phrase() + ": " + finding.says(),
                switch (consequence) {
                    case WARN -> "It is only warned of, by the policy.";
                    case HOLD -> "What is read with it is held.";
                    case REFUSE -> "Nothing may begin with it.";
                },
                consequence == Consequence.REFUSE);
    }

    static String href(Thing thing) {
        return (thing.kind() == Thing.Kind.LOT ? "/lots/" : "/equipment/") + Words.part(thing.name());
    }

    /**
     * What a run was read with.
     *
     * @param lines each lot and piece of equipment
     * @param notKnown what was used and of which nobody said the lot
     */
    public record ReadWith(List<Line> lines, List<String> notKnown) {
        /** One of them, with what was wrong with it. */
        public record Line(String name, String href, String says, String wrong) {}

        /** Of a run; nothing where no lot and no equipment was ever registered. */
        public static Optional<ReadWith> of(Desk desk, Run run) {
            return desk.things().of(run.run()).map(used -> {
                List<Line> lines = new ArrayList<>();
                for (UsedInRun.One one : used.used()) {
                    lines.add(new Line(
                            one.thing().kind().word() + " " + one.thing().name(),
                            href(one.thing()),
                            one.how()
                                    + (one.channel().isEmpty() ? "" : ", channel " + one.channel())
                                    + (one.soils().isEmpty()
                                            ? ""
                                            : ", " + Words.of(one.soils().size(), "soil")),
                            String.join(
                                    "; ",
                                    desk.things().found().stream()
                                            .filter(found -> found.run().equals(run.run())
                                                    && found.used().equals(one))
                                            .map(found -> found.finding().says() + (found.holds() ? ": held" : ""))
                                            .toList())));
                }
                return new ReadWith(lines, used.notKnown());
            });
        }
    }
}
