package org.tenmesh.core.shelf;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.ShelfAct.What;

/** Any acts in any order: what is refused changes nothing, and what is done keeps the account. */
final class ShelfPropertyTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 2);
    private static final List<String> PLACES = List.of("P-A1", "P-A2", "P-R1");
    private static final List<String> BOXES = List.of("B-000001", "B-000002", "B-000003", "B-000004");
    private static final int SOILS = 12;

    private static Map<LabNumber, Keeping> known() {
        Map<LabNumber, Keeping> known = new HashMap<>();
        for (int i = 1; i <= SOILS; i++) {
            known.put(
                    LabNumber.of(DAY, i),
                    i % 4 == 0 ? Keeping.REGULATED : i % 5 == 0 ? Keeping.UNSETTLED : Keeping.ORDINARY);
        }
        return known;
    }

    private static ShelfAct random(SplittableRandom chance, int n) {
        What what = What.values()[chance.nextInt(What.values().length)];
        String soil = LabNumber.of(DAY, 1 + chance.nextInt(SOILS + 1)).text();
        String box = BOXES.get(chance.nextInt(BOXES.size()));
        String place = PLACES.get(chance.nextInt(PLACES.size()));
        Instant at = DAY.atStartOfDay(ZoneOffset.UTC).toInstant().plusSeconds(3600L * n);
        Optional<LocalDate> until =
                chance.nextInt(3) == 0 ? Optional.empty() : Optional.of(DAY.plusDays(n / 24 + chance.nextInt(5)));
        String about = switch (what) {
            case PLACE_MADE -> place;
            case BOX_MADE, BOX_PUT, SCANNED -> box;
            case SIGNED, LIST_MADE -> "D-261102-1";
            default -> soil;
        };
        String to = switch (what) {
            case BOX_PUT -> place;
            case SOIL_PUT -> box;
            case HELD, HOLD_LIFTED -> chance.nextBoolean() ? "complaint" : "legal hold";
            default -> "N. Okafor";
        };
        boolean regulated = what == What.PLACE_MADE
                ? place.startsWith("P-R")
                : what == What.BOX_MADE && box.compareTo("B-000003") >= 0;
        return new ShelfAct(what, about, to, until, regulated, "because", "T. Byrne", at);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 17, 99, 2026})
    void keepsEverySoilInOneStateAndItsKindApart(long seed) {
        SplittableRandom chance = new SplittableRandom(seed);
        Shelf shelf = Shelf.empty(known(), ZoneOffset.UTC);
        Map<LabNumber, List<ShelfAct>> done = new HashMap<>();
        Map<What, Integer> counted = new EnumMap<>(What.class);
        int refused = 0;
        for (int n = 0; n < 4000; n++) {
            ShelfAct act = random(chance, n / 20);
            Shelf before = shelf;
            if (shelf.refusal(act).isPresent()) {
                refused++;
                assertThatThrownBy(() -> before.after(act))
                        .as("seed %d", seed)
                        .isInstanceOf(IllegalArgumentException.class);
                continue;
            }
            shelf = shelf.after(act);
            counted.merge(act.what(), 1, Integer::sum);
            if (act.what().ofASoil()) {
                done.computeIfAbsent(new LabNumber(act.about()), number -> new ArrayList<>())
                        .add(act);
            }
        }
        assertThat(refused).as("seed %d", seed).isPositive();
        assertThat(counted.keySet())
                .as("seed %d: what was done at least once", seed)
                .contains(What.values());
        for (Map.Entry<LabNumber, List<ShelfAct>> one : done.entrySet()) {
            List<What> whats = one.getValue().stream().map(ShelfAct::what).toList();
            Stored soil = requireNonNull(shelf.soils().get(one.getKey()));
            assertThat(whats.stream()
                            .filter(w -> w == What.DISCARDED || w == What.HANDED_OVER)
                            .count())
                    .as("seed %d, %s leaves once at most", seed, one.getKey())
                    .isLessThanOrEqualTo(1);
            long lent = whats.stream().filter(w -> w == What.LENT).count();
            long back = whats.stream().filter(w -> w == What.RETURNED).count();
            // The state from counting, which is another way than the shelf's own.
            Stored.State expected = whats.contains(What.DISCARDED)
                    ? Stored.State.DISCARDED
                    : whats.contains(What.HANDED_OVER)
                            ? Stored.State.HANDED_OVER
                            : lent > back ? Stored.State.LENT : Stored.State.ON_SHELF;
            assertThat(soil.state()).as("seed %d, %s", seed, one.getKey()).isEqualTo(expected);
            assertThat(whats.contains(What.DISCARDED) && soil.keeping() != Keeping.ORDINARY)
                    .as("seed %d, %s is not ordinary and was discarded", seed, one.getKey())
                    .isFalse();
            String box = one.getValue().stream()
                    .filter(act -> act.what() == What.SOIL_PUT)
                    .reduce((a, b) -> b)
                    .orElseThrow()
                    .to();
            assertThat(soil.box()).isEqualTo(box);
        }
        for (Stored soil : shelf.soils().values()) {
            Shelf.Box box = requireNonNull(shelf.boxes().get(soil.box()));
            assertThat(box.regulated())
                    .as("seed %d, %s", seed, soil)
                    .isEqualTo(soil.keeping().apart());
            assertThat(box.place()).isEqualTo(soil.place());
            box.place().ifPresent(place -> assertThat(place.startsWith("P-R")).isEqualTo(box.regulated()));
        }
    }
}
