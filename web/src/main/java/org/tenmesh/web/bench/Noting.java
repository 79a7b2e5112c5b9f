package org.tenmesh.web.bench;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Path;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.BenchStep;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.days.MadeRegulated;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Visit;

/** Takes one note from the bench: looks whether it fits, asks where a person must confirm, and keeps it once. */
final class Noting {
    private static final String DEVICE = "[0-9A-Za-z-]{1,64}";
    private static final String ID = "[0-9A-Za-z-]{8,64}";

    private final PageContext context;
    private final BenchDays days;
    private final Visit visit;

    Noting(PageContext context, BenchDays days, Visit visit) {
        this.context = context;
        this.days = days;
        this.visit = visit;
    }

    /** What came of a note. */
    sealed interface Outcome {
        Subject subject();

        /** It is kept. */
        record Kept(Subject subject, String says) implements Outcome {}

        /** Nothing is kept before the person has said so. */
        record Asks(Subject subject, String question) implements Outcome {}

        /** Nothing is kept before the person has said which well. */
        record Chooses(Subject subject, String question) implements Outcome {}

        /** It was noted before; nothing is kept a second time. */
        record Known(Subject subject, String says) implements Outcome {}
    }

    /** @throws Refused with the reason when the note cannot be kept */
    Outcome take() {
        Subject subject = subject();
        BenchAct.What what = what();
        BenchDay day = days.of(desk(subject.day()));
        Optional<Tray> tray = tray(day, subject);
        BenchWork work = work(day, subject, tray);
        boolean late = visit.form("late").equals("yes");
        boolean confirmed = visit.form("confirmed").equals("yes");
        Optional<BenchWork.Line> line = line(work, what);
        String id = visit.form("id").isEmpty() ? UUID.randomUUID().toString() : visit.form("id");
        if (!id.matches(ID)) {
            throw new Refused("\"" + id + "\" is no number of a note");
        }
        boolean sentBefore = day.acts(subject).stream().anyMatch(act -> act.id().equals(id));
        String soil = visit.form("soil");
        boolean about = what == BenchAct.What.SPILT || what == BenchAct.What.TOO_LITTLE;
        if (about && subject.kind() == Subject.Kind.TRAY && soil.isEmpty()) {
            return new Outcome.Chooses(
                    subject,
                    what == BenchAct.What.SPILT
                            ? "Which well was spilt? Tap or scan it."
                            : "Which well has too little soil? Tap or scan it.");
        }
        List<String> told = new ArrayList<>();
        List<String> asks = new ArrayList<>();
        if (!sentBefore) {
            line.ifPresent(one -> {
                if (one.state() == BenchWork.State.DONE && what == BenchAct.What.DONE && !late && !confirmed) {
                    asks.add("");
                }
                check(day, work, one, what, told, asks);
            });
        }
        Optional<PouredLot> lot = lot(day, subject, tray, line, what);
        if (!sentBefore) {
            lot.ifPresent(one -> one.check(deviceAt(), late, told, asks));
        }
        Preparation preparation = new Preparation(context.store().bench(), day, visit, subject, what, deviceAt());
        Map<Measure, Double> measured =
                preparation.measured(line.map(BenchWork.Line::step), sentBefore, late, told, asks);
        if (asks.remove("")) {
            return new Outcome.Known(
                    subject,
                    "This was noted before"
                            + line.flatMap(BenchWork.Line::act)
                                    .map(act -> ", by " + act.person())
                                    .orElse("") + ". Nothing was noted a second time.");
        }
        if (!asks.isEmpty() && !late && !confirmed) {
            return new Outcome.Asks(subject, String.join(" ", asks) + " Go on anyway?");
        }
        if (what == BenchAct.What.TAKEN_BACK) {
            String why = visit.form("why").strip();
            if (why.isEmpty() && !late && !sentBefore) {
                throw new Refused("say why it is taken back; nothing was noted");
            }
            told.add(why.isEmpty() ? "no reason was said" : cut(why, 200));
        }
        if (late) {
            told.add("noted without network");
        }
        BenchAct act = new BenchAct(
                id,
                subject,
                line.map(one -> one.step().key()).orElse(""),
                what,
                lot.map(one -> one.lot().name()).orElseGet(() -> about(subject, what, soil)),
                cut(String.join("; ", told), 500),
                person(),
                visit.form("device").matches(DEVICE) ? visit.form("device") : "page",
                deviceAt(),
                context.clock().instant(),
                measured);
        preparation
                .met(measured, sentBefore)
                .ifPresent(met -> madeRegulated(day).ofRack(day.rack(subject.code()), act, met));
        BenchAct kept = context.store().bench().keep(act, visit.actor());
        if (what == BenchAct.What.TOO_LITTLE) {
            tooLittle(day, tray, kept);
        }
        lot.ifPresent(one -> {
            one.uses(kept.deviceAt(), kept.person(), kept.storedAt())
                    .forEach(context.store().equipment()::note);
            context.currentDay().renew();
        });
        return new Outcome.Kept(subject, says(line, what, kept) + stays(day, subject, what, kept));
    }

