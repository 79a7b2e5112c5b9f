package org.tenmesh.core.custody;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.RackRound;
import org.tenmesh.core.bench.Subject;

/**
 * What preparing regulated soil on a rack leaves: rejects of the sieve, dust of the mill, and soil that grinding took away. A pure function of what
 * was noted; the account has a line of each, whose id follows from the note.
 *
 * @param act the note
 * @param submission whose soil it is
 * @param what {@code TAKEN} for a portion that lies somewhere, {@code GROUND_AWAY} for soil that does not
 * @param kind of the portion; a parcel where it is none
 * @param massMg as weighed, mg; 0 where nobody weighed it
 */
public record Prepared(BenchAct act, String submission, Move.What what, PortionKind kind, long massMg) {
    private static final String BACK = "back-";

    /**
     * Everything that these notes leave of regulated soil. Rejects of a soil that met regulated soil only later were ordinary when they were thrown
     * away.
     *
     * @param acts about racks and mills, in the order in which they were stored
     */
    public static List<Prepared> of(List<BenchAct> acts) {
        Map<RackRound, Instant> since = Met.of(acts).stream()
                .collect(Collectors.toMap(Met::round, met -> met.ground().deviceAt()));
        List<Prepared> all = new ArrayList<>();
        for (RackRound round : RackRound.of(acts)) {
            Instant regulated = round.regulated() ? Instant.MIN : since.getOrDefault(round, Instant.MAX);
            if (!regulated.equals(Instant.MAX)) {
                ofRound(round, regulated, all);
            }
        }
        return all;
    }

    private static void ofRound(RackRound round, Instant regulated, List<Prepared> all) {
        Map<Integer, Double> massG = new HashMap<>();
        Set<Integer> groundSince = new HashSet<>();
        for (BenchAct act : round.acts()) {
            int place = (int) act.measured(Measure.PLACE);
            Optional<String> submission = round.at(place).map(Rack.Load::submission);
            boolean counts = !act.deviceAt().isBefore(regulated) && submission.isPresent();
            switch (act.what()) {
                case COARSE -> {
                    double coarse = act.measured(Measure.COARSE_G);
                    if (counts && coarse > 0) {
                        all.add(new Prepared(
                                act, submission.orElseThrow(), Move.What.TAKEN, PortionKind.REJECTS, mg(coarse)));
                    }
                    massG.computeIfPresent(place, (any, mass) -> mass - coarse);
                }
                case WEIGHED -> {
                    double now = act.measured(Measure.MASS_G);
                    double away = massG.getOrDefault(place, 0.0) - now;
                    boolean ground = groundSince.remove(place);
                    if (counts && ground && away > 0) {
                        all.add(new Prepared(
                                act, submission.orElseThrow(), Move.What.GROUND_AWAY, PortionKind.PARCEL, mg(away)));
                    }
                    massG.put(place, now);
                }
                case DONE -> {
                    if (act.step().equals(Rack.GRIND)) {
                        groundSince.addAll(massG.keySet());
                        if (!act.deviceAt().isBefore(regulated)) {
                            round.loads().stream()
                                    .map(Rack.Load::submission)
                                    .distinct()
                                    .forEach(name ->
                                            all.add(new Prepared(act, name, Move.What.TAKEN, PortionKind.DUST, 0)));
                        }
                    }
                }
                default -> {}
            }
        }
    }

    private static long mg(double grams) {
        return Math.round(grams * 1000);
    }

    /** The id of its line in the account of a parcel. */
    public String id(String parcel) {
        return switch (kind) {
            case REJECTS -> "sieve-" + act.id();
            case DUST -> "dust-" + act.id() + "-" + parcel;
            default -> "away-" + act.id();
        };
    }

    /** In words, for people. */
    public String words() {
        return (what == Move.What.GROUND_AWAY ? "soil " + what.phrase() : kind.phrase()) + " of submission "
                + submission + ", rack " + act.subject().code();
    }

    /**
     * The lines that the account lacks of what was noted, and those that put right what was taken back since.
     *
     * @param acts about racks and mills, in the order in which they were stored
     * @param parcels the newest first
     * @param moves the account of at least these parcels, in its order
     * @param at the moment of the new lines: not before that of the parcels
     */
    public static List<Move> lines(List<BenchAct> acts, List<Parcel> parcels, List<Move> moves, Instant at) {
        Ledger ledger = Ledger.of(moves);
        Set<String> ids = moves.stream().map(Move::id).collect(Collectors.toSet());
        List<Move> lines = new ArrayList<>();
        for (Prepared one : of(acts)) {
            parcel(one.submission(), parcels, ledger)
                    .filter(parcel -> !ids.contains(one.id(parcel.code())))
                    .ifPresent(parcel -> one.add(parcel, ledger, lines, at));
        }
        Set<String> back = acts.stream()
                .filter(act ->
                        act.what() == BenchAct.What.TAKEN_BACK && act.subject().kind() == Subject.Kind.RACK)
                .map(BenchAct::about)
                .collect(Collectors.toSet());
        if (!back.isEmpty()) {
            for (Move move : moves) {
                if (ofNote(move).filter(back::contains).isPresent() && !ids.contains(BACK + move.id())) {
                    takeBack(move, ledger, lines, at);
                }
            }
        }
        return lines;
    }

