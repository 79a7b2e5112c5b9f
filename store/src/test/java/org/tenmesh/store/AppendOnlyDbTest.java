package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Not even the owner of the schema changes or deletes a row that was written once, without switching the guard off. */
@Execution(ExecutionMode.SAME_THREAD)
final class AppendOnlyDbTest {
    private static final Store STORE = OpenStore.get();

    @BeforeAll
    static void takeADay() {
        OpenStore.take(STORE, InventedDay.of(20), OpenStore.freshDay(), OpenStore.freshDigest(), "M. Whelan");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "update reading.reading set value = 0",
                "delete from reading.reading",
                "truncate reading.reading",
                "update reading.run set instrument = 'another'",
                "delete from reading.run",
                "update intake.soil set client_label = 'mine'",
                "delete from intake.submission",
                "update layout.place set lab_number = null",
                "update calibration.standard set value = 1",
                "delete from calibration.material",
                "update intake.source set actor = 'nobody'",
                "delete from sealed.control",
                "update causes.action set reason = ''",
                "update causes.answer set said = 'confirmed'",
                "update reading.run_order set instrument = 'another'",
                "delete from reading.run_order_place",
                "delete from reading.run_order_cancelled",
                "delete from release.release",
                "update release.result set reported = '1'",
                "update release.report set pdf = 'x'",
                "update journal.entry set actor = 'nobody'",
                "delete from journal.entry",
                "truncate journal.entry"
            })
    void refusesTheOwner(String sql) throws SQLException {
        try (Connection connection = STORE.connections().owner();
                Statement statement = connection.createStatement()) {
            assertThatThrownBy(() -> statement.execute(sql))
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("are never changed or deleted");
        }
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "update reading.reading set value = 0",
                "delete from reading.reading",
                "update intake.soil set client_label = 'mine'",
                "delete from causes.action",
                "delete from causes.answer",
                "update release.result set reported = '1'",
                "delete from journal.entry",
                "alter table reading.reading disable trigger all"
            })
    void theProgramHasNoRightToTry(String sql) throws SQLException {
        try (Connection connection = STORE.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            assertThatThrownBy(() -> statement.execute(sql))
                    .isInstanceOf(SQLException.class)
                    .hasMessageMatching("(?s).*(permission denied|must be owner).*");
        }
    }
}
