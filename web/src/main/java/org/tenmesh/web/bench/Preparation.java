package org.tenmesh.web.bench;

import static java.util.Objects.requireNonNull;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Cleanliness;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.cards.ThingsNow;
import org.tenmesh.web.days.BenchBook;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** What a note about a rack or a mill has to fit, and the numbers that are kept with it. */
record Preparation(BenchBook book, BenchDay day, Visit visit, Subject subject, BenchAct.What what, Instant deviceAt) {
    /**
     * The numbers that are kept with a note.
     *
     * @param step that it is about; empty for a note about none
     * @param sentBefore whether the device sent it before: then nothing is asked again
     * @param late whether it was noted without network: then nobody stands there any more, and nothing is refused that has happened
     * @param told is added to where the note says more than the person did
     * @param asks is added to where a person has to confirm
     * @throws Refused with the reason where it cannot be kept
     */
    Map<Measure, Double> measured(
            Optional<Step> step, boolean sentBefore, boolean late, List<String> told, List<String> asks) {
        Map<Measure, Double> measured = new EnumMap<>(Measure.class);
        switch (what) {
            case WEIGHED -> numbers(measured, Measure.PLACE, Measure.MASS_G);
            case COARSE -> {
                numbers(measured, Measure.PLACE, Measure.MASS_G, Measure.COARSE_G);
                if (requireNonNull(measured.get(Measure.COARSE_G)) > requireNonNull(measured.get(Measure.MASS_G))) {
                    throw new Refused("the coarse fragments weigh more than the whole; nothing was noted");
                }
            }
            case CLEANED -> {
                if (subject.kind() != Subject.Kind.EQUIPMENT && subject.kind() != Subject.Kind.RACK) {
                    throw new Refused(
                            "a mill or a rack is cleaned, no " + subject.kind().word());
                }
            }
            case LOADED -> throw new Refused("bags are put on a rack at the dock");
            default -> {}
        }
        if ((what == BenchAct.What.WEIGHED || what == BenchAct.What.COARSE) && subject.kind() != Subject.Kind.RACK) {
            throw new Refused("what is weighed lies on a rack");
        }
        if (subject.kind() == Subject.Kind.RACK && step.isPresent() && !sentBefore) {
            ofRack(step.get(), measured, late, told, asks);
        }
        return measured;
    }

    private void ofRack(Step step, Map<Measure, Double> measured, boolean late, List<String> told, List<String> asks) {
        Rack rack = day.rack(subject.code());
        Policy policy = day.desk().day().laboratory().policy();
        boolean noted = what == BenchAct.What.DONE || what == BenchAct.What.BEGUN;
        if (step.doing() == Doing.DRY
                && what == BenchAct.What.BEGUN
                && !form(Measure.TEMPERATURE_C).isEmpty()) {
            numbers(measured, Measure.TEMPERATURE_C);
            double most = policy.number(Setting.DRY_MOST_TEMPERATURE);
            double dried = requireNonNull(measured.get(Measure.TEMPERATURE_C));
            if (dried > most) {
                asks.add("It is dried at " + Words.plain(dried) + " °C, above " + Words.plain(most) + " °C.");
                told.add("above " + Words.plain(most) + " °C");
            }
        }
        boolean dries = step.doing() == Doing.DRY && what == BenchAct.What.DONE;
        if (dries || step.doing() == Doing.GRIND && noted) {
            Rack.Dryness dryness = dryness(rack, policy);
            if (dryness != Rack.Dryness.DRY) {
                asks.add("Dryness: " + dryness.phrase() + ".");
                told.add(dryness.phrase());
            }
        }
        if (step.doing() == Doing.GRIND && noted) {
            grinds(rack, measured, late, told, asks);
        }
    }

    /** Ordinary soil is not ground where regulated soil was before, unless the mill was cleaned; what was ground there all the same is regulated. */
    private void grinds(Rack rack, Map<Measure, Double> measured, boolean late, List<String> told, List<String> asks) {
        String mill = visit.form("instrument").strip();
        if (!mill.isEmpty() && !BenchDay.isMill(mill)) {
            throw new Refused("\"" + mill + "\" is no name of a mill: letters and digits, 64 at most");
        }
        if (mill.isEmpty() && !late) {
            throw new Refused("say in which mill it is ground; nothing was noted");
        }
        if (mill.isEmpty()) {
            told.add("nobody said in which mill");
        }
        if (!mill.isEmpty()) {
            registered(mill, late, told, asks);
        }
        if (rack.regulated()) {
            measured.put(Measure.REGULATED, 1.0);
            return;
        }
        Optional<BenchAct> before = before();
        if (before.isPresent() && !late) {
            throw new Refused("Mill " + mill + " ground regulated soil of rack "
                    + before.get().subject().code()
                    + ", and its cleaning is not noted. Clean it and note that, or take another mill."
                    + " Nothing was noted.");
        }
        if (before.isPresent()) {
            measured.put(Measure.REGULATED, 1.0);
            told.add("the mill was not cleaned after regulated soil: this soil is handled as regulated");
        }
    }

    /**
     * The regulated soil that ordinary soil of a rack met in the mill; empty where it met none.
     *
     * @param measured what is kept with the note
     */
    Optional<BenchAct> met(Map<Measure, Double> measured, boolean sentBefore) {
        return sentBefore
                        || subject.kind() != Subject.Kind.RACK
                        || !measured.containsKey(Measure.REGULATED)
                        || day.rack(subject.code()).regulated()
                ? Optional.empty()
                : before();
    }

    private Optional<BenchAct> before() {
        return Cleanliness.uncleaned(book.sinceCleaned(visit.form("instrument").strip()))
                .filter(act -> !act.subject().equals(subject));
    }

    /** What the register of equipment says of a mill; a laboratory that registers no mill is asked nothing. */
    private void registered(String mill, boolean late, List<String> told, List<String> asks) {
        Register register = day.desk().holds().register();
        boolean any = register.equipment().stream().anyMatch(one -> one.kind() == Equipment.Kind.GRINDER);
        if (any && register.equipment(mill).isEmpty()) {
            asks.add("Mill " + mill + " is not in the register of equipment.");
            told.add("mill " + mill + " is not registered");
        }
        for (ThingsNow wrong : ThingsNow.ofEquipment(day.desk(), mill)) {
            String says = Words.sentence(wrong.says());
            if (wrong.refused() && !late) {
                throw new Refused(says + ". " + wrong.follows() + " Take another mill. Nothing was noted");
            }
            asks.add(says + ".");
            told.add(wrong.says());
        }
    }

    static Rack.Dryness dryness(Rack rack, Policy policy) {
        return rack.dryness(
                policy.number(Setting.DRY_LOSS),
                Duration.ofSeconds(Math.round(policy.number(Setting.DRY_HOURS_BETWEEN) * 3600)));
    }

    private String form(Measure measure) {
        return visit.form(measure.word()).strip().replace(',', '.');
    }

    private void numbers(Map<Measure, Double> measured, Measure... wanted) {
        for (Measure measure : wanted) {
            String text = form(measure);
            if (!text.matches("-?[0-9]{1,7}(\\.[0-9]{1,6})?")) {
                throw new Refused(
                        "found \"" + text + "\" for " + measure.word() + ", expected a number; nothing was noted");
            }
            double number = Double.parseDouble(text);
            measure.refusal(number).ifPresent(why -> {
                throw new Refused(measure.word() + ": " + why + "; nothing was noted");
            });
            measured.put(measure, number);
        }
    }
}
