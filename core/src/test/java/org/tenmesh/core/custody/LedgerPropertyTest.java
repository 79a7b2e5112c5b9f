package org.tenmesh.core.custody;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;

final class LedgerPropertyTest {
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00Z");
    private static final PortionKind[] KINDS = {
        PortionKind.SOIL,
        PortionKind.FILTER,
        PortionKind.EXTRACT,
        PortionKind.CUP,
        PortionKind.SPILL,
        PortionKind.PACKAGING
    };

    static Move move(
            String id, Move.What what, String portion, PortionKind kind, String from, long massMg, int pieces) {
        boolean charged = what == Move.What.LOADED || what == Move.What.UNLOADED || what == Move.What.DESTROYED;
        return new Move(
                id,
                what,
                "R1",
                portion,
                kind,
                from,
                "shelf",
                massMg,
                pieces,
                charged ? "C1" : "",
                "why",
                "A. Bench",
                AT);
    }

    /** Thousands of lines, most of them nonsense: whatever is taken keeps the sums exact, and whatever is refused changes nothing. */
    @Test
    void balancesWhateverIsTriedWithIt() {
        for (int seed = 0; seed < 200; seed++) {
            Random random = new Random(8_400 + seed);
            Ledger ledger = new Ledger();
            List<Move> taken = new ArrayList<>();
            long received = 1_000_000 + random.nextInt(1_000_000);
            int bags = 1 + random.nextInt(40);
            taken.add(move("0", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", received, bags));
            ledger.add(taken.get(0));
            List<String> codes = new ArrayList<>(List.of("R1"));
            Map<String, PortionKind> kinds = new HashMap<>(Map.of("R1", PortionKind.PARCEL));
            for (int i = 1; i < 400; i++) {
                Move.What what = Move.What.values()[random.nextInt(Move.What.values().length)];
                String code = codes.get(random.nextInt(codes.size()));
                PortionKind kind = requireNonNull(kinds.get(code));
                String from = "";
                long massMg = random.nextInt(3) == 0 ? 0 : random.nextInt(60_000);
                int pieces = random.nextInt(3);
                if (what == Move.What.TAKEN) {
                    from = code;
                    code = "p" + random.nextInt(300);
                    kind = KINDS[random.nextInt(KINDS.length)];
                } else if (random.nextInt(3) > 0 && ledger.portion(code).isPresent()) {
                    massMg = ledger.portion(code).get().massMg();
                    pieces = ledger.portion(code).get().pieces();
                }
                Move line = move("" + i, what, code, kind, from, massMg, pieces);
                Balance before = ledger.balance();
                if (ledger.add(line).isEmpty()) {
                    taken.add(line);
                    if (!kinds.containsKey(code)) {
                        codes.add(code);
                    }
                    if (what == Move.What.TAKEN) {
                        kinds.put(code, kind);
                    }
                } else {
                    assertThat(ledger.balance())
                            .as("seed %d, line %d: %s", seed, i, line)
                            .isEqualTo(before);
                }
                assertThat(ledger.balance().exact())
                        .as("seed %d, line %d: %s, %s", seed, i, line, ledger.balance())
                        .isTrue();
                assertThat(ledger.portions()).allMatch(one -> one.massMg() >= 0 && one.pieces() >= 0);
            }
            // Counted from the lines that were taken, without the program's own sums.
            long here = ledger.here().stream().mapToLong(Held::massMg).sum();
            long out = taken.stream().mapToLong(LedgerPropertyTest::out).sum();
            List<Move> cancelled = taken.stream()
                    .filter(line -> line.what() == Move.What.MISTAKEN && line.kind() == PortionKind.PARCEL)
                    .toList();
            long cancelledMg = cancelled.stream().mapToLong(Move::massMg).sum();
            long cancelledBags = cancelled.stream().mapToLong(Move::pieces).sum();
            assertThat(here + out).as("seed %d", seed).isEqualTo(received - cancelledMg);
            assertThat(ledger.balance().received())
                    .isEqualTo(new Balance.Amount(received - cancelledMg, bags - cancelledBags));
            assertThat(Ledger.of(taken).balance()).isEqualTo(ledger.balance());
            assertThat(Ledger.of(taken).faults()).isEmpty();
            Ledger half = Ledger.of(taken.subList(0, taken.size() / 2));
            Balance before = half.balance();
            Ledger whole = half.and(taken.subList(taken.size() / 2, taken.size()));
            assertThat(half.balance()).as("what is added to stays as it is").isEqualTo(before);
            assertThat(List.copyOf(whole.portions())).isEqualTo(List.copyOf(ledger.portions()));
            assertThat(whole.balance()).isEqualTo(ledger.balance());
            whole.balances().forEach((parcel, balance) -> assertThat(balance).isEqualTo(ledger.balance(parcel)));
        }
    }

    private static long out(Move line) {
        return switch (line.what()) {
            case DRIED, GROUND_AWAY, DESTROYED, SHIPPED, LOST, ORDINARY -> line.massMg();
            case WEIGHED, FOUND -> -line.massMg();
            default -> 0;
        };
    }

    @Test
    void nothingIsDestroyedTwiceOrOutsideItsCharge() {
        Ledger ledger = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("2", Move.What.TAKEN, "S1", PortionKind.SOIL, "R1", 2_000, 1)));
        assertThat(ledger.add(move("3", Move.What.DESTROYED, "S1", PortionKind.SOIL, "", 2_000, 1)))
                .isPresent();
        assertThat(ledger.add(move("4", Move.What.LOADED, "S1", PortionKind.SOIL, "", 2_000, 1)))
                .isEmpty();
        assertThat(ledger.add(move("5", Move.What.MOVED, "S1", PortionKind.SOIL, "", 0, 0)))
                .isPresent();
        assertThat(ledger.add(move("6", Move.What.DESTROYED, "S1", PortionKind.SOIL, "", 2_000, 1)))
                .isEmpty();
        assertThat(ledger.add(move("7", Move.What.DESTROYED, "S1", PortionKind.SOIL, "", 0, 0)))
                .isPresent();
        assertThat(ledger.add(move("6", Move.What.MOVED, "R1", PortionKind.PARCEL, "", 0, 0))
                        .orElseThrow()
                        .says())
                .contains("of this id is there already");
        assertThat(ledger.balance().destroyed()).isEqualTo(new Balance.Amount(2_000, 1));
        assertThat(ledger.balance().held()).isEqualTo(new Balance.Amount(3_000, 2));
        assertThat(ledger.faults()).hasSize(4);
    }

