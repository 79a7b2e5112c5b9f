package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
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

class CurrentDayTest {
    @Test
    void judgesWithWhatEarlierDaysFoundInSoils() {
        EarlierSoils earlier = new EarlierSoils(List.of(new EarlierSoils.EarlierSoil(
                LocalDate.of(2026, 11, 20),
                "S1",
                "Invented client",
                Optional.empty(),
                "field 1",
                Map.of("ph-water-1-1", Map.of("pH", 6.4)))));
        MemoryStore book = new MemoryStore();
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        book.take(invented.day());
        book.remember(earlier);
        List<EarlierSoils> asked = new ArrayList<>();
        Judge judge = new Judge() {
            @Override
            public JudgedDay judge(Day day, MethodBook methods, EarlierSoils known) {
                asked.add(known);
                return invented.judged();
            }

            @Override
            public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
                throw new UnsupportedOperationException("no story is asked for");
            }
        };
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, judge, Ashgrove.CLOCK, 0)) {
            current.start();
        }
        assertThat(asked).isNotEmpty().allMatch(earlier::equals);
    }

    @Test
    void whatIsStoredOtherwiseThanItWasReadIsFoundAndShown() {
        MemoryStore book = new MemoryStore();
        Day day = InventedDay.of(12, Ashgrove.METHODS).day();
        book.take(day);
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, Judge.HOUSE, Ashgrove.CLOCK, 0)) {
            current.start();
            String before = current.versionToken();
            current.compareWithStore();
            assertThat(current.versionToken()).isEqualTo(before);

            Day fewer = day.withRuns(day.runs().subList(1, day.runs().size()));
            book.changeBehind("2026-11-25", fewer);
            current.compareWithStore();
            assertThat(current.versionToken()).isNotEqualTo(before);
            assertThat(current.desk().orElseThrow().day().runs()).isEqualTo(fewer.runs());
        }
    }

    /** The thread that looks for open work is stopped in the middle of a day: a page of another earlier day is made all the same. */
    @Test
    void noPageOfAnEarlierDayWaitsForTheLookForOpenWork() throws Exception {
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        MemoryStore book = new MemoryStore();
        book.take("2026-11-23", invented.day());
        book.take("2026-11-24", invented.day());
        book.take("2026-11-25", invented.day());
        CountDownLatch looks = new CountDownLatch(1);
        CountDownLatch goesOn = new CountDownLatch(1);
        AtomicBoolean started = new AtomicBoolean();
        Judge judge = new Judge() {
            @Override
            public JudgedDay judge(Day day, MethodBook methods, EarlierSoils known) {
                if (started.get() && Thread.currentThread().getName().equals("current-day")) {
                    looks.countDown();
                    try {
                        goesOn.await();
                    } catch (InterruptedException stop) {
                        Thread.currentThread().interrupt();
                    }
                }
                return invented.judged();
            }

            @Override
            public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
                throw new UnsupportedOperationException("no story is asked for");
            }
        };
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, judge, Ashgrove.CLOCK, 0)) {
            started.set(true);
            current.start();
            assertThat(looks.await(60, TimeUnit.SECONDS)).isTrue();
            assertThat(CompletableFuture.supplyAsync(() -> current.desk("2026-11-23"))
                            .get(60, TimeUnit.SECONDS))
                    .isPresent();
            goesOn.countDown();
        } finally {
            goesOn.countDown();
        }
    }

    /** Ten years of days, of which the pages keep what is new; the rest is found when it is asked for. */
    @Test
    void asksForNoListOfDaysWhileNothingWasImportedAndFindsOldDaysByTheirName() throws Exception {
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        MemoryStore book = new MemoryStore();
        LocalDate first = LocalDate.of(2016, 1, 1);
        Day empty = MadeDay.empty().day();
        for (int day = 0; day < 449; day++) {
            book.take(first.plusDays(day).toString(), empty);
        }
        book.take(first.plusDays(449).toString(), invented.day());
        // Older than those that are watched.
        String old = first.plusDays(3).toString();
        try (Ashgrove ashgrove = Ashgrove.open(book, invented, Ashgrove.judge(invented))) {
            int asked = book.listings().size();
            assertThat(book.listings()).isNotEmpty().allMatch(most -> most <= 400);
            assertThat(book.kept()).doesNotContain(old);
            Thread.sleep(2500);
            assertThat(book.listings()).hasSize(asked);

            Browser quality = ashgrove.as(PersonRole.QUALITY);
            assertThat(quality.page("/days/" + old + "/submissions").text()).contains("an earlier day");
            assertThat(quality.get("/days/2015-12-31/submissions").statusCode()).isEqualTo(404);
            List<String> walked = new ArrayList<>();
            String page = "/days";
            while (!page.isEmpty()) {
                Document days = quality.page(page);
                walked.addAll(days.select("tbody th a").eachAttr("href"));
                Element earlier = days.selectFirst("a:containsOwn(Earlier days)");
                page = earlier == null ? "" : earlier.attr("href");
            }
            assertThat(walked).hasSize(450).doesNotHaveDuplicates().endsWith("/days/" + first + "/today");
            assertThat(quality.page("/days?before=1999-01-01").text()).contains("There is no day before that one.");
        }
    }
}
