package org.tenmesh.web;

import static java.util.Objects.requireNonNull;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.UnaryOperator;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.custody.Seen;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.days.CustodyStore;

/** The record of regulated soil in memory. */
final class MemoryCustody implements CustodyStore {
    private final List<Draft<AreaList>> lists = new ArrayList<>();
    private final List<Draft<Permit>> permits = new ArrayList<>();

    @Override
    public int draft(AreaList list, int seen, String reason, String actor, Instant at) {
        lists.add(0, new Draft<>(list.name(), seen + 1, list, reason, actor, at, "0".repeat(64), Optional.empty()));
        return seen + 1;
    }

    @Override
    public int draft(Permit permit, int seen, String reason, String actor, Instant at) {
        permits.add(
                0, new Draft<>(permit.number(), seen + 1, permit, reason, actor, at, "0".repeat(64), Optional.empty()));
        return seen + 1;
    }

    @Override
    public void sign(
            Papers.Kind kind, String name, int version, LocalDate from, LocalDate today, String actor, Instant at) {
        Draft.Signature signature = new Draft.Signature(actor, at, from);
        switch (kind) {
            case AREAS -> lists.replaceAll(one -> signed(one, name, version, signature));
            case PERMIT -> permits.replaceAll(one -> signed(one, name, version, signature));
        }
    }

    private static <T> Draft<T> signed(Draft<T> one, String name, int version, Draft.Signature signature) {
        return one.name().equals(name) && one.version() == version
                ? new Draft<>(
                        name,
                        version,
                        one.paper(),
                        one.reason(),
                        one.draftedBy(),
                        one.draftedAt(),
                        one.sha256(),
                        Optional.of(signature))
                : one;
    }

    @Override
    public List<Draft<AreaList>> areaLists() {
        return List.copyOf(lists);
    }

    @Override
    public List<Draft<Permit>> permits() {
        return List.copyOf(permits);
    }

    @Override
    public List<Signed<AreaList>> signedAreas() {
        return lists.stream().flatMap(one -> one.signed().stream()).toList();
    }

    @Override
    public List<Signed<Permit>> signedPermits() {
        return permits.stream().flatMap(one -> one.signed().stream()).toList();
    }

    private final List<Parcel> parcels = new ArrayList<>();
    private final List<Move> moves = new ArrayList<>();

    @Override
    public Parcel receive(LedgerBook.Received received, LocalDate today, String person, Instant at) {
        Parcel parcel = new Parcel(
                "R" + (parcels.size() + 1),
                received.submission(),
                received.origin(),
                received.because(),
                received.permit().name(),
                received.permit().version(),
                today,
                received.permit().paper().keepUntil(today),
                received.condition(),
                received.massG().isPresent());
        keep(List.of(new Move(
                received.id(),
                Move.What.RECEIVED,
                parcel.code(),
                parcel.code(),
                PortionKind.PARCEL,
                "",
                received.place(),
                received.massG().orElse(0) * 1000,
                received.pieces(),
                "",
                "",
                person,
                at)));
        parcels.add(0, parcel);
        return parcel;
    }

    @Override
    public void keep(List<Move> lines) {
        Ledger ledger = Ledger.of(moves);
        lines.forEach(line -> ledger.add(line).ifPresent(fault -> {
            throw new Refused("This does not fit the account: " + fault.says() + ". Nothing was kept.");
        }));
        moves.addAll(lines);
    }

    @Override
    public List<Parcel> parcels() {
        return List.copyOf(parcels);
    }

    @Override
    public long newest() {
        return moves().size();
    }

    @Override
    public List<Move> moves() {
        return List.copyOf(moves);
    }

    final List<Seen> seen = new ArrayList<>();

    @Override
    public List<Seen> seen() {
        return List.copyOf(seen);
    }

    @Override
    public List<Seen.Stray> strays() {
        return List.of();
    }

    private final Map<String, ChargeState> charges = new LinkedHashMap<>();

    @Override
    public List<ChargeState> charges() {
        return List.copyOf(charges.values());
    }

    @Override
    public List<ChargeState> chargesUnderWay() {
        return charges.values().stream().filter(one -> one.closed().isEmpty()).toList();
    }

    @Override
    public void open(Charge charge, LocalDate today) {
        Permits.inForce(signedPermits(), today)
                .refusesCharge(charge.permit(), charge.permitVersion())
                .ifPresent(why -> {
                    throw new Refused(why);
                });
        charges.put(
                charge.name(),
                new ChargeState(
                        charge,
                        List.of(),
                        Optional.empty(),
                        List.of(),
                        List.of(),
                        Optional.empty(),
                        List.of(),
                        Optional.empty()));
    }

    private void change(String charge, UnaryOperator<ChargeState> how) {
        charges.compute(charge, (name, before) -> {
            if (before == null) {
                throw new Refused("There is no charge " + name + ". Nothing was done.");
            }
            return how.apply(before);
        });
    }

    private Move line(Move.What what, Held held, String charge, String person, Instant at) {
        return new Move(
                UUID.randomUUID().toString(),
                what,
                held.parcel(),
                held.code(),
                held.kind(),
                "",
                "",
                held.massMg(),
                held.pieces(),
                charge,
                "",
                person,
                at);
    }

    @Override
    public void load(String charge, List<String> codes, String person, Instant at) {
        Ledger ledger = Ledger.of(moves);
        List<Move> lines = new ArrayList<>();
        for (String code : codes) {
            Held held = ledger.portion(code)
                    .orElseThrow(() -> new Refused(code + " is not in the account. Nothing was loaded."));
            lines.add(line(Move.What.LOADED, held, charge, person, at));
        }
        keep(lines);
        change(charge, one -> {
            List<String> load = new ArrayList<>(one.load());
            load.addAll(codes);
            return new ChargeState(
                    one.charge(),
                    load,
                    Optional.of(at),
                    one.points(),
                    one.sources(),
                    one.closed(),
                    one.signatures(),
                    one.residue());
        });
    }