    @Test
    void aParcelWhoseBookingWasTakenBackLeavesTheAccountAsLongAsNothingWasTakenOfIt() {
        Ledger ledger = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("2", Move.What.DRIED, "R1", PortionKind.PARCEL, "", 500, 0),
                move("3", Move.What.MISTAKEN, "R1", PortionKind.PARCEL, "", 4_500, 2)));
        assertThat(ledger.faults()).isEmpty();
        assertThat(ledger.here()).isEmpty();
        assertThat(ledger.balance().received()).isEqualTo(new Balance.Amount(500, 0));
        assertThat(ledger.balance().exact()).isTrue();
        Ledger ground = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("2", Move.What.TAKEN, "R1.dust", PortionKind.DUST, "R1", 0, 1)));
        assertThat(ground.add(move("3", Move.What.MISTAKEN, "R1", PortionKind.PARCEL, "", 5_000, 2))
                        .orElseThrow()
                        .says())
                .contains("portions were taken of it");
    }

    @Test
    void whatIsOrdinaryAgainLeavesTheAccountExactlyAndComesInOnceMoreWithAnotherParcel() {
        Ledger ledger = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("2", Move.What.TAKEN, "S1", PortionKind.SOIL, "R1", 2_000, 1),
                move("3", Move.What.TAKEN, "S2", PortionKind.SOIL, "R1", 1_000, 1),
                move("4", Move.What.LOADED, "S2", PortionKind.SOIL, "", 1_000, 1)));
        assertThat(ledger.add(move("5", Move.What.ORDINARY, "S2", PortionKind.SOIL, "", 1_000, 1))
                        .orElseThrow()
                        .says())
                .contains("in a charge");
        assertThat(ledger.add(move("6", Move.What.DESTROYED, "S2", PortionKind.SOIL, "", 1_000, 1)))
                .isEmpty();
        assertThat(ledger.add(move("7", Move.What.ORDINARY, "S1", PortionKind.SOIL, "", 1_999, 1)))
                .isPresent();
        assertThat(ledger.add(move("8", Move.What.ORDINARY, "S1", PortionKind.SOIL, "", 2_000, 1)))
                .isEmpty();
        assertThat(ledger.add(move("9", Move.What.ORDINARY, "R1", PortionKind.PARCEL, "", 2_000, 2)))
                .isEmpty();
        assertThat(ledger.here()).isEmpty();
        assertThat(ledger.balance().ordinary()).isEqualTo(new Balance.Amount(4_000, 3));
        assertThat(ledger.balance().destroyed()).isEqualTo(new Balance.Amount(1_000, 1));
        assertThat(ledger.balance().exact()).isTrue();

        Move received = new Move(
                "10", Move.What.RECEIVED, "R2", "R2", PortionKind.PARCEL, "", "shelf", 0, 2, "", "why", "A. Bench", AT);
        Move taken = new Move(
                "11", Move.What.TAKEN, "R2", "S1", PortionKind.SOIL, "R2", "shelf", 0, 1, "", "why", "A. Bench", AT);
        assertThat(ledger.add(received)).isEmpty();
        assertThat(ledger.add(taken)).isEmpty();
        assertThat(ledger.portion("S1").orElseThrow().parcel()).isEqualTo("R2");
        assertThat(ledger.add(new Move(
                        "12",
                        Move.What.TAKEN,
                        "R2",
                        "S2",
                        PortionKind.SOIL,
                        "R2",
                        "shelf",
                        0,
                        1,
                        "",
                        "why",
                        "A. Bench",
                        AT)))
                .as("what was destroyed does not come back")
                .isPresent();
        assertThat(ledger.balance("R1").exact()).isTrue();
        assertThat(ledger.balance("R2").exact()).isTrue();
        assertThat(ledger.balance().exact()).isTrue();
    }

    @Test
    void aForgottenPortionIsEnteredLateAndBringsNoSoilBack() {
        Ledger ledger = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("2", Move.What.LOADED, "R1", PortionKind.PARCEL, "", 5_000, 2),
                move("3", Move.What.DESTROYED, "R1", PortionKind.PARCEL, "", 5_000, 2)));
        assertThat(ledger.add(move("4", Move.What.TAKEN, "D1", PortionKind.DUST, "R1", 10, 1)))
                .isPresent();
        assertThat(ledger.add(move("5", Move.What.TAKEN, "D1", PortionKind.DUST, "R1", 0, 1)))
                .isEmpty();
        assertThat(ledger.portion("R1").orElseThrow().charge()).isEqualTo("C1");
        assertThat(ledger.portion("R1").orElseThrow().state()).isEqualTo(Held.State.DESTROYED);
        assertThat(ledger.balance().held()).isEqualTo(new Balance.Amount(0, 1));
        assertThat(ledger.balance().exact()).isTrue();
    }

    @Test
    void aCountOfAPlaceTellsWhatIsNotWhereTheAccountHasIt() {
        Ledger ledger = Ledger.of(List.of(
                move("1", Move.What.RECEIVED, "R1", PortionKind.PARCEL, "", 5_000, 3),
                move("2", Move.What.TAKEN, "S1", PortionKind.SOIL, "R1", 1_000, 1),
                move("3", Move.What.TAKEN, "S2", PortionKind.SOIL, "R1", 1_000, 1),
                new Move("4", Move.What.MOVED, "R1", "S2", PortionKind.SOIL, "", "oven", 0, 0, "", "", "A. Bench", AT),
                move("5", Move.What.LOST, "R1", PortionKind.PARCEL, "", 3_000, 3)));
        assertThat(ledger.faults()).isEmpty();
        Ledger.Count count = ledger.count("shelf", List.of("S2", "R1", "X9", "X9"));
        assertThat(count.missing()).extracting(Held::code).containsExactly("S1");
        assertThat(count.elsewhere()).extracting(Held::code).containsExactly("S2");
        assertThat(count.gone()).extracting(Held::code).containsExactly("R1");
        assertThat(count.unknown()).containsExactly("X9");
    }
}
