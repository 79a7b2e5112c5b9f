package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.journal.JournalEntry;

/** Whoever works downstream of the layout cannot tell a hidden control, not even with SQL. */
@Execution(ExecutionMode.SAME_THREAD)
final class SealedDbTest {
    private static final Store STORE = OpenStore.get();
    private static final String DAY = OpenStore.freshDay();
    private static final Day TAKEN = InventedDay.of(120);

    @BeforeAll
    static void takeADay() {
        OpenStore.take(STORE, TAKEN, DAY, OpenStore.freshDigest(), "M. Whelan");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "select * from sealed.control",
                "select * from sealed.control_value",
                "select count(*) from sealed.control",
                "insert into sealed.control values (1, 'x', 'y')",
                "select * from judgement.verdict",
                "select * from judgement.result",
                "select * from judgement.cause",
                "select * from judgement.gate",
                "select * from intake.soil",
                "select * from intake.submission",
                "select * from reading.reading",
                "select * from release.result",
                "select * from people.person",
                "select * from journal.entry",
                "select intake.seal(1, array['x'], array['y'])",
                "set role tenmesh_quality",
                "set role tenmesh_app",
                "set session authorization tenmesh_quality"
            })
    void theBenchIsDenied(String sql) throws SQLException {
        try (Connection connection = STORE.connections().bench().open().getConnection();
                Statement statement = connection.createStatement()) {
            assertThatThrownBy(() -> statement.execute(sql))
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("permission denied");
        }
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "select * from sealed.control",
                "select * from sealed.control_value",
                "delete from sealed.control",
                "set role tenmesh_quality"
            })
    void theProgramIsDeniedTheKey(String sql) throws SQLException {
        try (Connection connection = STORE.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            assertThatThrownBy(() -> statement.execute(sql))
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("permission denied");
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"tenmesh_bench", "tenmesh_app"})
    void ownerWhoSteppedDownIsDeniedTheKey(String user) throws SQLException {
        try (Connection connection = STORE.connections().owner();
                Statement statement = connection.createStatement()) {
            statement.execute("set role " + user);
            assertThatThrownBy(() -> statement.execute("select * from sealed.control"))
                    .isInstanceOf(SQLException.class)
                    .hasMessageContaining("permission denied for schema sealed");
        }
    }

    @Test
    void nobodyButQualityAndTheOwnerHasAnyRightInTheSealedSchema() throws SQLException {
        assertThat(OpenStore.ask(STORE, """
                        select coalesce(string_agg(distinct a.grantee::regrole::text, ','), '')
                        from pg_class c
                        join pg_namespace n on n.oid = c.relnamespace
                        cross join lateral aclexplode(c.relacl) a
                        where n.nspname = 'sealed' and a.grantee <> c.relowner
                        """)).isEqualTo("tenmesh_quality");
    }

    @Test
    void whatTheBenchSeesTellsNoControl() throws SQLException {
        List<String> controls =
                TAKEN.controls().keySet().stream().map(LabNumber::text).toList();
        List<String> shapesOfControls = new ArrayList<>();
        List<String> shapesOfSoils = new ArrayList<>();
        try (Connection connection = STORE.connections().bench().open().getConnection();
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery("select * from bench.place where day = '" + DAY + "'")) {
            while (rows.next()) {
                String number = rows.getString("lab_number");
                if (number != null) {
                    // Everything but the number and the place itself: the same for every soil.
                    (controls.contains(number) ? shapesOfControls : shapesOfSoils)
                            .add(rows.getMetaData().getColumnCount()
                                    + rows.getString("day")
                                    + rows.getString("purpose"));
                }
            }
        }
        assertThat(shapesOfControls).hasSize(controls.size()).isNotEmpty();
        assertThat(shapesOfSoils).containsAll(shapesOfControls);
        assertThat(STORE.bench().trays(DAY)).containsExactlyInAnyOrderElementsOf(TAKEN.trays());
    }

    @Test
    void theJournalNamesNoControl() {
        // Entries about other days of the store that all tests share may name the same number, which is a soil there.
        List<JournalEntry> journal = STORE.journal(10_000).stream()
                .filter(entry -> entry.subject().contains(DAY))
                .toList();
        assertThat(journal).isNotEmpty();
        for (LabNumber control : TAKEN.controls().keySet()) {
            assertThat(journal.toString()).doesNotContain(control.text());
        }
    }
}
