package org.tenmesh.core.dock;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.dock.DockAct.What;

/** Thousands of days at the dock, each a chance row of acts: whatever is accepted, the account of bags holds. */
class BookingPropertyTest {
    private static final int CASES = 1000;
    private static final List<String> WORDS = List.of("wet", "broken", "too-little", "illegible", "duplicate", "other");

    private int laidOut;
    private int withExceptions;

    @Test
    void nothingIsLaidOutWithAnOpenExceptionAndEveryBagIsAccountedFor() {
        for (int seed = 0; seed < CASES; seed++) {
            play(seed);
        }
        assertThat(laidOut).as("cases that came to their layout").isGreaterThan(CASES / 4);
        assertThat(withExceptions).as("of these with settled exceptions").isGreaterThan(laidOut / 4);
    }

    private void play(int seed) {
        Random random = new Random(seed);
        int bags = 1 + random.nextInt(8);
        Expected expected = new Expected(
                "SUB-" + seed,
                IntStream.rangeClosed(1, bags)
                        .mapToObj(n -> new Expected.Bag(n, random.nextInt(12) == 0 ? "same" : "F" + n, ""))
                        .toList(),
                random.nextInt(4) == 0
                        ? Origin.MISSING
                        : new Origin("US", List.of("A", "B", "C").get(random.nextInt(3))));
        boolean permit = random.nextBoolean();
        List<DockAct> acts = new ArrayList<>();
        // What the account of bags must come to, kept beside the booking by the simplest means.
        Map<String, Integer> there = new TreeMap<>();
        Set<String> extras = new HashSet<>();
        for (int i = 0; i < 60; i++) {
            Booking now = booking(expected, acts, permit);
            check(seed, expected, now, there, extras);
            DockAct act = any(random, "a" + i, expected, now, acts);
            boolean wasBooked = now.booked().isPresent();
            if (now.refusal(act).isEmpty()) {
                acts.add(act);
                if (act.what() == What.MADE_REGULATED) {
                    assertThat(booking(expected, acts, permit).regulated())
                            .as("seed %d: %s", seed, act)
                            .isTrue();
                }
                nothingSaidIsLost(seed, acts, booking(expected, acts, permit));
                switch (act.what()) {
                    case THERE -> there.put(act.id(), act.number());
                    case EXTRA -> extras.add(act.id());
                    case TAKEN_BACK -> {
                        there.remove(act.about());
                        extras.remove(act.about());
                    }
                    default -> {}
                }
                assertThat(wasBooked && act.what() != What.TAKEN_BACK && act.what() != What.MADE_REGULATED)
                        .as("seed %d: %s after booking", seed, act)
                        .isFalse();
            }
        }
    }

    private static Booking booking(Expected expected, List<DockAct> acts, boolean permit) {
        return Booking.of(
                expected,
                acts,
                came -> new Ruling(
                        came.origin().missing()
                                ? Ruling.Answer.MISSING
                                : switch (came.origin().region()) {
                                    case "A" -> Ruling.Answer.REGULATED;
                                    case "B" -> Ruling.Answer.UNCLEAR;
                                    default -> Ruling.Answer.NOT_LISTED;
                                },
                        "list 1",
                        "",
                        permit ? "P" : "",
                        permit ? List.of() : List.of("no permit"),
                        List.of()));
    }

    /** Everything that was said is in force or stands beside what took its place. */
    private static void nothingSaidIsLost(int seed, List<DockAct> acts, Booking now) {
        Set<String> gone = new HashSet<>();
        now.changed().forEach(one -> gone.add(one.first().id()));
        for (DockAct act : acts) {
            boolean inForce = switch (act.what()) {
                case TAKEN_BACK -> true;
                case COUNTED ->
                    now.counted().filter(one -> one.number() == act.number()).isPresent();
                case WEIGHED ->
                    now.weighed().filter(one -> one.number() == act.number()).isPresent();
                case ORIGIN -> now.arrival().origin().region().equals(act.about());
                default -> Booking.counting(acts).contains(act);
            };
            assertThat(inForce || gone.contains(act.id()) || said(now, act))
                    .as("seed %d: %s is seen", seed, act)
                    .isTrue();
        }
    }

    /** Said once more and changed later: the same value stands in a line of its own. */
    private static boolean said(Booking now, DockAct act) {
        return now.changed().stream()
                .anyMatch(one -> one.first().what() == act.what() && Changed.same(one.first(), act));
    }