    /** What was noted of soil that is in the account, and has no line there. */
    public static List<Prepared> lacking(List<BenchAct> acts, List<Parcel> parcels, List<Move> moves) {
        Ledger ledger = Ledger.of(moves);
        Set<String> ids = moves.stream().map(Move::id).collect(Collectors.toSet());
        List<Prepared> lacking = new ArrayList<>();
        for (Prepared one : of(acts)) {
            parcel(one.submission(), parcels, ledger)
                    .filter(parcel -> !ids.contains(one.id(parcel.code())))
                    .filter(parcel -> one.what() == Move.What.TAKEN || held(ledger, parcel))
                    .ifPresent(parcel -> lacking.add(one));
        }
        return lacking;
    }

    private static boolean held(Ledger ledger, Parcel parcel) {
        return ledger.portion(parcel.code())
                .filter(held -> held.state() == Held.State.HELD)
                .isPresent();
    }

    /** The parcel of a submission that was not entered by mistake and whose soil is not ordinary again. */
    private static Optional<Parcel> parcel(String submission, List<Parcel> parcels, Ledger ledger) {
        return parcels.stream()
                .filter(one -> one.submission().equals(submission))
                .filter(one -> ledger.portion(one.code())
                        .filter(held -> held.state() != Held.State.MISTAKEN && held.state() != Held.State.ORDINARY)
                        .isPresent())
                .findFirst();
    }

    private void add(Parcel parcel, Ledger ledger, List<Move> lines, Instant at) {
        String id = id(parcel.code());
        // Soil of a parcel that was not weighed is kept by pieces alone: then the note says what was weighed.
        long weighedMg = parcel.weighed() ? massMg : 0;
        long thereMg = held(ledger, parcel)
                ? ledger.portion(parcel.code()).orElseThrow().massMg()
                : 0;
        String note = (what == Move.What.GROUND_AWAY
                        ? "weighed after grinding"
                        : kind == PortionKind.REJECTS ? "sieved" : "ground")
                + " on rack " + act.subject().code()
                + (massMg == 0 ? ", not weighed" : ", " + massMg / 1000.0 + " g");
        if (what == Move.What.GROUND_AWAY) {
            if (held(ledger, parcel)) {
                add(
                        line(id, what, parcel, parcel.code(), kind, "", Math.min(weighedMg, thereMg), 0, note, at),
                        ledger,
                        lines);
            }
            return;
        }
        String code = free(ledger, parcel.code());
        long takenMg = Math.min(weighedMg, thereMg);
        add(line(id, what, parcel, code, kind, parcel.code(), takenMg, 1, note, at), ledger, lines);
        if (weighedMg > takenMg) {
            add(
                    line(
                            id + "-more",
                            Move.What.WEIGHED,
                            parcel,
                            code,
                            kind,
                            "",
                            weighedMg - takenMg,
                            0,
                            note + ": more than the account had of the parcel",
                            at),
                    ledger,
                    lines);
        }
    }

    private static void add(Move line, Ledger ledger, List<Move> lines) {
        if (ledger.add(line).isEmpty()) {
            lines.add(line);
        }
    }

    private Move line(
            String id,
            Move.What does,
            Parcel parcel,
            String portion,
            PortionKind of,
            String from,
            long mg,
            int pieces,
            String note,
            Instant at) {
        String place = does != Move.What.TAKEN
                ? ""
                : of == PortionKind.REJECTS
                        ? "rejects of the sieve"
                        : act.about().isEmpty() ? "mill not said" : "mill " + act.about();
        return new Move(id, does, parcel.code(), portion, of, from, place, mg, pieces, "", note, act.person(), at);
    }

    /** The first portion of a kind is the one that must exist of its parcel; further ones are numbered. */
    private String free(Ledger ledger, String parcel) {
        String code = parcel + "." + kind.word();
        int number = 1;
        while (ledger.portion(code + (number == 1 ? "" : "-" + number)).isPresent()) {
            number++;
        }
        return code + (number == 1 ? "" : "-" + number);
    }

    /** The note that a line was made for; empty for another line. */
    private static Optional<String> ofNote(Move move) {
        String id = move.id();
        if (id.startsWith("sieve-") && !id.endsWith("-more")) {
            return Optional.of(id.substring("sieve-".length()));
        }
        if (id.startsWith("away-")) {
            return Optional.of(id.substring("away-".length()));
        }
        String end = "-" + move.parcel();
        return id.startsWith("dust-") && id.endsWith(end)
                ? Optional.of(id.substring("dust-".length(), id.length() - end.length()))
                : Optional.empty();
    }

    private static void takeBack(Move move, Ledger ledger, List<Move> lines, Instant at) {
        Optional<Held> held = ledger.portion(move.portion()).filter(one -> one.state() == Held.State.HELD);
        if (held.isEmpty()) {
            return;
        }
        String note = "the note was taken back";
        if (move.what() == Move.What.GROUND_AWAY) {
            add(back(move, BACK + move.id(), Move.What.WEIGHED, move.massMg(), 0, note, at), ledger, lines);
            return;
        }
        long moreMg = held.get().massMg() - move.massMg();
        if (moreMg != 0) {
            add(back(move, BACK + move.id() + "-more", Move.What.WEIGHED, -moreMg, 0, note, at), ledger, lines);
        }
        add(
                back(
                        move,
                        BACK + move.id(),
                        Move.What.MISTAKEN,
                        move.massMg(),
                        held.get().pieces(),
                        note,
                        at),
                ledger,
                lines);
    }

    private static Move back(Move move, String id, Move.What what, long mg, int pieces, String note, Instant at) {
        return new Move(
                id, what, move.parcel(), move.portion(), move.kind(), "", "", mg, pieces, "", note, move.person(), at);
    }
}
