package org.tenmesh.core.custody;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.LongUnaryOperator;
import org.tenmesh.core.custody.Balance.Account;
import org.tenmesh.core.custody.Balance.Amount;

/**
 * The account of regulated soil: every line takes from one account what it gives to another. A pure function of its lines, in the order in which
 * they were kept. A line that does not fit changes nothing and is a fault.
 *
 * <p>Not for use by several threads while lines are added.
 */
public final class Ledger {
    private final Map<String, Held> portions = new LinkedHashMap<>();
    private final Map<String, Map<Account, Amount>> outside = new LinkedHashMap<>();
    private final Set<String> ids = new HashSet<>();
    private final Set<String> notMade = new HashSet<>();
    private final Set<String> used = new HashSet<>();
    private final List<Fault> faults = new ArrayList<>();

    /** A line that does not fit what was there before. */
    public record Fault(Move line, String says) {}

    /** The account after these lines. */
    public static Ledger of(Collection<Move> lines) {
        Ledger ledger = new Ledger();
        lines.forEach(ledger::add);
        return ledger;
    }

    /** This account and further lines; this one stays as it is. */
    public Ledger and(Collection<Move> lines) {
        Ledger ledger = new Ledger();
        ledger.portions.putAll(portions);
        outside.forEach((parcel, accounts) -> ledger.outside.put(parcel, new EnumMap<>(accounts)));
        ledger.ids.addAll(ids);
        ledger.notMade.addAll(notMade);
        ledger.used.addAll(used);
        ledger.faults.addAll(faults);
        lines.forEach(ledger::add);
        return ledger;
    }

    /** The account as it stood at a moment. */
    public static Ledger at(Collection<Move> lines, Instant moment) {
        return of(lines.stream().filter(line -> !line.at().isAfter(moment)).toList());
    }

    /** Adds a line; a fault where it does not fit. */
    public Optional<Fault> add(Move line) {
        String says = ids.contains(line.id()) ? "a line of this id is there already" : apply(line);
        if (says.isEmpty()) {
            ids.add(line.id());
            return Optional.empty();
        }
        Fault fault = new Fault(line, line.what().phrase() + ", " + line.portion() + ": " + says);
        faults.add(fault);
        return Optional.of(fault);
    }

    private String apply(Move line) {
        return switch (line.what()) {
            case RECEIVED -> received(line);
            case TAKEN -> taken(line);
            case NOT_MADE -> {
                if (portions.containsKey(line.portion())) {
                    yield "it is in the account";
                }
                notMade.add(line.portion());
                yield "";
            }
            default -> {
                Held held = portions.get(line.portion());
                if (held == null) {
                    yield "it is not in the account";
                }
                if (!held.parcel().equals(line.parcel()) || held.kind() != line.kind()) {
                    yield "it is " + held.kind().phrase() + " of parcel " + held.parcel();
                }
                yield later(line, held);
            }
        };
    }

    private String received(Move line) {
        if (portions.containsKey(line.portion())) {
            return "it is in the account already";
        }
        if (line.kind() != PortionKind.PARCEL || !line.portion().equals(line.parcel())) {
            return "what is received is a parcel";
        }
        if (line.pieces() < 1) {
            return "a parcel has at least one piece";
        }
        post(line, Account.RECEIVED, -line.massMg(), -line.pieces());
        put(line, line.massMg(), "");
        return "";
    }

    private String taken(Move line) {
        Held from = portions.get(line.from());
        if (from == null || !from.parcel().equals(line.parcel())) {
            return "what it was taken of, " + line.from() + ", is not in the account of parcel " + line.parcel();
        }
        Held before = portions.get(line.portion());
        // Soil that was ordinary again and is regulated anew comes in once more, with another parcel.
        if ((before != null && before.state() != Held.State.ORDINARY)
                || line.from().equals(line.portion())) {
            return "it is in the account already";
        }
        if (line.kind() == PortionKind.PARCEL || line.pieces() < 1) {
            return "a portion is at least one piece, and no parcel";
        }
        // A portion that was forgotten is entered late, when what it was taken of may be gone: without soil, which went
        // with that.
        if (from.state() != Held.State.HELD && (line.massMg() > 0 || from.state() == Held.State.MISTAKEN)) {
            return line.from() + " is " + from.state().phrase();
        }
        if (line.massMg() > from.massMg()) {
            return "it takes " + line.massMg() + " mg of " + line.from() + ", which has " + from.massMg() + " mg";
        }
        // Every portion comes in a vessel of its own; the bags of a parcel stay its own until they are destroyed.
        post(line, Account.VESSELS, 0, -line.pieces());
        long mass = from.massMg() - line.massMg();
        portions.put(from.code(), from.with(from.state(), mass, from.pieces(), from.place(), from.charge(), line));
        used.add(from.code());
        put(line, line.massMg(), line.from());
        return "";
    }

