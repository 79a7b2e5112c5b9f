package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.tenmesh.core.custody.Apart;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.Arrival;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.dock.Expected;
import org.tenmesh.core.dock.Origin;
import org.tenmesh.core.dock.Ruling;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.MadeRegulated;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.words.Words;

/** Everything that waits for its layout, as it stands at the dock. May be used by several threads. */
final class Dock {
    private final PageContext context;
    /** What was read of each worksheet; a file never changes. */
    private Map<String, SheetReader.Sheet> read = Map.of();

    Dock(PageContext context) {
        this.context = context;
    }

    /** The oldest first. */
    List<AtDock> all(Desk desk) {
        Map<String, List<DockAct>> acts = context.store().sheets().acts();
        Rulings rulings = new Rulings(context, desk, today(desk));
        Map<String, SheetReader.Sheet> reading = new HashMap<>();
        List<AtDock> all = new ArrayList<>();
        for (KeptSheet kept : context.store().sheets().waiting()) {
            String key = kept.submission() + kept.sha256();
            SheetReader.Sheet sheet =
                    before(key).orElseGet(() -> context.sheets().orElseThrow().read(kept.fileName(), kept.bytes()));
            reading.put(key, sheet);
            // One that cannot be read any more is told apart and keeps no other from its layout.
            if (!sheet.samples().isEmpty()) {
                all.add(new AtDock(
                        kept,
                        sheet,
                        Booking.of(
                                expected(kept, sheet),
                                acts.getOrDefault(kept.submission(), List.of()),
                                rulings.of(kept, sheet))));
            }
        }
        keep(reading);
        return all;
    }

    /** Submissions whose worksheet waits and cannot be read any more. */
    List<String> unreadable() {
        return context.store().sheets().waiting().stream()
                .filter(kept -> before(kept.submission() + kept.sha256())
                        .filter(sheet -> sheet.samples().isEmpty())
                        .isPresent())
                .map(KeptSheet::submission)
                .toList();
    }

    Optional<AtDock> one(Desk desk, String submission) {
        return all(desk).stream()
                .filter(one -> one.kept().submission().equals(submission))
                .findFirst();
    }

    /** Why a layout of these submissions does not fit what was done with them by now; see {@link Apart}. */
    Function<Map<String, List<DockAct>>, Optional<String>> fits(Desk desk, List<AtDock> sheets, Day laidOut) {
        Rulings rulings = new Rulings(context, desk, today(desk));
        return acts -> Apart.refusal(
                sheets.stream()
                        .map(at -> Booking.of(
                                at.booking().expected(),
                                acts.getOrDefault(at.kept().submission(), List.of()),
                                rulings.of(at.kept(), at.read())))
                        .toList(),
                laidOut.soils(),
                laidOut.trays());
    }

    /** @throws Refused with the reason where it cannot be kept */
    void keep(Desk desk, AtDock about, DockAct act) {
        context.store().sheets().act(act, refusal(desk, about, act));
    }

    private Function<List<DockAct>, Optional<String>> refusal(Desk desk, AtDock about, DockAct act) {
        Function<Arrival, Ruling> rule = new Rulings(context, desk, today(desk)).of(about.kept(), about.read());
        return before -> Booking.of(about.booking().expected(), before, rule).refusal(act);
    }

    /**
     * Books a submission in. A regulated one is received into the account of regulated soil in the same transaction; a parcel that was received
     * before is not received twice.
     *
     * @throws Refused with the reason where it cannot be
     */
    void book(Desk desk, AtDock about, DockAct act) {
        about.booking().refusal(act).ifPresent(why -> {
            throw new Refused(why + " Nothing was done.");
        });
        if (about.booking().regulated()) {
            context.store().sheets().book(act, refusal(desk, about, act), received(desk, about, act), today(desk));
        } else {
            keep(desk, about, act);
        }
    }

