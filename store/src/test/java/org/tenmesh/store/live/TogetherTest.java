package org.tenmesh.store.live;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.tenmesh.store.rows.Refused;

@Timeout(60)
final class TogetherTest {
    private final ExecutorService threads = Executors.newCachedThreadPool();
    private final List<List<String>> groups = Collections.synchronizedList(new ArrayList<>());
    private final CountDownLatch firstIsUnderWay = new CountDownLatch(1);
    private final CountDownLatch goesOn = new CountDownLatch(1);
    private final Together<String, String> together = new Together<>(asked -> asked.substring(0, 1), this::done);

    private List<String> done(List<String> group) {
        groups.add(List.copyOf(group));
        if (group.contains("a first")) {
            firstIsUnderWay.countDown();
            try {
                goesOn.await();
            } catch (InterruptedException e) {
                throw new IllegalStateException(e);
            }
        }
        if (group.contains("a wrong")) {
            throw new Refused("wrong");
        }
        if (group.contains("a broken")) {
            throw new AssertionError("broken");
        }
        return group.stream().map(one -> one + " done").toList();
    }

    @AfterEach
    void end() {
        threads.shutdownNow();
    }

    /** Asks while the first is under way, in this order. */
    private List<Future<String>> asked(List<String> others) throws Exception {
        List<Future<String>> answers = new ArrayList<>();
        answers.add(threads.submit(() -> together.ask("a first")));
        firstIsUnderWay.await();
        for (String other : others) {
            CountDownLatch began = new CountDownLatch(1);
            answers.add(threads.submit(() -> {
                began.countDown();
                return together.ask(other);
            }));
            began.await();
        }
        long deadline = System.nanoTime() + 30_000_000_000L;
        while (together.waiting() < others.size() && System.nanoTime() < deadline) {
            Thread.sleep(2);
        }
        goesOn.countDown();
        return answers;
    }

    @Test
    void whatWaitsGoesTogetherAndEachGetsItsOwnAnswer() throws Exception {
        List<Future<String>> answers = asked(List.of("a 1", "a 2", "a 3"));

        for (String one : List.of("a first", "a 1", "a 2", "a 3")) {
            assertThat(answers.stream().map(TogetherTest::answer)).contains(one + " done");
        }
        assertThat(groups).hasSize(2);
        assertThat(groups.get(1)).containsExactlyInAnyOrder("a 1", "a 2", "a 3");
    }

    @Test
    void whatIsRefusedIsRefusedAlone() throws Exception {
        List<Future<String>> answers = asked(List.of("a 1", "a wrong", "a 2"));

        assertThat(answers.stream().map(TogetherTest::answer))
                .containsExactly("a first done", "a 1 done", "refused: wrong", "a 2 done");
    }

    @Test
    void nobodyWaitsForAnAnswerThatNobodyGives() throws Exception {
        List<Future<String>> answers = asked(List.of("a 1", "a broken", "a 2"));

        assertThat(answers.stream().map(TogetherTest::answer).skip(1)).allMatch(said -> said.startsWith("refused: "));
    }

    @Test
    void onlyWhatHasTheSameKeyGoesTogether() throws Exception {
        List<Future<String>> answers = asked(List.of("a 1", "b 1", "a 2"));

        assertThat(answers.stream().map(TogetherTest::answer))
                .doesNotContainNull()
                .hasSize(4);
        assertThat(groups)
                .allSatisfy(group -> assertThat(
                                group.stream().map(one -> one.charAt(0)).distinct())
                        .hasSize(1));
    }

    private static String answer(Future<String> one) {
        try {
            return one.get();
        } catch (java.util.concurrent.ExecutionException e) {
            return "refused: " + requireNonNull(e.getCause()).getMessage();
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }
}
