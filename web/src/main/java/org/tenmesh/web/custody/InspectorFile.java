package org.tenmesh.web.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.tenmesh.core.custody.Balance;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.print.report.RecordFile;
import org.tenmesh.print.tables.TableFiles;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.words.Words;

/**
 * What an inspector asks for: one parcel, or everything of a period, from receipt to destruction, with its balance and what is missing.
 *
 * @param title of the file
 * @param facts sentences under it
 * @param pictures the record of each charge in which any of it lay
 */
record InspectorFile(
        String title, List<String> facts, List<TableFiles.Table> tables, List<RecordFile.Picture> pictures) {

    /** One parcel, with all its lines. */
    static InspectorFile of(Account account, List<ChargeState> charges, Parcel parcel) {
        return made(
                account,
                charges,
                "Regulated soil, parcel " + parcel.code(),
                List.of(
                        "Received " + parcel.receivedOn() + " under permit " + parcel.permit() + ", version "
                                + parcel.permitVersion() + ". Origin: "
                                + parcel.origin().words() + ". " + parcel.because(),
                        "Last day untreated: "
                                + parcel.keepUntil().map(LocalDate::toString).orElse("the permit states none") + "."),
                Set.of(parcel.code()),
                move -> true,
                balance(account.ledger().balance(parcel.code()), "Balance, g of soil and pieces"));
    }

    /** Every parcel that was handled in a period, with the lines of the period. */
    static InspectorFile of(Account account, List<ChargeState> charges, LocalDate from, LocalDate until) {
        Instant begin = from.atStartOfDay(account.zone()).toInstant();
        Instant end = until.plusDays(1).atStartOfDay(account.zone()).toInstant();
        Predicate<Move> within = move -> !move.at().isBefore(begin) && move.at().isBefore(end);
        Set<String> parcels = account.moves().stream()
                .filter(within)
                .map(Move::parcel)
                .collect(Collectors.toCollection(TreeSet::new));
        List<TableFiles.Table> balances = new ArrayList<>();
        balances.addAll(balance(
                Ledger.at(account.moves(), begin.minusMillis(1)).balance(),
                "Balance before " + from + ", g of soil and pieces"));
        balances.addAll(balance(
                Ledger.at(account.moves(), end.minusMillis(1)).balance(),
                "Balance after " + until + ", g of soil and pieces"));
        return made(
                account,
                charges,
                "Regulated soil, " + from + " to " + until,
                List.of("Every parcel of which anything was received, handled or destroyed in these days."),
                parcels,
                within,
                balances);
    }

    private static InspectorFile made(
            Account account,
            List<ChargeState> charges,
            String title,
            List<String> facts,
            Set<String> parcels,
            Predicate<Move> within,
            List<TableFiles.Table> balances) {
        List<Move> moves = account.moves().stream()
                .filter(one -> parcels.contains(one.parcel()) && within.test(one))
                .toList();
        Set<String> used =
                moves.stream().map(Move::charge).filter(one -> !one.isEmpty()).collect(Collectors.toSet());
        List<TableFiles.Table> tables = new ArrayList<>();
        tables.add(new TableFiles.Table(
                "Parcels",
                List.of(
                        "parcel",
                        "submission",
                        "origin",
                        "received",
                        "condition",
                        "permit",
                        "last day untreated",
                        "regulated because"),
                account.parcels().stream()
                        .filter(one -> parcels.contains(one.code()))
                        .map(one -> List.of(
                                one.code(),
                                one.submission(),
                                one.origin().words(),
                                one.receivedOn().toString(),
                                one.condition(),
                                one.permit() + ", version " + one.permitVersion(),
                                one.keepUntil().map(LocalDate::toString).orElse("none stated"),
                                one.because()))
                        .toList()));
        tables.addAll(balances);
        tables.add(new TableFiles.Table(
                "Missing: must exist and is not in the account",
                List.of("portion", "kind", "because"),
                account.missing().stream()
                        .filter(one -> parcels.contains(one.parcel()))
                        .map(InspectorFile::row)
                        .toList()));
        tables.add(new TableFiles.Table(
                "Portions as they are now",
                List.of("portion", "kind", "taken of", "state", "place", "soil, g", "last handled"),
                account.ledger().portions().stream()
                        .filter(one -> parcels.contains(one.parcel()))
                        .map(one -> List.of(
                                one.code(),
                                one.kind().phrase(),
                                one.from(),
                                one.state().phrase() + (one.charge().isEmpty() ? "" : " " + one.charge()),
                                one.place(),
                                RegulatedView.grams(one.massMg()),
                                Words.moment(one.seen(), account.zone()) + ", " + one.by()))
                        .toList()));
        tables.add(new TableFiles.Table(
                "Charges",
                List.of("charge", "device", "treatment", "limits", "state", "closed", "confirmed", "signed", "residue"),
                charges.stream()
                        .filter(one -> used.contains(one.charge().name()))
                        .map(one -> row(account, one))
                        .toList()));
        tables.add(lines(account, moves));
        return new InspectorFile(
                title,
                facts,
                tables,
                charges.stream()
                        .filter(one -> used.contains(one.charge().name()))
                        .map(one ->
                                picture(one, ChargePicture.of(one, ChargeView.until(one, Instant.MIN), account.zone())))
                        .filter(one -> !one.svg().isEmpty())
                        .toList());
    }

    /** Lines that say the same of many portions at one moment are one row with all their codes. */
    private static TableFiles.Table lines(Account account, List<Move> moves) {
        Map<List<String>, List<Move>> same = new LinkedHashMap<>();
        for (Move one : moves) {
            same.computeIfAbsent(
                            List.of(
                                    Words.second(one.at().atZone(account.zone()).toOffsetDateTime(), account.zone()),
                                    one.person(),
                                    one.what().phrase(),
                                    one.charge().isEmpty() ? one.place() : one.charge(),
                                    one.what() == Move.What.TAKEN ? "" : one.note()),
                            key -> new ArrayList<>())
                    .add(one);
        }
        List<List<String>> rows = new ArrayList<>();
        same.forEach((key, lines) -> rows.add(List.of(
                Words.moment(lines.get(0).at(), account.zone()),
                key.get(1),
                key.get(2),
                String.join(", ", lines.stream().map(Move::portion).toList()),
                key.get(3),
                RegulatedView.grams(lines.stream().mapToLong(Move::massMg).sum()),
                Long.toString(lines.stream().mapToLong(Move::pieces).sum()),
                lines.size() == 1 ? lines.get(0).note() : key.get(4))));
        return new TableFiles.Table(
                "Lines of the account",
                List.of("when", "who", "what", "portions", "place or charge", "soil, g", "pieces", "note"),
                rows);
    }

    private static List<TableFiles.Table> balance(Balance balance, String caption) {
        return List.of(new TableFiles.Table(
                caption,
                List.of("account", "soil, g", "pieces"),
                RegulatedView.lines(balance).stream()
                        .map(one -> List.of(one.word(), one.mass(), one.pieces()))
                        .toList()));
    }

    private static RecordFile.Picture picture(ChargeState charge, ChargePicture drawn) {
        return new RecordFile.Picture("Record of charge " + charge.charge().name(), drawn.says(), drawn.svg());
    }

    private static List<String> row(Expected one) {
        return List.of(one.code(), one.kind().phrase(), one.because());
    }

    private static List<String> row(Account account, ChargeState one) {
        return List.of(
                one.charge().name(),
                one.charge().device(),
                one.charge().treatment().name() + " ("
                        + one.charge().treatment().source() + ")",
                String.join(
                        " or ",
                        one.charge().treatment().limits().stream()
                                .map(ChargePicture::limit)
                                .toList()),
                one.words(),
                one.closed()
                        .map(closed -> Words.moment(closed.at(), account.zone()) + ", " + closed.by())
                        .orElse(""),
                one.closed()
                        .map(closed -> String.join("; ", closed.confirmed()))
                        .orElse(""),
                String.join(
                        "; ",
                        one.signatures().stream()
                                .map(it -> it.by() + ", " + Words.moment(it.at(), account.zone()))
                                .toList()),
                one.residue()
                        .map(it -> it.carrier() + ", " + it.destination() + ", " + it.ticket())
                        .orElse(""));
    }
}
