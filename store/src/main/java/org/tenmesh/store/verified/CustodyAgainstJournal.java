package org.tenmesh.store.verified;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Prepared;
import org.tenmesh.store.bench.NoteRows;
import org.tenmesh.store.custody.BecameBook;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Kept;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;

/** Lists of areas and permits against the journal. */
final class CustodyAgainstJournal {
    private static final DateTimeFormatter AT =
            DateTimeFormatter.ofPattern("yyyy-MM-dd'T'HH:mm:ss.SSS").withZone(ZoneOffset.UTC);

    private CustodyAgainstJournal() {}

    static void papers(Handle handle, Findings found) {
        List<String> stored = new ArrayList<>();
        Papers.areaLists(handle).forEach(one -> stored.addAll(lines(Papers.Kind.AREAS, one)));
        Papers.permits(handle).forEach(one -> stored.addAll(lines(Papers.Kind.PERMIT, one)));
        List<String> said = handle.createQuery("""
                        select subject || ', version ' || (j ->> 'version') || case what
                               when :drafted then ', drafted by ' || actor || ' because "' || (j ->> 'reason') || '", digest ' || (j ->> 'sha256')
                               else ', signed by ' || actor || ' for ' || (j ->> 'from') end
                               || ', ' || to_char(at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS')
                        from (select what, subject, actor, at, seq, detail::jsonb as j from journal.entry
                              where what in (:drafted, :signed)) e order by seq
                        """)
                .bind("drafted", Papers.DRAFTED)
                .bind("signed", Papers.SIGNED)
                .mapTo(String.class)
                .list();
        found.compared(said.size());
        List<String> left = new ArrayList<>(stored);
        found.differ(
                said.stream()
                        .filter(line -> !left.remove(line))
                        .map(line -> line + ": it is in the journal and not stored so")
                        .toList(),
                "lists of areas and permits");
        found.differ(
                left.stream()
                        .map(line ->
                                line + ": it is not in the journal so, it was put in or changed outside the program")
                        .toList(),
                "lists of areas and permits");
    }

    /** The account and the charges: what is kept against the journal, whether it adds up, whether what was destroyed was destroyed by a charge. */
    static void ledger(Handle handle, Findings found) {
        List<String> left = new ArrayList<>();
        LedgerBook.kept(handle).forEach(one -> left.add(line(one)));
        ChargeBook.kept(handle).forEach(one -> left.add(line(one)));
        BecameBook.kept(handle).forEach(one -> left.add(line(one)));
        List<String> said = handle.createQuery("""
                        select what, subject, actor, at, detail::jsonb ->> 'sha256' as sha256 from journal.entry
                        where what in ('custody-parcel', 'custody-moves', 'custody-charge-opened', 'custody-charge-record',
                            'custody-charge-closed', 'custody-charge-signed', 'custody-charge-residue', 'custody-became-regulated',
                            'custody-permit-entered', 'custody-tray-decided', 'custody-ordinary-again') order by seq
                        """)
                .map((rs, ctx) -> line(new Kept(
                        rs.getString("what"),
                        rs.getString("subject"),
                        rs.getString("sha256"),
                        rs.getString("actor"),
                        rs.getObject("at", OffsetDateTime.class).toInstant())))
                .list();
        found.compared(said.size());
        Set<String> stored = new HashSet<>(left);
        found.differ(
                said.stream()
                        .filter(line -> !stored.remove(line))
                        .map(line -> "regulated soil, " + line + ": it is in the journal and not stored so")
                        .toList(),
                "the account of regulated soil");
        found.differ(
                stored.stream()
                        .sorted()
                        .map(line -> "regulated soil, " + line
                                + ": it is not in the journal so, it was put in or changed outside the program")
                        .toList(),
                "the account of regulated soil");
        addsUp(handle, found);
        prepared(handle, found);
        found.differ(BecameBook.ordinary(handle), "soil that met regulated soil");
        found.differ(BecameBook.notSigned(handle), "soil that is ordinary again");
    }

    /** What preparing left of regulated soil is in the account, for every note that was kept since the account follows them. */
    private static void prepared(Handle handle, Findings found) {
        List<BenchAct> acts = NoteRows.racks(handle, Optional.empty());
        Set<String> followed = NoteRows.followed(handle);
        found.differ(
                Prepared.lacking(acts, LedgerBook.parcels(handle), LedgerBook.moves(handle)).stream()
                        .filter(one -> followed.contains(one.act().id()))
                        .map(one -> "the account of regulated soil has no line of " + one.words() + ", noted by "
                                + one.act().person() + at(one.act().storedAt()))
                        .toList(),
                "the account of regulated soil");
    }

    private static String line(Kept one) {
        return one.what() + " " + one.subject() + ", digest " + one.sha256() + ", by " + one.actor() + at(one.at());
    }

    private static void addsUp(Handle handle, Findings found) {
        List<Move> moves = LedgerBook.moves(handle);
        Ledger ledger = Ledger.of(moves);
        found.differ(
                ledger.faults().stream()
                        .map(fault -> "the account of regulated soil does not add up: parcel "
                                + fault.line().parcel() + ", " + fault.says())
                        .toList(),
                "the account of regulated soil");
        if (!ledger.balance().exact()) {
            found.differs("the account of regulated soil does not balance: "
                    + ledger.balance().rest());
        }
        Map<String, ChargeState> charges = new HashMap<>();
        ChargeBook.charges(handle).forEach(one -> charges.put(one.charge().name(), one));
        List<String> wrong = new ArrayList<>();
        Set<String> asked = new HashSet<>();
        for (Move move : moves) {
            if (move.what() == Move.What.DESTROYED && asked.add(move.charge())) {
                wrong.addAll(notDestroyed(handle, move.charge(), charges.get(move.charge())));
            }
        }
        found.differ(wrong, "charges");
    }

    private static List<String> notDestroyed(Handle handle, String name, @Nullable ChargeState charge) {
        String stem = "what charge " + name + " destroyed: ";
        if (charge == null) {
            return List.of(stem + "there is no such charge");
        }
        List<String> wrong = new ArrayList<>();
        boolean passes = charge.closed()
                .filter(closed -> ChargeBook.judged(charge, closed.openedAgain(), Set.copyOf(closed.confirmed()))
                        .passed())
                .isPresent();
        if (!passes) {
            wrong.add(stem + "its record does not meet the limits of its treatment");
        }
        if (charge.signatures().stream()
                        .map(one -> ChargeBook.now(handle, one.by()))
                        .distinct()
                        .count()
                < 2) {
            wrong.add(stem + "it does not have the signatures of two people");
        }
        return wrong;
    }

    private static List<String> lines(Papers.Kind kind, Draft<?> one) {
        String version = kind.word() + "/" + one.name() + ", version " + one.version();
        List<String> lines = new ArrayList<>();
        lines.add(version + ", drafted by " + one.draftedBy() + " because \"" + one.reason() + "\", digest "
                + one.sha256() + at(one.draftedAt()));
        one.signature()
                .ifPresent(signature -> lines.add(
                        version + ", signed by " + signature.by() + " for " + signature.from() + at(signature.at())));
        return lines;
    }

    private static String at(Instant at) {
        return ", " + AT.format(at);
    }
}
