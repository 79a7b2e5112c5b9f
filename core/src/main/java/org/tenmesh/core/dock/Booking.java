package org.tenmesh.core.dock;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.digest.Content;

/**
 * How a submission stands at the dock. A pure function of its sheet, of what was done there, and of what the area lists say of its origin.
 *
 * <p>Every bag of the sheet is there, missing, or not looked for yet; a bag that is not on the sheet is taken in, set aside or open; nothing is
 * laid out while an exception is open.
 *
 * @param arrival what came, with its origin as stated last
 * @param originBy who stated the origin at the dock; empty where it is as the sheet says
 * @param boxes that came
 * @param counted how many bags; empty before they were counted
 * @param weighed the mass of all bags together; empty where nobody weighed them
 * @param there bags of the sheet that were seen, in the order in which they were
 * @param extra bags that are not on the sheet
 * @param exceptions everything that is not as the sheet says, open and settled
 * @param booked the act that booked it in; empty before
 * @param madeRegulated the act by which it became regulated after it came, whatever its origin; empty where none did
 * @param changed what was said and holds no longer, in the order in which it was changed
 */
public record Booking(
        Expected expected,
        Arrival arrival,
        Ruling ruling,
        Optional<DockAct> originBy,
        List<DockAct> boxes,
        Optional<DockAct> counted,
        Optional<DockAct> weighed,
        List<DockAct> there,
        List<DockAct> extra,
        List<Exceptional> exceptions,
        Optional<DockAct> booked,
        Optional<DockAct> madeRegulated,
        List<Changed> changed) {
    /** @throws IllegalArgumentException where a bag is there that the sheet does not name, or one is there twice */
    public Booking {
        boxes = List.copyOf(boxes);
        there = List.copyOf(there);
        extra = List.copyOf(extra);
        exceptions = List.copyOf(exceptions);
        changed = List.copyOf(changed);
        Set<Integer> named = new HashSet<>();
        expected.bags().forEach(bag -> named.add(bag.number()));
        for (DockAct act : there) {
            if (!named.remove(act.number())) {
                throw new IllegalArgumentException("submission " + expected.submission() + ": bag " + act.number()
                        + " is there and is not on the sheet, or is there twice");
            }
        }
    }

    /**
     * One soil that may be laid out.
     *
     * @param number its place on the sheet; a bag that is not on the sheet comes after all that are
     * @param label as the client wrote it, with its layer
     * @param onSheet whether the sheet names it
     */
    public record BookedSoil(int number, String label, boolean onSheet) {}

    /**
     * How it stands.
     *
     * @param acts about this submission, in the order in which they were kept
     * @param rule what is in force for what came
     */
    public static Booking of(Expected expected, List<DockAct> acts, Function<Arrival, Ruling> rule) {
        List<DockAct> counting = counting(acts);
        Optional<DockAct> originBy = last(counting, DockAct.What.ORIGIN);
        Origin origin = originBy.map(act -> new Origin(act.says(), act.about())).orElse(expected.origin());
        List<DockAct> boxes = all(counting, DockAct.What.BOX);
        Optional<DockAct> weighed = last(counting, DockAct.What.WEIGHED);
        Arrival arrival = new Arrival(
                origin,
                weighed.map(act -> OptionalLong.of(act.number())).orElse(OptionalLong.empty()),
                boxes.stream().anyMatch(box -> box.number() > 0));
        Ruling ruling = rule.apply(arrival);
        Optional<DockAct> counted = last(counting, DockAct.What.COUNTED);
        Map<Integer, DockAct> there = new LinkedHashMap<>();
        counting.stream()
                .filter(act -> act.what() == DockAct.What.THERE)
                .forEach(act -> there.putIfAbsent(act.number(), act));
        List<DockAct> extra = all(counting, DockAct.What.EXTRA);
        List<Exceptional> exceptions = new Finding(expected, origin, ruling, counted, there, extra, counting).all();
        return new Booking(
                expected,
                arrival,
                ruling,
                originBy,
                boxes,
                counted,
                weighed,
                List.copyOf(there.values()),
                extra,
                exceptions,
                last(counting, DockAct.What.BOOKED),
                last(counting, DockAct.What.MADE_REGULATED),
                Changed.of(acts));
    }

    /** What was not taken back. */
    public static List<DockAct> counting(List<DockAct> acts) {
        Set<String> gone = new HashSet<>();
        all(acts, DockAct.What.TAKEN_BACK).forEach(act -> gone.add(act.about()));
        return acts.stream()
                .filter(act -> act.what() != DockAct.What.TAKEN_BACK && !gone.contains(act.id()))
                .toList();
    }

    private static List<DockAct> all(List<DockAct> acts, DockAct.What what) {
        return acts.stream().filter(act -> act.what() == what).toList();
    }

    private static Optional<DockAct> last(List<DockAct> acts, DockAct.What what) {
        return all(acts, what).stream().reduce((first, second) -> second);
    }

    /** Bags of the sheet that were not seen. Before the bags were counted they are only not looked for yet. */
    public List<Expected.Bag> notThere() {
        Set<Integer> seen = new HashSet<>();
        there.forEach(act -> seen.add(act.number()));
        return expected.bags().stream()
                .filter(bag -> !seen.contains(bag.number()))
                .toList();
    }

    public List<Exceptional> open() {
        return exceptions.stream().filter(Exceptional::open).toList();
    }

    /**
     * Whether it is regulated: because it met regulated soil; or as it was booked in, whatever the lists say later; before that, by the lists and by
     * what was decided.
     */
    public boolean regulated() {
        return madeRegulated.isPresent()
                || booked.map(act -> act.says().equals(DockAct.REGULATED))
                        .orElseGet(() -> ruling.answer() == Ruling.Answer.REGULATED
                                || exceptions.stream()
                                        .flatMap(one -> one.decision().stream())
                                        .anyMatch(decision -> decision == Decision.AS_REGULATED));
    }

    /** Whether it is kept apart: it is regulated, or nobody has settled yet whether its origin is. */
    public boolean apart() {
        return regulated()
                || open().stream()
                        .anyMatch(one ->
                                one.kind() == ExceptionKind.NO_ORIGIN || one.kind() == ExceptionKind.ORIGIN_UNCLEAR);
    }

    /** The permit under which it is kept, as it was booked in or would be now; empty text where it is not regulated. */
    public String permit() {
        Optional<String> kept = madeRegulated
                .or(() -> booked)
                .map(DockAct::about)
                .filter(name -> madeRegulated.isEmpty() || !name.isEmpty());
        return kept.orElseGet(() -> regulated() ? ruling.permit() : "");
    }

    /** The soils that may be laid out, in the order of their layout. */
    public List<BookedSoil> soils() {
        Set<Integer> without = new HashSet<>();
        boolean asFound = false;
        Map<String, Decision> ofExtra = new HashMap<>();
        for (Exceptional one : exceptions) {
            Decision decision = one.decision().orElse(Decision.WITHOUT);
            if (decision == Decision.WITHOUT && one.number() > 0) {
                without.add(one.number());
            }
            asFound |= decision == Decision.AS_FOUND;
            if (one.kind() == ExceptionKind.EXTRA) {
                ofExtra.put(one.key(), decision);
            }
        }
        Map<Integer, String> labels = new HashMap<>();
        expected.bags().forEach(bag -> labels.put(bag.number(), bag.words()));
        List<DockAct> ordered = new ArrayList<>(there);
        if (!asFound) {
            ordered.sort(Comparator.comparingInt(DockAct::number));
        }
        List<BookedSoil> soils = new ArrayList<>();
        for (DockAct act : ordered) {
            if (!without.contains(act.number())) {
                soils.add(new BookedSoil(act.number(), labels.getOrDefault(act.number(), ""), true));
            }
        }
        int number =
                expected.bags().stream().mapToInt(Expected.Bag::number).max().orElseThrow();
        for (DockAct act : extra) {
            if (ofExtra.get(Finding.extraKey(act)) == Decision.TAKE_IN) {
                soils.add(new BookedSoil(++number, act.about(), false));
            }
        }
        return soils;
    }

    /** What is still to be done before it can be booked in; empty when nothing is. */
    public List<String> lacking() {
        List<String> lacking = new ArrayList<>();
        if (boxes.isEmpty()) {
            lacking.add("No box was noted: say which box came.");
        }
        if (counted.isEmpty()) {
            lacking.add("The bags are not counted.");
        }
        open().forEach(one ->
                lacking.add("Not settled: " + one.about() + ", " + one.kind().phrase() + "."));
        if (lacking.isEmpty() && soils().isEmpty()) {
            lacking.add("No soil is left to be laid out: leave the worksheet instead.");
        }
        return lacking;
    }

    /** Whether its soils may get lab numbers now. */
    public boolean mayBeLaidOut() {
        return booked.isPresent() && lacking().isEmpty();
    }

    /** What the client is to be told of how the box came. */
    public List<String> remarks() {
        return exceptions.stream()
                .filter(one -> !one.open())
                .filter(one -> switch (one.kind()) {
                    case MISSING, EXTRA, DUPLICATE, WET, BROKEN, TOO_LITTLE, ILLEGIBLE, OTHER -> true;
                    case COUNT, WRONG_ORDER, NO_ORIGIN, ORIGIN_UNCLEAR, NO_PERMIT -> false;
                })
                .map(Exceptional::sentence)
                .toList();
    }

    /** Why an act cannot be kept now; empty when it can. */
    public Optional<String> refusal(DockAct act) {
        if (booked.isPresent()
                && act.what() != DockAct.What.MADE_REGULATED
                && !(act.what() == DockAct.What.TAKEN_BACK
                        && act.about().equals(booked.get().id()))) {
            return Optional.of("It is booked in. Take the booking back first, with a reason.");
        }
        return switch (act.what()) {
            case BOX ->
                when(act.about().isBlank(), "Say which box: its label, or a number of your own.")
                        .or(() -> when(
                                boxes.stream().anyMatch(box -> box.about().equals(act.about())),
                                "Box " + act.about() + " was noted before."));
            case COUNTED ->
                when(act.number() == 0, "Say how many bags there are, 1 or more.")
                        .or(() -> refusalOfAnother(act, counted, "bags were counted"));
            case WEIGHED ->
                when(act.number() == 0, "Say the mass in whole grams, 1 or more.")
                        .or(() -> refusalOfAnother(act, weighed, "g were weighed"));
            case THERE -> refusalOfBag(act);
            case EXTRA -> when(act.about().isBlank(), "Say what is written on it, or \"no label\".");
            case FOUND -> refusalOfFound(act);
            case ORIGIN ->
                when(act.says().isEmpty(), "Say the country, two capital letters.")
                        .or(() -> when(act.reason().isBlank(), "Say who stated the origin."));
            case ASKED, ANSWERED ->
                when(
                                open().stream().noneMatch(one -> one.key().equals(act.about())),
                                "That exception is not open any more.")
                        .or(() -> when(
                                act.reason().isBlank(),
                                act.what() == DockAct.What.ASKED ? "Say whom you asked, and how." : "Say the answer."));
            case DECIDED -> refusalOfDecision(act);
            case BOOKED ->
                lacking().isEmpty()
                        ? when(
                                act.number() != soils().size()
                                        || !act.says().equals(regulated() ? DockAct.REGULATED : DockAct.ORDINARY)
                                        || !act.about().equals(permit()),
                                "It has changed since the page was drawn. Look at it again.")
                        : Optional.of(String.join(" ", lacking()));
            case MADE_REGULATED ->
                when(madeRegulated.isPresent(), "It became regulated before.")
                        .or(() -> when(act.reason().isBlank(), "Say where it met regulated soil."));
            case TAKEN_BACK ->
                when(act.reason().isBlank(), "Taking back needs a reason.")
                        .or(() -> when(
                                mayTakeBack().stream().noneMatch(one -> one.id().equals(act.about())),
                                "There is nothing like that to take back; it may be taken back already."));
        };
    }

    private static Optional<String> when(boolean refused, String says) {
        return refused ? Optional.of(says) : Optional.empty();
    }

    /** Another number in the place of one that was said needs its reason; the same number once more does not. */
    private static Optional<String> refusalOfAnother(DockAct act, Optional<DockAct> before, String words) {
        return before.filter(one -> one.number() != act.number() && act.reason().isBlank())
                .map(one -> one.number() + " " + words + " before. Say why it is another number.");
    }

    private Optional<String> refusalOfBag(DockAct act) {
        return when(
                        expected.bags().stream().noneMatch(bag -> bag.number() == act.number()),
                        "There is no bag " + act.number() + " on the sheet.")
                .or(
                        () -> when(
                                there.stream().anyMatch(one -> one.number() == act.number()),
                                "Bag " + act.number()
                                        + " was seen before. If this is another bag with the same label, note it as a bag that is not on the sheet."))
                .or(() -> when(
                        !act.says().equals(DockAct.SCANNED) && !act.says().equals(DockAct.TICKED),
                        "A bag is scanned or ticked."));
    }

    private Optional<String> refusalOfFound(DockAct act) {
        Optional<ExceptionKind> kind = ExceptionKind.of(act.says()).filter(ExceptionKind::saidByPerson);
        return when(kind.isEmpty(), "\"" + act.says() + "\" is nothing that is noted of a bag.")
                .or(() -> when(
                        act.number() > 0 && there.stream().noneMatch(one -> one.number() == act.number()),
                        "Bag " + act.number() + " was not seen yet: scan it or tick it first."))
                .or(() -> when(
                        kind.equals(Optional.of(ExceptionKind.OTHER))
                                && act.reason().isBlank(),
                        "Say what it is."))
                .or(() -> when(
                        exceptions.stream().anyMatch(one -> one.key().equals(Finding.foundKey(act))),
                        "That was noted before."));
    }

    private Optional<String> refusalOfDecision(DockAct act) {
        Optional<Exceptional> about =
                open().stream().filter(one -> one.key().equals(act.about())).findFirst();
        return when(
                        about.isEmpty(),
                        "That exception is not open any more: it was settled, or what it was about has changed.")
                .or(() -> when(
                        about.orElseThrow().kind().decisions().isEmpty(),
                        "Nobody can decide this: it is settled by another count, or by a permit."))
                .or(() -> when(
                        about.orElseThrow().kind().decisions().stream()
                                .noneMatch(one -> one.word().equals(act.says())),
                        "\"" + act.says() + "\" cannot be decided of this."))
                .or(() -> when(act.reason().isBlank(), "A decision needs a reason."));
    }

    /** What may be taken back, in the order in which it was done; of what is booked in, the booking alone. */
    public List<DockAct> mayTakeBack() {
        if (booked.isPresent()) {
            return List.of(booked.get());
        }
        List<DockAct> acts = new ArrayList<>(boxes);
        counted.ifPresent(acts::add);
        acts.addAll(there);
        acts.addAll(extra);
        for (Exceptional one : exceptions) {
            one.foundBy().filter(act -> act.what() == DockAct.What.FOUND).ifPresent(acts::add);
            acts.addAll(one.dialogue());
            one.settledBy().ifPresent(acts::add);
        }
        acts.sort(Comparator.comparing(DockAct::at));
        return acts;
    }

    /** What is not as the sheet says. */
    private record Finding(
            Expected expected,
            Origin origin,
            Ruling ruling,
            Optional<DockAct> counted,
            Map<Integer, DockAct> there,
            List<DockAct> extra,
            List<DockAct> acts) {
        private static final String WHOLE = "The submission";

        static String extraKey(DockAct act) {
            return ExceptionKind.EXTRA.word() + ":" + act.id();
        }

        static String foundKey(DockAct act) {
            return act.says() + ":" + act.number();
        }

        List<Exceptional> all() {
            List<Exceptional> found = new ArrayList<>();
            ofOrigin(found);
            count(found);
            bags(found);
            order(found);
            for (DockAct act : acts) {
                if (act.what() == DockAct.What.FOUND) {
                    ExceptionKind kind = ExceptionKind.of(act.says()).orElseThrow();
                    add(found, foundKey(act), kind, act.number(), bag(act.number()), act.reason(), Optional.of(act));
                }
            }
            return found;
        }

        private void ofOrigin(List<Exceptional> found) {
            if (origin.missing() || ruling.answer() == Ruling.Answer.MISSING) {
                add(found, ExceptionKind.NO_ORIGIN.word(), ExceptionKind.NO_ORIGIN, 0, WHOLE, ruling.says());
            } else if (ruling.answer() == Ruling.Answer.UNCLEAR) {
                // A decision holds for this origin under these lists and for no other.
                String key = ExceptionKind.ORIGIN_UNCLEAR.word() + ":"
                        + Content.digest(origin.toString(), ruling.says(), ruling.lookedUp())
                                .substring(0, 16);
                add(found, key, ExceptionKind.ORIGIN_UNCLEAR, 0, WHOLE, ruling.says());
            }
            boolean regulated = ruling.answer() == Ruling.Answer.REGULATED
                    || last(acts, DockAct.What.MADE_REGULATED)
                            .filter(act -> act.about().isEmpty())
                            .isPresent()
                    || found.stream().anyMatch(one -> one.decision().equals(Optional.of(Decision.AS_REGULATED)));
            if (regulated && !ruling.refused().isEmpty()) {
                add(
                        found,
                        ExceptionKind.NO_PERMIT.word(),
                        ExceptionKind.NO_PERMIT,
                        0,
                        WHOLE,
                        String.join("; ", ruling.refused()));
            }
        }

        private void count(List<Exceptional> found) {
            int seen = there.size() + extra.size();
            if (counted.isPresent() && counted.get().number() != seen) {
                add(
                        found,
                        ExceptionKind.COUNT.word(),
                        ExceptionKind.COUNT,
                        0,
                        WHOLE,
                        counted.get().number() + " bags counted, " + seen
                                + " seen one by one: look for the others, or count again");
            }
        }

        private void bags(List<Exceptional> found) {
            Map<String, Integer> labels = new HashMap<>();
            for (Expected.Bag bag : expected.bags()) {
                boolean missing = counted.isPresent() && !there.containsKey(bag.number());
                if (missing) {
                    add(
                            found,
                            ExceptionKind.MISSING.word() + ":" + bag.number(),
                            ExceptionKind.MISSING,
                            bag.number(),
                            bag(bag.number()),
                            "");
                }
                Integer before = labels.putIfAbsent(bag.words().strip().toLowerCase(Locale.ROOT), bag.number());
                if (before != null && !missing) {
                    add(
                            found,
                            ExceptionKind.DUPLICATE.word() + ":" + bag.number(),
                            ExceptionKind.DUPLICATE,
                            bag.number(),
                            bag(bag.number()),
                            "the sheet gives the same label to bag " + before);
                }
            }
            for (DockAct act : extra) {
                add(
                        found,
                        extraKey(act),
                        ExceptionKind.EXTRA,
                        0,
                        "Bag \"" + act.about() + "\"",
                        act.reason(),
                        Optional.of(act));
            }
        }

        /** Bags that were ticked say nothing of the order. */
        private void order(List<Exceptional> found) {
            List<Integer> scanned = there.values().stream()
                    .filter(act -> act.says().equals(DockAct.SCANNED))
                    .map(DockAct::number)
                    .toList();
            for (int i = 1; i < scanned.size(); i++) {
                if (scanned.get(i) < scanned.get(i - 1)) {
                    // A decision holds for the bags that were scanned by then.
                    add(
                            found,
                            ExceptionKind.WRONG_ORDER.word() + ":"
                                    + Content.digest(scanned.toString()).substring(0, 16),
                            ExceptionKind.WRONG_ORDER,
                            0,
                            WHOLE,
                            "bag " + scanned.get(i) + " came after bag " + scanned.get(i - 1));
                    return;
                }
            }
        }

        private String bag(int number) {
            return expected.bags().stream()
                    .filter(bag -> bag.number() == number)
                    .map(bag -> "Bag " + number + " \"" + bag.words() + "\"")
                    .findFirst()
                    .orElse(WHOLE);
        }

        private void add(
                List<Exceptional> found, String key, ExceptionKind kind, int number, String about, String says) {
            add(found, key, kind, number, about, says, Optional.empty());
        }

        private void add(
                List<Exceptional> found,
                String key,
                ExceptionKind kind,
                int number,
                String about,
                String says,
                Optional<DockAct> foundBy) {
            List<DockAct> dialogue = new ArrayList<>();
            Optional<DockAct> settled = Optional.empty();
            for (DockAct act : acts) {
                if (act.about().equals(key)) {
                    switch (act.what()) {
                        case ASKED, ANSWERED -> dialogue.add(act);
                        case DECIDED -> settled = Optional.of(act);
                        default -> {}
                    }
                }
            }
            found.add(new Exceptional(key, kind, number, about, says, foundBy, dialogue, settled));
        }
    }
}