    /** The lot that was scanned with a step of a tray that pours. */
    private Optional<PouredLot> lot(
            BenchDay day, Subject subject, Optional<Tray> tray, Optional<BenchWork.Line> line, BenchAct.What what) {
        boolean noted = what == BenchAct.What.DONE || what == BenchAct.What.BEGUN;
        return noted && subject.kind() == Subject.Kind.TRAY && tray.isPresent() && line.isPresent()
                ? PouredLot.scanned(
                        day, tray.get(), line.get(), visit.form("lot").strip())
                : Optional.empty();
    }

    /** A lot that was noted with a step outlasts the note: which one was poured is corrected by another scan. */
    private static String stays(BenchDay day, Subject subject, BenchAct.What what, BenchAct kept) {
        return day.acts(subject).stream()
                .filter(act -> what == BenchAct.What.TAKEN_BACK && act.id().equals(kept.about()))
                .filter(act -> day.desk().holds().register().lot(act.about()).isPresent())
                .map(act -> " Lot " + act.about() + " stays noted for the tray until another is scanned.")
                .findFirst()
                .orElse("");
    }

    private MadeRegulated madeRegulated(BenchDay day) {
        Instant now = context.clock().instant();
        return new MadeRegulated(
                context.store(), context.sheets(), now.atZone(day.desk().zone()).toLocalDate(), now);
    }

    /** What the button said; one that names an instrument, an act or another step says it by that. */
    private BenchAct.What what() {
        String word = visit.form("what");
        if (word.isEmpty()) {
            return visit.form("act").isEmpty() ? BenchAct.What.DONE : BenchAct.What.TAKEN_BACK;
        }
        return Arrays.stream(BenchAct.What.values())
                .filter(one -> one.word().equals(word))
                .findFirst()
                .orElseThrow(() -> new Refused("\"" + word + "\" is nothing that is noted at the bench"));
    }

    private static String cut(String text, int most) {
        return text.length() > most ? text.substring(0, most) : text;
    }

    private static String says(Optional<BenchWork.Line> line, BenchAct.What what, BenchAct kept) {
        String step = line.map(one -> one.step().doing().phrase() + ": ").orElse("");
        return step + what.phrase()
                + (kept.about().isEmpty() || what == BenchAct.What.TAKEN_BACK ? "" : ", " + kept.about()) + ".";
    }

