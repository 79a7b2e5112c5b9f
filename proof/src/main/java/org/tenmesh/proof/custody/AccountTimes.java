package org.tenmesh.proof.custody;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Supplier;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.AddedUp;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.server.StoreSettings;

/**
 * How long the account of a year ({@link LedgerYear}) takes to be there for a page: every line read and added up anew, as added up before, and with
 * one new line; the three must be the same. Argument: an empty folder. Empty bags are never destroyed in it, because the dock weighs in whole grams.
 */
public final class AccountTimes {
    private static final int TIMES = 15;
    private static final LocalDate DAY = LocalDate.of(2026, 1, 5);

    private AccountTimes() {}

    public static void main(String[] arguments) throws Exception {
        LedgerYear year = LedgerYear.run(1, 250, false);
        Path folder = Files.createDirectories(Path.of(arguments[0]));
        boolean same;
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            // Whole grams as at the dock, and nothing that takes a whole parcel away by its mass.
            List<Move> lines = year.lines().stream().filter(AccountTimes::fits).toList();
            Signed<Permit> permit = permit(store);
            Map<String, String> codes = new HashMap<>();
            put(store, permit, codes, lines.subList(0, lines.size() - TIMES));
            time("every line read and added up", () -> {
                List<Move> moves = store.ledger().moves();
                return Ledger.of(moves).balance().toString() + moves.size();
            });
            store.ledger().addedUp();
            time("as added up before", () -> words(store.ledger().addedUp()));
            List<Long> times = new ArrayList<>();
            for (Move line : lines.subList(lines.size() - TIMES, lines.size())) {
                put(store, permit, codes, List.of(line));
                long began = System.nanoTime();
                store.ledger().addedUp();
                times.add(System.nanoTime() - began);
            }
            says("with one new line", times);
            AddedUp now = store.ledger().addedUp();
            same = now.moves().equals(store.ledger().moves())
                    && now.ledger().balances().equals(Ledger.of(now.moves()).balances());
            System.out.println(now.moves().size() + " lines, " + (same ? "the same" : "NOT THE SAME"));
        }
        // Only now, so that the database is closed.
        System.exit(same ? 0 : 1);
    }

    private static boolean fits(Move line) {
        boolean ofParcel = line.kind() == PortionKind.PARCEL;
        return switch (line.what()) {
            case LOADED, UNLOADED, DESTROYED, MISTAKEN, LOST -> !ofParcel;
            default -> true;
        };
    }

    private static String words(AddedUp account) {
        return account.ledger().balance().toString() + account.moves().size();
    }

    private static void time(String what, Supplier<String> done) {
        List<Long> times = new ArrayList<>();
        String first = "";
        for (int i = 0; i < TIMES; i++) {
            long began = System.nanoTime();
            String said = done.get();
            times.add(System.nanoTime() - began);
            if (i > 0 && !said.equals(first)) {
                throw new IllegalStateException(what + " gave " + first + ", then " + said);
            }
            first = said;
        }
        says(what, times);
    }

    private static void says(String what, List<Long> nanos) {
        long[] sorted = nanos.stream().mapToLong(Long::longValue).sorted().toArray();
        System.out.printf(
                "%s: median %.1f ms, longest %.1f ms of %d%n",
                what,
                sorted[sorted.length / 2] / 1e6,
                Arrays.stream(sorted).max().orElse(0) / 1e6,
                sorted.length);
    }

    /** Keeps the lines as the program does; parcels get codes of the program's own. */
    private static void put(Store store, Signed<Permit> permit, Map<String, String> codes, List<Move> lines) {
        List<Move> others = new ArrayList<>();
        for (Move line : lines) {
            if (line.what() == Move.What.RECEIVED) {
                Parcel parcel = store.ledger()
                        .receive(
                                new LedgerBook.Received(
                                        line.id(),
                                        "",
                                        new Origin(Optional.of("KE"), List.of("Nakuru")),
                                        "invented",
                                        permit,
                                        OptionalLong.of(line.massMg() / 1000 + 1),
                                        line.pieces(),
                                        "dry",
                                        line.place()),
                                DAY,
                                line.person(),
                                line.at());
                codes.put(line.parcel(), parcel.code());
            } else {
                others.add(line);
            }
        }
        if (!others.isEmpty()) {
            store.ledger()
                    .keep(others.stream().map(line -> renamed(line, codes)).toList());
        }
    }

    private static Move renamed(Move line, Map<String, String> codes) {
        return new Move(
                line.id(),
                line.what(),
                codes.getOrDefault(line.parcel(), line.parcel()),
                codes.getOrDefault(line.portion(), line.portion()),
                line.kind(),
                codes.getOrDefault(line.from(), line.from()),
                line.place(),
                line.massMg(),
                line.pieces(),
                line.charge(),
                line.note(),
                line.person(),
                line.at());
    }

    private static Signed<Permit> permit(Store store) {
        Permit permit = new Permit(
                Permit.Kind.PERMIT,
                "P-1",
                "an invented authority",
                "an invented laboratory",
                "1 Invented Road",
                List.of(),
                Set.of("Invented areas"),
                Set.of(Permit.Analysis.CHEMICAL),
                OptionalLong.empty(),
                false,
                DAY.minusYears(1),
                Optional.empty(),
                DAY.plusYears(1),
                60,
                OptionalInt.empty(),
                OptionalInt.empty(),
                List.of(LedgerYear.HEAT),
                "REGULATED SOIL",
                "boil",
                List.of(),
                "an invented permit officer");
        Instant now = Instant.now();
        store.papers().draft(permit, 0, "invented", "P. Officer", now);
        store.papers().sign(Papers.Kind.PERMIT, "P-1", 1, DAY, DAY, "P. Officer", now);
        return store.papers().signedPermits().get(0);
    }
}
