package org.tenmesh.web.bench;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Cleanliness;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.web.cards.ThingsNow;
import org.tenmesh.web.days.BenchBook;
import org.tenmesh.web.words.Words;

/**
 * What lies on a rack, and how far its preparation is.
 *
 * @param loads one line for each submission on it
 * @param dryness as far as weighings tell
 * @param rule by which
 * @param notes weighings and coarse fragments, the newest first
 * @param ground when, where and by whom; empty before
 * @param uncleaned whether regulated soil lay on it before and its cleaning is not noted
 * @param grinds whether it is to be ground now
 */
public record RackView(
        List<String> loads,
        String dryness,
        String rule,
        String dried,
        List<String> notes,
        String ground,
        boolean uncleaned,
        boolean grinds,
        List<Mill> mills) {
    /**
     * A mill that was used before, or is registered as equipment.
     *
     * @param wrong what is wrong with it by the register; empty text where nothing is
     * @param refused whether nothing may begin with it
     */
    public record Mill(String name, String href, boolean clean, String wrong, boolean refused) {}

    static RackView of(BenchBook book, BenchDay day, String code) {
        Rack rack = day.rack(code);
        ZoneId zone = day.desk().zone();
        Policy policy = day.desk().day().laboratory().policy();
        List<String> notes = new ArrayList<>();
        for (BenchAct act : rack.notes()) {
            String place = "Place " + Words.plain(act.measured(Measure.PLACE)) + ": "
                    + Words.plain(act.measured(Measure.MASS_G)) + " g";
            notes.add(
                    0,
                    place
                            + (act.what() == BenchAct.What.COARSE
                                    ? " sieved, " + Words.plain(act.measured(Measure.COARSE_G)) + " g above 2 mm, "
                                            + Words.plain(Math.round(10 * Rack.coarsePct(act)) / 10.0) + " %"
                                    : "")
                            + " (" + by(act, zone) + ")");
        }
        return new RackView(
                rack.loads().stream()
                        .map(load -> load.submission() + ", bags " + load.firstBag() + " to " + load.lastBag()
                                + ", from place " + load.place())
                        .toList(),
                Preparation.dryness(rack, policy).phrase(),
                "at most " + Words.plain(policy.number(Setting.DRY_LOSS))
                        + " % of its mass lost in 24 h, weighings at least "
                        + Words.plain(policy.number(Setting.DRY_HOURS_BETWEEN)) + " h apart",
                rack.dried()
                        .map(act -> "Drying began: " + by(act, zone)
                                + (act.measured().containsKey(Measure.TEMPERATURE_C)
                                        ? ", " + Words.plain(act.measured(Measure.TEMPERATURE_C)) + " °C"
                                        : ", temperature not noted")
                                + rack.driedUntil()
                                        .map(end -> "; ended: " + by(end, zone))
                                        .orElse(""))
                        .orElse(""),
                notes,
                rack.ground()
                        .map(act -> (act.about().isEmpty() ? "nobody said in which mill" : "mill " + act.about()) + ", "
                                + by(act, zone))
                        .orElse(""),
                rack.loads().isEmpty()
                        && Cleanliness.uncleaned(book.sinceCleaned(code)).isPresent(),
                day.beforeLayout(Subject.rack(code))
                        .now()
                        .filter(line -> line.step().doing() == Doing.GRIND)
                        .isPresent(),
                mills(book, day.desk()));
    }

    static List<Mill> mills(BenchBook book, Desk desk) {
        Set<String> names = new TreeSet<>(book.mills());
        desk.holds().register().equipment().stream()
                .filter(one -> one.kind() == Equipment.Kind.GRINDER && BenchDay.isMill(one.name()))
                .map(Equipment::name)
                .forEach(names::add);
        return names.stream().map(name -> mill(book, desk, name)).toList();
    }

    static Mill mill(BenchBook book, Desk desk, String name) {
        List<ThingsNow> wrong = ThingsNow.ofEquipment(desk, name);
        return new Mill(
                name,
                "/bench/mill/" + Words.part(name),
                Cleanliness.uncleaned(book.sinceCleaned(name)).isEmpty(),
                wrong.stream()
                        .map(one -> Words.sentence(one.says()) + ". " + one.follows())
                        .collect(Collectors.joining(" ")),
                wrong.stream().anyMatch(ThingsNow::refused));
    }

    /** Why a mill is not clean; empty text when it is. */
    static String uncleaned(BenchBook book, String mill, ZoneId zone) {
        Optional<BenchAct> soil = Cleanliness.uncleaned(book.sinceCleaned(mill));
        return soil.map(act ->
                        "It ground regulated soil of rack " + act.subject().code() + " (" + by(act, zone)
                                + "), and its cleaning is not noted. It refuses ordinary soil until then.")
                .orElse("");
    }

    private static String by(BenchAct act, ZoneId zone) {
        return act.person() + ", " + Words.moment(act.deviceAt(), zone);
    }
}
