package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;
import org.tenmesh.web.people.SignInPages;

/** A day that the judge cannot finish costs that day: the server starts, says which day and why, and serves the rest. */
class NotJudgedPageTest {
    private static final InventedDay GOOD = InventedDay.of(12, Ashgrove.METHODS);

    /** Fails on days without soils, with the failure given. */
    private record Failing(Throwable failure, Set<Integer> asked) implements Judge {
        Failing(Throwable failure) {
            this(failure, ConcurrentHashMap.newKeySet());
        }

        @Override
        public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
            asked.add(day.soils().size());
            if (!day.soils().isEmpty()) {
                return GOOD.judged();
            }
            if (failure instanceof Error error) {
                throw error;
            }
            throw (RuntimeException) failure;
        }

        @Override
        public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
            return Ashgrove.judge(GOOD).story(day, methods, judged, result);
        }
    }

    private static Day bad() {
        return MadeDay.empty().day();
    }

    @Test
    void showsTheNewestDayThatCanBeJudgedAndSaysWhichCannot() {
        MemoryStore book = new MemoryStore();
        book.take("2026-11-24", GOOD.day());
        book.take("2026-11-25", bad());
        try (Ashgrove ashgrove =
                Ashgrove.open(book, GOOD, new Failing(new IllegalStateException("no column <b>of</b> numbers")))) {
            String quality = ashgrove.as(PersonRole.QUALITY).page("/today").text();
            assertThat(quality)
                    .contains(
                            "Day 2026-11-25 could not be judged",
                            "no column <b>of</b> numbers",
                            "Its readings are kept")
                    .contains("12 soils in work");
            for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.BENCH, PersonRole.CLIENT_SERVICE)) {
                assertThat(ashgrove.as(role).page(SignInPages.home(role)).text())
                        .as(role.phrase())
                        .contains("Day 2026-11-25 could not be judged", "reference")
                        .doesNotContain("no column");
            }
            assertThat(ashgrove.visitor().page("/sign-in").text()).doesNotContain("could not be judged");
        }
    }

    @Test
    void startsAndSaysSoWhenTheOnlyDayCannotBeJudged() {
        for (Throwable failure : List.of(
                new ArrayIndexOutOfBoundsException("7"), new StackOverflowError(), new OutOfMemoryError("Java heap"))) {
            MemoryStore book = new MemoryStore();
            book.take(bad());
            try (Ashgrove ashgrove = Ashgrove.open(book, GOOD, new Failing(failure))) {
                assertThat(ashgrove.as(PersonRole.QUALITY).page("/today").text())
                        .contains(
                                "No day that could be judged",
                                failure.getClass().getSimpleName());
            }
        }
    }

    @Test
    void judgesAgainWhenSomethingIsAddedAndNotBefore() throws Exception {
        MemoryStore book = new MemoryStore();
        book.take(bad());
        Failing judge = new Failing(new IllegalStateException("empty"));
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, judge, Ashgrove.CLOCK, 0)) {
            current.start();
            assertThat(current.notJudged()).hasSize(1);
            assertThat(current.desk()).isEmpty();
            judge.asked().clear();
            Thread.sleep(1500);
            assertThat(judge.asked()).isEmpty();
            book.take(GOOD.day());
            long until = System.nanoTime() + 60_000_000_000L;
            while (current.desk().isEmpty() && System.nanoTime() < until) {
                Thread.sleep(50);
            }
            assertThat(current.desk()).isPresent();
            assertThat(current.notJudged()).isEmpty();
        }
    }

    @Test
    void judgesAndKeepsEveryDayTakenNotOnlyTheNewest() {
        MemoryStore book = new MemoryStore();
        book.take("2026-11-23", GOOD.day());
        book.take("2026-11-24", GOOD.day());
        book.take("2026-11-25", GOOD.day());
        try (CurrentDay current =
                new CurrentDay(book, Ashgrove.METHODS, new Failing(new IllegalStateException()), Ashgrove.CLOCK, 0)) {
            current.start();
            assertThat(book.kept()).startsWith("2026-11-23", "2026-11-24");
            assertThat(current.desk().orElseThrow().name()).isEqualTo("2026-11-25");
        }
    }
}