    private void put(Move line, long massMg, String from) {
        portions.put(
                line.portion(),
                new Held(
                        line.portion(),
                        line.parcel(),
                        line.kind(),
                        from,
                        massMg,
                        line.pieces(),
                        Held.State.HELD,
                        line.place(),
                        "",
                        line.at(),
                        line.at(),
                        line.person()));
        notMade.remove(line.portion());
        used.remove(line.portion());
    }

    private String later(Move line, Held held) {
        String place = line.place().isEmpty() ? held.place() : line.place();
        switch (line.what()) {
            case MOVED, COUNTED -> {
                if (held.state() != Held.State.HELD) {
                    return "it is " + held.state().phrase();
                }
                portions.put(held.code(), held.with(held.state(), held.massMg(), held.pieces(), place, "", line));
                return "";
            }
            case DRIED -> {
                return mass(line, held, Account.WATER, have -> have - line.massMg());
            }
            case WEIGHED -> {
                return mass(line, held, Account.DIFFERENCE, have -> have + line.massMg());
            }
            case GROUND_AWAY -> {
                return mass(line, held, Account.GROUND_AWAY, have -> have - line.massMg());
            }
            case LOADED -> {
                if (held.state() != Held.State.HELD) {
                    return "it is " + held.state().phrase();
                }
                portions.put(
                        held.code(),
                        held.with(Held.State.LOADED, held.massMg(), held.pieces(), place, line.charge(), line));
                return "";
            }
            case UNLOADED -> {
                if (!inCharge(held, line)) {
                    return "it does not lie in charge " + line.charge();
                }
                portions.put(held.code(), held.with(Held.State.HELD, held.massMg(), held.pieces(), place, "", line));
                return "";
            }
            case DESTROYED -> {
                return inCharge(held, line)
                        ? gone(line, held, Account.DESTROYED, Held.State.DESTROYED)
                        : "it does not lie in charge " + line.charge();
            }
            case SHIPPED -> {
                return held.state() == Held.State.HELD
                        ? gone(line, held, Account.SHIPPED, Held.State.SHIPPED)
                        : "it is " + held.state().phrase();
            }
            case LOST -> {
                return held.state() == Held.State.HELD
                        ? gone(line, held, Account.LOST, Held.State.LOST)
                        : "it is " + held.state().phrase();
            }
            case ORDINARY -> {
                return held.state() == Held.State.HELD
                        ? gone(line, held, Account.ORDINARY, Held.State.ORDINARY)
                        : "it is " + held.state().phrase();
            }
            case FOUND -> {
                return found(line, held, place);
            }
            case MISTAKEN -> {
                return mistaken(line, held);
            }
            default -> throw new IllegalStateException("not a later line: " + line.what());
        }
    }

    private static boolean inCharge(Held held, Move line) {
        return held.state() == Held.State.LOADED && held.charge().equals(line.charge());
    }

    private String mass(Move line, Held held, Account account, LongUnaryOperator change) {
        if (held.state() != Held.State.HELD) {
            return "it is " + held.state().phrase();
        }
        long now = change.applyAsLong(held.massMg());
        if (now < 0) {
            return "it has " + held.massMg() + " mg, and cannot lose " + (held.massMg() - now) + " mg";
        }
        post(line, account, held.massMg() - now, 0);
        portions.put(held.code(), held.with(held.state(), now, held.pieces(), held.place(), "", line));
        return "";
    }

    private String gone(Move line, Held held, Account account, Held.State state) {
        if (line.massMg() != held.massMg() || line.pieces() != held.pieces()) {
            return "the line says " + line.massMg() + " mg in " + line.pieces() + " pieces, the account has "
                    + held.massMg() + " mg in " + held.pieces();
        }
        post(line, account, held.massMg(), held.pieces());
        portions.put(held.code(), held.with(state, 0, 0, held.place(), line.charge(), line));
        return "";
    }

    private String found(Move line, Held held, String place) {
        if (held.state() != Held.State.LOST) {
            return "it is " + held.state().phrase();
        }
        Amount lost = outside.getOrDefault(line.parcel(), Map.of()).getOrDefault(Account.LOST, Amount.NOTHING);
        if (line.massMg() > lost.massMg() || line.pieces() < 1 || line.pieces() > lost.pieces()) {
            return "more was found than was lost of parcel " + line.parcel();
        }
        post(line, Account.LOST, -line.massMg(), -line.pieces());
        portions.put(held.code(), held.with(Held.State.HELD, line.massMg(), line.pieces(), place, "", line));
        return "";
    }

    private String mistaken(Move line, Held held) {
        if (held.state() != Held.State.HELD) {
            return "it is " + held.state().phrase();
        }
        if (held.kind() == PortionKind.PARCEL) {
            return cancelled(line, held);
        }
        Held from = portions.get(held.from());
        if (used.contains(held.code()) || from == null || from.state() != Held.State.HELD) {
            return "something was taken of it, or what it was taken of is no longer there";
        }
        if (line.massMg() != held.massMg() || line.pieces() != held.pieces()) {
            return "the line says " + line.massMg() + " mg in " + line.pieces() + " pieces, the account has "
                    + held.massMg() + " mg in " + held.pieces();
        }
        post(line, Account.VESSELS, 0, held.pieces());
        portions.put(
                from.code(),
                from.with(from.state(), from.massMg() + held.massMg(), from.pieces(), from.place(), "", line));
        portions.put(held.code(), held.with(Held.State.MISTAKEN, 0, 0, held.place(), "", line));
        return "";
    }

