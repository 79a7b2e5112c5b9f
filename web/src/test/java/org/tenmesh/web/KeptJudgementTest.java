package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;

/** A kept judgement stands for as long as everything is the same that it was made from, not the imported files alone. */
class KeptJudgementTest {
    private static final String EARLIER = "2026-11-24";
    private static final InventedDay INVENTED = InventedDay.of(12, Ashgrove.METHODS);

    private final Judge judge = new Judge() {
        @Override
        public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
            return INVENTED.judged();
        }

        @Override
        public Story story(Day day, MethodBook methods, JudgedDay of, Result result) {
            throw new UnsupportedOperationException("no story is asked for");
        }
    };

    private static MemoryStore book(Policy policy) {
        Day day = INVENTED.day();
        Laboratory usual = day.laboratory();
        Laboratory laboratory = MadeLaboratory.like(usual).policy(policy).laboratory();
        MemoryStore book = new MemoryStore();
        book.take(
                EARLIER,
                MadeDay.like(day)
                        .laboratory(laboratory)
                        .history(ControlHistory.NONE)
                        .day());
        book.take("2026-11-25", day);
        return book;
    }

    /** Opens and waits until everything that was to be done behind the pages is done. */
    private void open(MemoryStore book) throws InterruptedException {
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, judge, Ashgrove.CLOCK, 0)) {
            current.start();
            settle(current);
        }
    }

    private static void settle(CurrentDay current) throws InterruptedException {
        for (int turn = 0; turn < 8; turn++) {
            CountDownLatch told = new CountDownLatch(1);
            current.follow(word -> told.countDown());
            assertThat(told.await(20, TimeUnit.SECONDS)).isTrue();
        }
    }

    private static long timesKept(MemoryStore book) {
        return book.kept().stream().filter(EARLIER::equals).count();
    }

    @Test
    void isNotMadeAgainUnderTheSameKey() throws InterruptedException {
        MemoryStore book = book(Policy.defaults().with(Setting.CONTROL_FALSE_ALARM, 0.001));
        open(book);
        assertThat(timesKept(book)).isEqualTo(1);
        Optional<String> key = book.judgedKey(EARLIER);
        assertThat(key)
                .contains(DayJudge.key(book.day(EARLIER, Optional.empty()).day(), Ashgrove.METHODS, EarlierSoils.NONE));

        open(book);

        assertThat(timesKept(book)).isEqualTo(1);
        assertThat(book.judgedKey(EARLIER)).isEqualTo(key);
    }

    @Test
    void isMadeAgainUnderAnotherPolicyThoughTheFilesAreTheSame() throws InterruptedException {
        MemoryStore before = book(Policy.defaults().with(Setting.CONTROL_FALSE_ALARM, 0.001));
        open(before);
        MemoryStore after = book(Policy.defaults().with(Setting.CONTROL_FALSE_ALARM, 0.002));
        after.keep(EARLIER, before.judgedKey(EARLIER).orElseThrow(), INVENTED.judged());
        assertThat(after.mark(EARLIER)).isEqualTo(before.mark(EARLIER));

        open(after);

        assertThat(timesKept(after)).isEqualTo(2);
        assertThat(after.judgedKey(EARLIER))
                .contains(
                        DayJudge.key(after.day(EARLIER, Optional.empty()).day(), Ashgrove.METHODS, EarlierSoils.NONE));
    }

    @Test
    void isShownAtTheNextStartAndTheJudgeAgreesWithItAfterwards() throws InterruptedException {
        MemoryStore book = new MemoryStore();
        book.take("2026-11-25", INVENTED.day());
        open(book);
        List<String> asked = new ArrayList<>();
        Judge watched = watched(asked);

        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, watched, Ashgrove.CLOCK, 0)) {
            current.start();
            assertThat(current.desk().orElseThrow().judged()).isEqualTo(INVENTED.judged());
            settle(current);
        }

        assertThat(asked).as("judged once, behind the page").containsExactly("current-day");
        assertThat(book.kept()).as("nothing was kept again").hasSize(1);
    }

    @Test
    void isReplacedWhenTheJudgeSaysOtherwise() throws InterruptedException {
        MemoryStore book = new MemoryStore();
        book.take("2026-11-25", INVENTED.day());
        open(book);
        JudgedDay whole = INVENTED.judged();
        String key = book.judgedKey("2026-11-25").orElseThrow();
        book.forget("2026-11-25");
        book.keep(
                "2026-11-25",
                key,
                whole.with(whole.results().subList(1, whole.results().size())));

        try (CurrentDay current =
                new CurrentDay(book, Ashgrove.METHODS, watched(new ArrayList<>()), Ashgrove.CLOCK, 0)) {
            current.start();
            settle(current);
            assertThat(current.desk().orElseThrow().judged()).isEqualTo(whole);
        }

        assertThat(book.kept("2026-11-25", key)).contains(whole);
    }

    /** A judge that notes on which thread it is asked. */
    private Judge watched(List<String> asked) {
        return new Judge() {
            @Override
            public JudgedDay judge(Day day, MethodBook methods, EarlierSoils earlier) {
                asked.add(Thread.currentThread().getName());
                return judge.judge(day, methods, earlier);
            }

            @Override
            public Story story(Day day, MethodBook methods, JudgedDay of, Result result) {
                return judge.story(day, methods, of, result);
            }
        };
    }
}
