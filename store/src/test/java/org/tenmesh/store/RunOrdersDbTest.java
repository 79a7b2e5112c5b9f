package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class RunOrdersDbTest {
    private static final Store STORE = OpenStore.get();
    private static final AtomicInteger NEXT = new AtomicInteger();
    private static final OffsetDateTime AT = OffsetDateTime.parse("2026-11-25T08:00:00.123456+01:00");

    private static String name() {
        return "order-" + NEXT.incrementAndGet();
    }

    private static RunOrder order(String name, String method, String labNumber) {
        return new RunOrder(
                name,
                method,
                "ICP-A",
                AT,
                List.of(
                        new RunOrder.Place(1, Role.STANDARD, "S1"),
                        new RunOrder.Place(2, Role.SAMPLE, labNumber, 2.5, true),
                        new RunOrder.Place(3, Role.BLANK, "MB")));
    }

    @Test
    void anOrderComesBackAsItWasMadeAndIsInTheJournal() {
        RunOrder order = order(name(), "method-a", "26329-0001-A");
        STORE.runOrders().keep(order, "M. Whelan");
        KeptOrder kept = STORE.runOrders().find(order.name()).orElseThrow();
        assertThat(kept.order()).isEqualTo(order);
        assertThat(kept.order().digest()).isEqualTo(order.digest());
        assertThat(kept.actor()).isEqualTo("M. Whelan");
        assertThat(kept.open()).isTrue();
        assertThat(STORE.journal(1).get(0).what()).isEqualTo("run-order-made");
        assertThat(STORE.journal(1).get(0).detail()).contains(order.digest());
        assertThat(STORE.runOrders().newest(100)).contains(kept);
    }

    @Test
    void aSoilWaitsInOneOpenOrderOfAMethodAndACancelledOneLetsItGo() {
        RunOrder first = order(name(), "method-b", "26329-0002-A");
        STORE.runOrders().keep(first, "M. Whelan");
        RunOrder second = order(name(), "method-b", "26329-0002-A");
        assertThatThrownBy(() -> STORE.runOrders().keep(second, "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("26329-0002-A waits in run order " + first.name());
        STORE.runOrders().keep(order(name(), "method-c", "26329-0002-A"), "M. Whelan");
        assertThatThrownBy(() -> STORE.runOrders().cancel(first.name(), " ", "M. Whelan", Instant.EPOCH))
                .isInstanceOf(Refused.class);
        STORE.runOrders().cancel(first.name(), "argon ran out", "T. Byrne", AT.toInstant());
        KeptOrder cancelled = STORE.runOrders().find(first.name()).orElseThrow();
        assertThat(cancelled.cancelled().orElseThrow().reason()).isEqualTo("argon ran out");
        assertThatThrownBy(() -> STORE.runOrders().cancel(first.name(), "twice", "T. Byrne", AT.toInstant()))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("cancelled already");
        STORE.runOrders().keep(second, "M. Whelan");
        assertThatThrownBy(() -> STORE.runOrders().keep(second, "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("already");
    }

    @Test
    void ofTwoWhoMakeTheSameOrderAtOnceOneIsRefused() {
        AtomicInteger kept = new AtomicInteger();
        AtomicInteger refused = new AtomicInteger();
        CompletableFuture<?>[] both = new CompletableFuture<?>[4];
        for (int i = 0; i < both.length; i++) {
            RunOrder order = order(name(), "method-d", "26329-0003-A");
            both[i] = CompletableFuture.runAsync(() -> {
                try {
                    STORE.runOrders().keep(order, "M. Whelan");
                    kept.incrementAndGet();
                } catch (Refused expected) {
                    refused.incrementAndGet();
                }
            });
        }
        CompletableFuture.allOf(both).join();
        assertThat(kept).hasValue(1);
        assertThat(refused).hasValue(3);
    }
}