    /** A parcel that was not to be received, as where its booking was taken back: as long as nothing was taken of it. */
    private String cancelled(Move line, Held held) {
        if (used.contains(held.code())) {
            return "portions were taken of it: they are regulated and stay in the account";
        }
        if (line.massMg() != held.massMg() || line.pieces() != held.pieces()) {
            return "the line says " + line.massMg() + " mg in " + line.pieces() + " pieces, the account has "
                    + held.massMg() + " mg in " + held.pieces();
        }
        post(line, Account.RECEIVED, held.massMg(), held.pieces());
        portions.put(held.code(), held.with(Held.State.MISTAKEN, 0, 0, held.place(), "", line));
        return "";
    }

    private void post(Move line, Account account, long massMg, long pieces) {
        Map<Account, Amount> accounts = outside.computeIfAbsent(line.parcel(), parcel -> new EnumMap<>(Account.class));
        accounts.merge(account, new Amount(massMg, pieces), (a, b) -> a.plus(b.massMg(), b.pieces()));
    }

    /** Every line that did not fit. A kept account has none: one that has was changed outside the program. */
    public List<Fault> faults() {
        return List.copyOf(faults);
    }

    /** Everything that ever was in the account, in the order in which it came. */
    public Collection<Held> portions() {
        return List.copyOf(portions.values());
    }

    public Optional<Held> portion(String code) {
        return Optional.ofNullable(portions.get(code));
    }

    /** What is still in the laboratory. */
    public List<Held> here() {
        return portions.values().stream().filter(Held::here).toList();
    }

    /** What lies in a charge now. */
    public List<Held> load(String charge) {
        return portions.values().stream()
                .filter(one -> one.state() == Held.State.LOADED && one.charge().equals(charge))
                .toList();
    }

    /** Whether somebody said that an expected portion was never made. */
    public boolean notMade(String code) {
        return notMade.contains(code);
    }

    /** The balance of one parcel. */
    public Balance balance(String parcel) {
        Amount held = Amount.NOTHING;
        for (Held one : portions.values()) {
            if (one.here() && one.parcel().equals(parcel)) {
                held = held.plus(one.massMg(), one.pieces());
            }
        }
        return Balance.of(outside.getOrDefault(parcel, Map.of()), held);
    }

    /** The balance of every parcel, by its code. */
    public Map<String, Balance> balances() {
        Map<String, Amount> held = new HashMap<>();
        for (Held one : portions.values()) {
            if (one.here()) {
                held.merge(
                        one.parcel(), new Amount(one.massMg(), one.pieces()), (a, b) -> a.plus(b.massMg(), b.pieces()));
            }
        }
        Map<String, Balance> balances = new HashMap<>();
        outside.forEach((parcel, accounts) ->
                balances.put(parcel, Balance.of(accounts, held.getOrDefault(parcel, Amount.NOTHING))));
        return balances;
    }

    /** The balance of all parcels together. */
    public Balance balance() {
        Map<Account, Amount> all = new EnumMap<>(Account.class);
        outside.values()
                .forEach(accounts -> accounts.forEach(
                        (account, amount) -> all.merge(account, amount, (a, b) -> a.plus(b.massMg(), b.pieces()))));
        Amount held = Amount.NOTHING;
        for (Held one : portions.values()) {
            if (one.here()) {
                held = held.plus(one.massMg(), one.pieces());
            }
        }
        return Balance.of(all, held);
    }

    /**
     * What a count of a place found: everything that the account has there is scanned.
     *
     * @param missing the account has it there and nobody saw it
     * @param elsewhere it was seen there and the account has it at another place
     * @param gone it was seen there and the account says that it is no longer in the laboratory
     * @param unknown codes that the account does not have
     */
    public record Count(List<Held> missing, List<Held> elsewhere, List<Held> gone, List<String> unknown) {}

    /** Compares what was scanned at a place with the account. */
    public Count count(String place, Collection<String> scanned) {
        Set<String> seen = new HashSet<>(scanned);
        List<Held> missing = portions.values().stream()
                .filter(one ->
                        one.state() == Held.State.HELD && one.place().equals(place) && !seen.contains(one.code()))
                .toList();
        List<Held> elsewhere = new ArrayList<>();
        List<Held> gone = new ArrayList<>();
        List<String> unknown = new ArrayList<>();
        for (String code : new LinkedHashSet<>(scanned)) {
            Held held = portions.get(code);
            if (held == null) {
                unknown.add(code);
            } else if (!held.here()) {
                gone.add(held);
            } else if (held.state() == Held.State.LOADED || !held.place().equals(place)) {
                elsewhere.add(held);
            }
        }
        return new Count(missing, elsewhere, gone, unknown);
    }
}