    @Override
    public void unload(String charge, String code, String person, Instant at) {
        Held held = Ledger.of(moves).portion(code).orElseThrow(() -> new Refused(code + " is not in the account."));
        keep(List.of(line(Move.What.UNLOADED, held, charge, person, at)));
    }

    @Override
    public void record(String charge, String source, List<Charge.Point> points, String person, Instant at) {
        change(charge, one -> {
            List<Charge.Point> all = new ArrayList<>(one.points());
            all.addAll(points);
            List<String> sources = new ArrayList<>(one.sources());
            sources.add(source);
            return new ChargeState(
                    one.charge(),
                    one.load(),
                    one.lastLoaded(),
                    all,
                    sources,
                    one.closed(),
                    one.signatures(),
                    one.residue());
        });
    }

    @Override
    public HeatRecord close(String charge, Instant openedAgain, Set<String> confirmed, String person, Instant at) {
        HeatRecord judged = ChargeBook.judged(requireNonNull(charges.get(charge)), openedAgain, confirmed);
        change(
                charge,
                one -> new ChargeState(
                        one.charge(),
                        one.load(),
                        one.lastLoaded(),
                        one.points(),
                        one.sources(),
                        Optional.of(new ChargeState.Closed(
                                openedAgain, List.copyOf(confirmed), judged.passed(), judged.reasons(), person, at)),
                        one.signatures(),
                        one.residue()));
        return judged;
    }

    @Override
    public void sign(String charge, String person, Instant at) {
        if (requireNonNull(charges.get(charge)).signatures().stream()
                .anyMatch(one -> one.by().equals(person))) {
            throw new Refused("You signed charge " + charge + " already: a second person has to. Nothing was signed.");
        }
        change(charge, one -> {
            List<ChargeState.Signature> signatures = new ArrayList<>(one.signatures());
            signatures.add(new ChargeState.Signature(person, at));
            return new ChargeState(
                    one.charge(),
                    one.load(),
                    one.lastLoaded(),
                    one.points(),
                    one.sources(),
                    one.closed(),
                    signatures,
                    one.residue());
        });
        if (charges.get(charge).destroyed()) {
            keep(Ledger.of(moves).load(charge).stream()
                    .map(held -> line(Move.What.DESTROYED, held, charge, person, at))
                    .toList());
        }
    }

    @Override
    public void release(String charge, ChargeState.Residue residue) {
        change(
                charge,
                one -> new ChargeState(
                        one.charge(),
                        one.load(),
                        one.lastLoaded(),
                        one.points(),
                        one.sources(),
                        one.closed(),
                        one.signatures(),
                        Optional.of(residue)));
    }

    final List<Became> became = new ArrayList<>();
    final List<Became.InOneTray> trays = new ArrayList<>();
    final List<String> toMove = new ArrayList<>();

    @Override
    public List<Became> became() {
        return List.copyOf(became);
    }

    @Override
    public List<Became.InOneTray> inOneTray() {
        return List.copyOf(trays);
    }

    @Override
    public List<String> toMove() {
        return List.copyOf(toMove);
    }

    @Override
    public void decide(String day, String tray, Became.Decision decision, String reason, String person, Instant at) {
        trays.replaceAll(one -> one.day().equals(day) && one.tray().equals(tray)
                ? new Became.InOneTray(
                        day,
                        tray,
                        one.regulated(),
                        one.ordinary(),
                        Optional.of(new Became.Decided(decision, reason, person, at)),
                        false)
                : one);
    }

    @Override
    public void ordinaryAgain(String parcel, String reason, String person, boolean quality, Instant at) {
        became.replaceAll(one -> {
            if (!one.parcel().equals(parcel)) {
                return one;
            }
            if (one.met()) {
                throw new Refused("The notes that count now say that it met regulated soil. Nothing was signed.");
            }
            List<Became.Signature> signatures = new ArrayList<>(one.signatures());
            signatures.add(new Became.Signature(person, quality, reason, at));
            return new Became(
                    one.submission(), parcel, one.because(), one.by(), one.at(), one.released(), false, signatures);
        });
    }

    /** A parcel whose permit nobody knows yet. */
    void receiveWithoutPermit(String code, String submission, Instant at) {
        keep(List.of(new Move(
                "met-" + code,
                Move.What.RECEIVED,
                code,
                code,
                PortionKind.PARCEL,
                "",
                "laid out",
                0,
                3,
                "",
                "",
                "A. Bench",
                at)));
        parcels.add(
                0,
                new Parcel(
                        code,
                        submission,
                        new Origin(Optional.of("IE"), List.of("Meath")),
                        "Ground on rack R-005",
                        "",
                        0,
                        LocalDate.of(2026, 11, 25),
                        Optional.empty(),
                        "regulated since it was ground",
                        false));
    }

    @Override
    public void enterPermit(
            String parcel, Signed<Permit> permit, String reason, LocalDate today, String person, Instant at) {
        parcels.replaceAll(one -> one.code().equals(parcel)
                ? new Parcel(
                        one.code(),
                        one.submission(),
                        one.origin(),
                        one.because(),
                        permit.name(),
                        permit.version(),
                        one.receivedOn(),
                        permit.paper().keepUntil(one.receivedOn()),
                        one.condition(),
                        one.weighed())
                : one);
    }

    @Override
    public Ledger ledger() {
        return Ledger.of(moves);
    }
}