    private void check(int seed, Expected expected, Booking now, Map<String, Integer> there, Set<String> extras) {
        assertThat(now.there())
                .as("seed %d", seed)
                .extracting(DockAct::number)
                .containsExactlyInAnyOrderElementsOf(there.values());
        assertThat(now.there().size() + now.notThere().size())
                .as("seed %d: there + missing = expected", seed)
                .isEqualTo(expected.bags().size());
        assertThat(now.extra()).as("seed %d", seed).extracting(DockAct::id).containsExactlyInAnyOrderElementsOf(extras);
        assertThat(now.exceptions().stream().filter(one -> one.kind() == ExceptionKind.EXTRA))
                .as("seed %d: no extra bag vanishes", seed)
                .hasSameSizeAs(extras);
        assertThat(now.soils())
                .as("seed %d", seed)
                .extracting(Booking.BookedSoil::number)
                .doesNotHaveDuplicates();
        for (Changed changed : now.changed()) {
            assertThat(changed.by().reason())
                    .as("seed %d: %s has its reason", seed, changed)
                    .isNotBlank();
        }
        for (Booking.BookedSoil soil : now.soils()) {
            assertThat(!soil.onSheet() || there.containsValue(soil.number()))
                    .as("seed %d: soil %s was seen", seed, soil)
                    .isTrue();
        }
        if (now.mayBeLaidOut()) {
            laidOut++;
            withExceptions += now.exceptions().isEmpty() ? 0 : 1;
            assertThat(now.open()).as("seed %d", seed).isEmpty();
            assertThat(now.counted().orElseThrow().number())
                    .as("seed %d: count", seed)
                    .isEqualTo(there.size() + extras.size());
            long out = now.exceptions().stream()
                    .filter(one -> one.decision().equals(java.util.Optional.of(Decision.WITHOUT))
                            && there.containsValue(one.number()))
                    .map(Exceptional::number)
                    .distinct()
                    .count();
            long aside = now.exceptions().stream()
                    .filter(one -> one.decision().equals(java.util.Optional.of(Decision.SET_ASIDE)))
                    .count();
            assertThat(now.soils().size() + out + aside)
                    .as("seed %d: laid out + not analysed + set aside = what is there", seed)
                    .isEqualTo(there.size() + extras.size());
            boolean listed = now.arrival().origin().region().equals("A");
            assertThat(now.regulated() || !listed && !now.arrival().origin().missing())
                    .as("seed %d: a listed or missing origin is regulated", seed)
                    .isTrue();
        }
    }

    private static DockAct any(Random random, String id, Expected expected, Booking now, List<DockAct> acts) {
        What what = What.values()[random.nextInt(What.values().length)];
        if (random.nextInt(3) == 0) {
            what = What.THERE;
        }
        if (!now.open().isEmpty() && random.nextInt(3) == 0) {
            what = What.DECIDED;
        }
        if (what == What.TAKEN_BACK && random.nextInt(3) > 0) {
            what = What.COUNTED;
        }
        int number = 0;
        String about = "";
        String says = "";
        switch (what) {
            case BOX -> about = "BX" + random.nextInt(3);
            case WEIGHED -> number = random.nextInt(3);
            case COUNTED ->
                number = random.nextInt(4) == 0
                        ? random.nextInt(10)
                        : now.there().size() + now.extra().size();
            case THERE -> {
                number = random.nextInt(expected.bags().size() + 2);
                says = random.nextBoolean() ? DockAct.SCANNED : DockAct.TICKED;
            }
            case EXTRA -> about = random.nextInt(3) == 0 ? "Hill" : "";
            case FOUND -> {
                number = random.nextInt(expected.bags().size() + 1);
                says = WORDS.get(random.nextInt(WORDS.size()));
            }
            case ORIGIN -> {
                says = "US";
                about = List.of("A", "B", "C").get(random.nextInt(3));
            }
            case ASKED, ANSWERED, DECIDED -> {
                List<Exceptional> all = now.exceptions();
                Exceptional one = all.isEmpty() ? null : all.get(random.nextInt(all.size()));
                about = one == null ? "" : one.key();
                List<Decision> decisions = one == null ? List.of() : one.kind().decisions();
                says = what != What.DECIDED || decisions.isEmpty()
                        ? ""
                        : decisions.get(random.nextInt(decisions.size())).word();
            }
            case BOOKED -> {
                number = now.soils().size();
                says = now.regulated() ? DockAct.REGULATED : DockAct.ORDINARY;
                about = now.permit();
            }
            case TAKEN_BACK ->
                about = acts.isEmpty()
                        ? ""
                        : acts.get(random.nextInt(acts.size())).id();
        }
        return new DockAct(
                id,
                expected.submission(),
                what,
                number,
                about,
                says,
                random.nextInt(4) == 0 ? "" : "because",
                "X",
                Instant.EPOCH);
    }
}