    /**
     * Takes something back; of a booking, its parcel out of the account of regulated soil in the same transaction.
     *
     * @throws Refused where portions were taken of the parcel: what was worked on as regulated stays so
     */
    void takeBack(Desk desk, AtDock about, DockAct act) {
        boolean booking = about.booking()
                .booked()
                .filter(one -> one.id().equals(act.about()))
                .isPresent();
        Optional<String> parcel = booking && about.booking().madeRegulated().isEmpty()
                ? parcel(about.kept().submission())
                : Optional.empty();
        if (parcel.isPresent()) {
            context.store()
                    .sheets()
                    .takeBack(
                            act,
                            refusal(desk, about, act),
                            moves ->
                                    cancelled(moves, parcel.get(), act).stream().toList());
        } else {
            keep(desk, about, act);
        }
    }

    private static Optional<Move> cancelled(List<Move> moves, String parcel, DockAct act) {
        Ledger account = Ledger.of(
                moves.stream().filter(move -> move.parcel().equals(parcel)).toList());
        Optional<Held> held = account.portion(parcel).filter(one -> one.state() != Held.State.MISTAKEN);
        Optional<Move> line = held.map(one -> new Move(
                "dock-" + act.id(),
                Move.What.MISTAKEN,
                parcel,
                parcel,
                PortionKind.PARCEL,
                "",
                "",
                one.massMg(),
                one.pieces(),
                "",
                "booking taken back: " + act.reason(),
                act.actor(),
                act.at()));
        line.flatMap(account::add).ifPresent(fault -> {
            throw new Refused(
                    "The account of regulated soil does not let it go: " + fault.says() + ". Nothing was done.");
        });
        return line;
    }

    private LedgerBook.Received received(Desk desk, AtDock about, DockAct act) {
        Booking booking = about.booking();
        int pieces = booking.counted().orElseThrow().number();
        String id =
                MadeRegulated.receipt(context.store().custody(), about.kept().submission());
        context.store().custody().moves().stream()
                .filter(move -> move.id().equals(id) && move.pieces() != pieces)
                .findFirst()
                .ifPresent(move -> {
                    throw new Refused("The account of regulated soil has parcel " + move.parcel() + " of it with "
                            + Words.of(move.pieces(), "piece") + ", and " + Words.of(pieces, "bag")
                            + " were counted. Put the account right first. Nothing was done.");
                });
        Signed<Permit> permit = new Rulings(context, desk, today(desk))
                .permit(act.about())
                .orElseThrow(() -> new Refused("The permit " + act.about() + " is not in force. Nothing was done."));
        return new LedgerBook.Received(
                id,
                about.kept().submission(),
                Rulings.origin(booking.arrival()),
                Words.shortened(booking.ruling().says(), DockAct.LONGEST),
                permit,
                booking.arrival().massG(),
                pieces,
                booking.boxes().stream().map(DockAct::says).distinct().collect(Collectors.joining(", ")),
                "dock");
    }

    /** The code of a submission's parcel in the account of regulated soil; empty where it has none. */
    Optional<String> parcel(String submission) {
        // The newest first: an earlier one was taken back.
        return context.store().custody().parcels().stream()
                .filter(parcel -> parcel.submission().equals(submission))
                .map(Parcel::code)
                .findFirst();
    }

    private LocalDate today(Desk desk) {
        return context.clock().instant().atZone(desk.zone()).toLocalDate();
    }

    private synchronized Optional<SheetReader.Sheet> before(String key) {
        return Optional.ofNullable(read.get(key));
    }

    private synchronized void keep(Map<String, SheetReader.Sheet> reading) {
        read = Map.copyOf(reading);
    }

    private static Expected expected(KeptSheet kept, SheetReader.Sheet sheet) {
        return new Expected(
                kept.submission(),
                sheet.samples().stream()
                        .map(one -> new Expected.Bag(one.ordinal(), one.label(), layer(one)))
                        .toList(),
                sheet.originCountry()
                        .map(country -> new Origin(country, sheet.originRegion().orElse("")))
                        .orElse(Origin.MISSING));
    }

    static String layer(SheetReader.Sample sample) {
        return sample.bottomCm().isEmpty()
                ? ""
                : Words.plain(sample.topCm().orElse(0)) + " to "
                        + Words.plain(sample.bottomCm().getAsDouble()) + " cm";
    }
}
