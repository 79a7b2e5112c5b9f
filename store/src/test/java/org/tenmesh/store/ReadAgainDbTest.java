package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.ReadDay;

/** A day that was read before is read again with what is new in it, and is the day that stands in the database. */
@Execution(ExecutionMode.SAME_THREAD)
class ReadAgainDbTest {
    private final Store store = OpenStore.get();
    private final String name = OpenStore.freshDay();
    private final Day invented = InventedDay.of(40);

    private ReadDay read(Optional<ReadDay> before) {
        return store.quality().dayWithControls(name, before).orElseThrow();
    }

    private String digest(Optional<ReadDay> before) {
        ReadDay its = read(before);
        return Content.digest(its.day(), its.digests());
    }

    private void take(List<Run> runs) {
        OpenStore.take(store, invented.withRuns(runs), name, OpenStore.freshDigest(), "M. Whelan");
    }

    @Test
    void onlyTheNewRunIsRead() {
        Run one = invented.runs().get(0);
        Run two = MadeRun.like(one)
                .named("P2")
                .startedAt(one.startedAt().plusHours(1))
                .run();
        take(List.of(one));
        ReadDay first = read(Optional.empty());

        Day same = read(Optional.of(first)).day();
        assertThat(same.soils() == first.day().soils()).isTrue();
        assertThat(same.trays() == first.day().trays()).isTrue();
        assertThat(same.controls() == first.day().controls()).isTrue();

        take(List.of(one, two));
        Day second = read(Optional.of(first)).day();
        assertThat(second.runs()).extracting(Run::run).containsExactly("P1", "P2");
        assertThat(second.runs().get(0) == first.day().runs().get(0)).isTrue();
        assertThat(digest(Optional.of(first))).isEqualTo(digest(Optional.empty()));
    }

    @Test
    void theDigestBesideARunDecidesWhetherItIsReadAgain() throws SQLException {
        take(invented.runs());
        ReadDay before = read(Optional.empty());
        String held = digest(Optional.of(before));
        String run =
                "(select max(r.id) from reading.run r join intake.day d on d.id = r.day where d.name = '" + name + "')";
        OpenStore.run(
                store,
                "set session_replication_role = replica",
                "update reading.reading set value = value + 1 where line = 1 and run = " + run);

        // The readings alone were changed: only one who reads everything sees it.
        assertThat(digest(Optional.of(before))).isEqualTo(held);
        assertThat(digest(Optional.empty())).isNotEqualTo(held);

        OpenStore.run(
                store,
                "set session_replication_role = replica",
                "update reading.run set sha256 = repeat('0', 64) where id = " + run);
        assertThat(digest(Optional.of(before))).isEqualTo(digest(Optional.empty()));
    }
}