    private Subject subject() {
        String code = visit.form("code");
        Subject.Kind kind = Arrays.stream(Subject.Kind.values())
                .filter(one -> one.word().equals(visit.form("kind")))
                .findFirst()
                .orElseThrow(() ->
                        new Refused("a note is about a tray, a soil or a rack, found \"" + visit.form("kind") + "\""));
        if (kind == Subject.Kind.RACK) {
            if (!BenchDay.isRack(code)) {
                throw new Refused("\"" + code + "\" is no rack: a rack's label is R and its number");
            }
            return Subject.rack(code);
        }
        if (kind == Subject.Kind.EQUIPMENT) {
            if (!BenchDay.isMill(code)) {
                throw new Refused("\"" + code + "\" is no name of a mill: letters and digits, 64 at most");
            }
            return Subject.equipment(code);
        }
        String day = visit.form("day").isEmpty() ? desk("").name() : visit.form("day");
        return new Subject(kind, day, code);
    }

    private Desk desk(String day) {
        return (day.isEmpty() ? visit.desk() : context.currentDay().desk(day))
                .orElseThrow(() -> new Refused("there is no day " + day));
    }

    private Optional<Tray> tray(BenchDay day, Subject subject) {
        return switch (subject.kind()) {
            case RACK, EQUIPMENT -> Optional.empty();
            case TRAY ->
                Optional.of(day.desk()
                        .tray(subject.code())
                        .orElseThrow(() -> new Refused("there is no tray " + subject.code() + " on this day")));
            case SOIL -> {
                if (day.desk().soil(subject.code()).isEmpty()) {
                    throw new Refused("there is no lab number " + subject.code() + " on this day");
                }
                yield day.desk().place(new LabNumber(subject.code())).map(Desk.Place::tray);
            }
        };
    }

    private static BenchWork work(BenchDay day, Subject subject, Optional<Tray> tray) {
        return switch (subject.kind()) {
            case RACK -> day.beforeLayout(subject);
            case EQUIPMENT -> new BenchWork(List.of(), Optional.empty());
            case TRAY -> day.of(tray.orElseThrow());
            case SOIL ->
                tray.isEmpty()
                        ? day.beforeLayout(subject)
                        : day.again(tray.get()).stream()
                                .filter(one -> one.labNumber().text().equals(subject.code()))
                                .map(BenchDay.Again::work)
                                .findFirst()
                                .orElse(new BenchWork(List.of(), Optional.empty()));
        };
    }

    private static boolean ofAStep(BenchAct.What what) {
        return switch (what) {
            case BEGUN, DONE, SPILT, TOO_LITTLE -> true;
            case WRONG_TRAY, LOADED, WEIGHED, COARSE, CLEANED, TAKEN_BACK -> false;
        };
    }

    /** The step that is meant: the one named, else the one to do now. */
    private Optional<BenchWork.Line> line(BenchWork work, BenchAct.What what) {
        if (!ofAStep(what)) {
            return Optional.empty();
        }
        String key = visit.form("other").isEmpty() ? visit.form("step") : visit.form("other");
        Optional<BenchWork.Line> line = key.isEmpty() ? work.now() : work.line(key);
        if (line.isEmpty()) {
            throw new Refused(
                    key.isEmpty()
                            ? "there is nothing to do with " + visit.form("code") + " now, so nothing was noted"
                            : "the step " + key + " is not one of " + visit.form("code")
                                    + " any more: its portion was read meanwhile, or its methods have changed. Nothing was noted; scan it again");
        }
        return line;
    }

    private void check(
            BenchDay day,
            BenchWork work,
            BenchWork.Line line,
            BenchAct.What what,
            List<String> told,
            List<String> asks) {
        if (what != BenchAct.What.DONE && what != BenchAct.What.BEGUN) {
            return;
        }
        List<Step> missing = work.missingBefore(line.step().key());
        if (!missing.isEmpty()) {
            String steps = String.join(
                    ", ",
                    missing.stream()
                            .map(step -> step.doing().phrase().toLowerCase(java.util.Locale.ROOT))
                            .toList());
            asks.add("Not noted yet and comes before: " + steps + ".");
            told.add("not noted before: " + steps);
        }
        Instant at = deviceAt();
        line.over()
                .filter(over -> what == BenchAct.What.DONE && at.isBefore(over))
                .ifPresent(over -> {
                    String left = span(Duration.between(at, over));
                    asks.add("It has " + left + " of " + Path.time(line.step().lasts()) + " to go.");
                    told.add(left + " too early");
                });
        if (line.step().doing() == BenchStep.Doing.READ && what == BenchAct.What.DONE) {
            Map<String, String> shut = BenchView.shut(day.desk());
            String instrument = visit.form("instrument");
            List<String> meant = instrument.isEmpty() ? day.instruments(line.step()) : List.of(instrument);
            for (String one : meant) {
                String says = shut.get(one);
                if (says != null) {
                    asks.add("Gate shut. " + says);
                    told.add("gate of " + one + " shut");
                }
            }
        }
    }

