package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.UUID;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.store.labels.Printing;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class PrintingsDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T09:00:00.5Z");

    private final Store store = OpenStore.get();
    private final String kind = "kind " + UUID.randomUUID();

    private Printing print(String day, String reason, String... labels) {
        return store.printings().print(kind, day, List.of(labels), reason, "A. Bench", AT);
    }

    private List<String> differences() {
        return store.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains("labels printed"))
                .toList();
    }

    @Test
    void aLabelIsPrintedASecondTimeOnlyWithAReason() {
        assertThat(print("d1", "not needed", "T0001", "T0002").reason()).isEmpty();
        // Another day may have a tray of the same name, and another kind a label of the same text.
        assertThat(print("d2", "", "T0001").again()).isZero();
        assertThat(store.printings()
                        .print("other " + kind, "d1", List.of("T0001"), "", "A. Bench", AT)
                        .again())
                .isZero();
        assertThatThrownBy(() -> print("d1", " ", "T0002", "T0003"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("1 of 2 labels were printed before (T0002), last by A. Bench");
        assertThat(print("d1", "", "T0003").again())
                .as("nothing was kept of it")
                .isZero();
        Printing again = print("d1", "torn", "T0002", "T0003", "T0004");
        assertThat(again.again()).isEqualTo(2);
        assertThat(store.printings().newest(Set.of(kind), 1)).containsExactly(again);
        assertThat(store.printings().newest(Set.of(kind), 9)).hasSize(4);
        assertThat(differences()).isEmpty();
    }

    @Test
    void ofTwoWhoPrintOneLabelAtOnceOneIsAskedWhy() throws Exception {
        ExecutorService two = Executors.newFixedThreadPool(2);
        try {
            List<Callable<Printing>> both = List.of(() -> print("d1", "", "T0001"), () -> print("d1", "", "T0001"));
            int refused = 0;
            for (Future<Printing> one : two.invokeAll(both)) {
                try {
                    one.get();
                } catch (java.util.concurrent.ExecutionException failed) {
                    assertThat(failed.getCause()).isInstanceOf(Refused.class);
                    refused++;
                }
            }
            assertThat(refused).isEqualTo(1);
        } finally {
            two.shutdown();
        }
    }

    @Test
    void fiveThousandLabelsAreKeptAndFoundAgain() {
        List<String> labels = new ArrayList<>();
        for (int i = 0; i < 5_000; i++) {
            labels.add("26329-%04d".formatted(i));
        }
        assertThat(print("", "", labels.toArray(String[]::new)).labels()).isEqualTo(labels);
        assertThatThrownBy(() -> print("", "", "26329-4999"))
                .hasMessageContaining("1 of 1 label was printed before (26329-4999)");
    }

    @Test
    void whatWasChangedOutsideIsTold() throws SQLException {
        print("d1", "", "T0001");
        for (String label : List.of("T0009", "T0001")) {
            try (Connection owner = store.connections().owner();
                    Statement statement = owner.createStatement()) {
                statement.execute("alter table layout.printed disable trigger printed_stays");
                statement.execute(
                        "update layout.printed set labels = array['" + label + "'] where kind = '" + kind + "'");
                statement.execute("alter table layout.printed enable trigger printed_stays");
            }
            assertThat(differences()).hasSize(label.equals("T0009") ? 2 : 0);
        }
    }
}
