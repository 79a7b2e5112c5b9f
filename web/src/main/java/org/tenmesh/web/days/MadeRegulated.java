package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

/**
 * Ordinary soil that met regulated soil in a mill: its booking and the account of regulated soil follow. Done before the note at the bench is kept:
 * should the program stop in between, soil is kept apart that need not be, never the other way round.
 *
 * @param sheets reads worksheets; empty where the program takes none
 * @param today the laboratory's date
 */
public record MadeRegulated(LaboratoryStore store, Optional<SheetReader> sheets, LocalDate today, Instant now) {
    /** The id of the line by which a submission is received into the account, once; after it left the account, once more. */
    public static String receipt(CustodyStore account, String submission) {
        Set<String> its = account.parcels().stream()
                .filter(parcel -> parcel.submission().equals(submission))
                .map(Parcel::code)
                .collect(Collectors.toSet());
        long cancelled = account.moves().stream()
                .filter(move -> move.what() == Move.What.MISTAKEN || move.what() == Move.What.ORDINARY)
                .filter(move -> its.contains(move.portion()))
                .count();
        return "dock-" + submission + (cancelled == 0 ? "" : "-" + (cancelled + 1));
    }

    /**
     * Makes everything on a rack regulated.
     *
     * @param ground the note that says so, not kept yet
     * @param met the note of the regulated soil that was in the mill before
     */
    public void ofRack(Rack rack, BenchAct ground, BenchAct met) {
        String because = "Ground on rack " + ground.subject().code() + " in mill " + ground.about()
                + ", which was not cleaned after regulated soil of rack "
                + met.subject().code();
        Optional<Signed<Permit>> permit = permitOf(met);
        Set<String> submissions =
                rack.loads().stream().map(Rack.Load::submission).collect(Collectors.toCollection(TreeSet::new));
        for (String submission : submissions) {
            one(submission, because, permit, ground);
        }
    }

    private void one(String submission, String because, Optional<Signed<Permit>> permit, BenchAct ground) {
        Optional<KeptSheet> waits = store.sheets().waiting().stream()
                .filter(sheet -> sheet.submission().equals(submission))
                .findFirst();
        List<DockAct> acts = Booking.counting(store.sheets().acts().getOrDefault(submission, List.of()));
        // What was laid out already the store makes regulated, in the transaction of the note.
        if (waits.isEmpty() || acts.stream().anyMatch(MadeRegulated::isRegulated)) {
            return;
        }
        Optional<Origin> origin = origin(waits, acts);
        // Where either is not known the store takes it into the account without, in the transaction of the note.
        if (origin.isEmpty() || permit.isEmpty()) {
            return;
        }
        receive(submission, origin.get(), because, permit.get(), ground, acts);
        DockAct act = new DockAct(
                UUID.randomUUID().toString(),
                submission,
                DockAct.What.MADE_REGULATED,
                0,
                permit.get().name(),
                "",
                because,
                ground.person(),
                now);
        try {
            store.sheets().act(act, before -> Optional.empty());
        } catch (Refused e) {
            // Laid out at this moment: the store makes it regulated in its trays with the note.
            if (store.sheets().waiting().stream()
                    .anyMatch(sheet -> sheet.submission().equals(submission))) {
                throw e;
            }
        }
    }

    private static boolean isRegulated(DockAct act) {
        return act.what() == DockAct.What.MADE_REGULATED
                || act.what() == DockAct.What.BOOKED && act.says().equals(DockAct.REGULATED);
    }

    /** The permit under which the soil that was met is kept, as it decides today. */
    private Optional<Signed<Permit>> permitOf(BenchAct met) {
        Permits permits = Permits.inForce(store.custody().signedPermits(), today);
        List<BenchAct> acts = store.bench().racks().stream()
                .filter(act -> act.subject().equals(met.subject()))
                .toList();
        List<BenchAct> until = acts.stream()
                .limit(1L + acts.stream().map(BenchAct::id).toList().indexOf(met.id()))
                .toList();
        Set<String> submissions = Rack.of(Rack.round(until)).loads().stream()
                .map(Rack.Load::submission)
                .collect(Collectors.toSet());
        return store.custody().parcels().stream()
                .filter(parcel -> submissions.contains(parcel.submission()))
                .flatMap(parcel -> permits.permits().stream()
                        .filter(one -> one.name().equals(parcel.permit())
                                && !today.isAfter(one.paper().expires())
                                && !today.isBefore(one.paper().issued())))
                .findFirst();
    }

    private Optional<Origin> origin(Optional<KeptSheet> waits, List<DockAct> acts) {
        Optional<Origin> stated = acts.stream()
                .filter(act -> act.what() == DockAct.What.ORIGIN)
                .reduce((first, last) -> last)
                .map(act -> Origin.written(Optional.of(act.says()), List.of(act.about())));
        return stated.or(() -> waits.flatMap(kept -> sheets.map(reader -> reader.read(kept.fileName(), kept.bytes())))
                .map(sheet -> Origin.written(
                        sheet.originCountry(), sheet.originRegion().stream().toList())));
    }

    private void receive(
            String submission,
            Origin origin,
            String because,
            Signed<Permit> permit,
            BenchAct ground,
            List<DockAct> acts) {
        OptionalLong massG = acts.stream()
                .filter(act -> act.what() == DockAct.What.WEIGHED)
                .mapToLong(DockAct::number)
                .reduce((first, last) -> last);
        long bags = acts.stream()
                .filter(act -> act.what() == DockAct.What.THERE || act.what() == DockAct.What.EXTRA)
                .count();
        store.custody()
                .receive(
                        new LedgerBook.Received(
                                receipt(store.custody(), submission),
                                submission,
                                origin,
                                because,
                                permit,
                                massG,
                                (int) Math.max(1, bags),
                                "regulated since it was ground",
                                "rack " + ground.subject().code()),
                        today,
                        ground.person(),
                        now);
    }
}