    private static String span(Duration left) {
        long s = Math.max(1, left.toSeconds());
        return s < 120 ? s + " s" : s < 7200 ? s / 60 + " min" : s / 3600 + " h";
    }

    private String about(Subject subject, BenchAct.What what, String soil) {
        return switch (what) {
            case SPILT, TOO_LITTLE -> {
                if (subject.kind() != Subject.Kind.TRAY) {
                    yield subject.kind() == Subject.Kind.SOIL ? subject.code() : "";
                }
                if (soil.equals("all") && what == BenchAct.What.SPILT) {
                    yield "";
                }
                boolean inside = desk(subject.day()).tray(subject.code()).stream()
                        .flatMap(tray -> tray.wells().stream())
                        .anyMatch(place -> place.labNumber()
                                .filter(number -> number.text().equals(soil))
                                .isPresent());
                if (!inside) {
                    throw new Refused(soil + " is not in tray " + subject.code() + ", so nothing was noted");
                }
                yield soil;
            }
            case TAKEN_BACK -> {
                String act = visit.form("act");
                boolean known = days.of(desk(subject.day())).acts(subject).stream()
                        .anyMatch(one -> one.id().equals(act));
                if (!known) {
                    throw new Refused("what is to be taken back was not noted for " + subject.code());
                }
                yield act;
            }
            case DONE, BEGUN -> cut(visit.form("instrument"), 64);
            case WRONG_TRAY, LOADED, WEIGHED, COARSE, CLEANED -> "";
        };
    }

    /** Who did it: whoever is signed in, or whom the device says when it was done before somebody else signed in. */
    private String person() {
        String person = visit.form("person");
        if (person.isEmpty() || person.equals(visit.actor())) {
            return visit.actor();
        }
        return context.store()
                .find(person)
                .filter(one -> one.active() && one.role() == PersonRole.BENCH)
                .map(Person::name)
                .orElseThrow(() -> new Refused("there is nobody called " + person + " at the bench"));
    }

    private Instant deviceAt() {
        String at = visit.form("at");
        try {
            return at.isEmpty() ? context.clock().instant() : Instant.parse(at);
        } catch (DateTimeException e) {
            throw new Refused("\"" + at + "\" is no moment");
        }
    }

    /** The date of a day's list, which its name begins with; before anything was read the day itself does not tell it. */
    private static LocalDate listedOn(String day) {
        return LocalDate.parse(day.substring(0, "2026-11-25".length()));
    }

    /** The day is told that the portion's methods get no soil, those that have been read excepted. */
    private void tooLittle(BenchDay day, Optional<Tray> tray, BenchAct act) {
        if (tray.isEmpty()) {
            return;
        }
        LabNumber number = new LabNumber(act.about());
        String portion = BenchWork.portion(act.step());
        List<Shortage> shortages = day.methods(tray.get(), portion).stream()
                .filter(method -> day.desk().day().runs().stream()
                        .noneMatch(run -> run.method().equals(method.id())
                                && run.readings().identities().contains(number.text())))
                .map(method -> new Shortage(number, method.id()))
                .toList();
        if (!shortages.isEmpty()) {
            context.store()
                    .bench()
                    .tooLittle(
                            day.desk().day().laboratory(),
                            listedOn(day.desk().name()),
                            shortages,
                            act.id(),
                            act.person());
        }
    }
}
