package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.UUID;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class PapersDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T10:20:30.123Z");
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);

    private final Store store = OpenStore.get();

    private static AreaList list(String name, String county) {
        return new AreaList(
                name,
                "an authority",
                "an ant",
                "a rule",
                Set.of("US", "CA"),
                false,
                List.of(
                        new Area(
                                "US",
                                List.of("Tennessee", "TN"),
                                List.of(county),
                                Optional.of(TODAY),
                                Optional.empty(),
                                "in part"),
                        new Area("CA", List.of(), List.of(), Optional.empty(), Optional.of(TODAY), "")),
                List.of(new Area(
                        "US",
                        List.of("Tennessee"),
                        List.of(county.equals("Shelby") ? "Hardeman" : "Shelby"),
                        Optional.empty(),
                        Optional.empty(),
                        "")),
                "a map",
                TODAY.minusDays(30),
                TODAY.plusDays(30));
    }

    static Permit permit(String number) {
        return new Permit(
                Permit.Kind.AGREEMENT,
                number,
                "an authority",
                "a laboratory",
                "1 Invented Road",
                List.of(new Area("US", List.of("Tennessee"), List.of(), Optional.empty(), Optional.empty(), "")),
                Set.of("ants", "nematodes"),
                Set.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL),
                OptionalLong.of(1360),
                true,
                TODAY.minusYears(1),
                Optional.of(TODAY.minusDays(3)),
                TODAY.plusYears(1),
                60,
                OptionalInt.empty(),
                OptionalInt.of(3),
                List.of(new Treatment(
                        "dry heat",
                        List.of(
                                new Treatment.Limit(121, Duration.ofHours(2)),
                                new Treatment.Limit(154.5, Duration.ofMinutes(30))),
                        true,
                        Duration.ofMinutes(5),
                        Set.of(PortionKind.SOIL, PortionKind.FILTER),
                        List.of("trays at most 5 cm deep"),
                        "condition 7")),
                "REGULATED SOIL",
                "boil",
                List.of("locked when unattended"),
                "the permit officer");
    }

    @Test
    void nothingDecidesBeforeItIsSignedAndNothingThatWasDecidedChanges() {
        String name = "ants " + UUID.randomUUID();
        assertThat(store.papers().draft(list(name, "Hardeman"), 0, "first", "P. Officer", AT))
                .isEqualTo(1);
        assertThat(store.papers().signedAreas()).noneMatch(one -> one.name().equals(name));
        assertThatThrownBy(() ->
                        store.papers().sign(Papers.Kind.AREAS, name, 1, TODAY.minusDays(1), TODAY, "P. Officer", AT))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("from today");
        store.papers().sign(Papers.Kind.AREAS, name, 1, TODAY, TODAY, "P. Officer", AT);
        assertThatThrownBy(() -> store.papers().sign(Papers.Kind.AREAS, name, 1, TODAY, TODAY, "P. Officer", AT))
                .isInstanceOf(Refused.class);
        assertThatThrownBy(() -> store.papers().draft(list(name, "Shelby"), 0, "again", "P. Officer", AT))
                .hasMessageContaining("is there already");
        assertThat(store.papers().draft(list(name, "Shelby"), 1, "the map changed", "P. Officer", AT))
                .isEqualTo(2);
        store.papers().sign(Papers.Kind.AREAS, name, 2, TODAY.plusDays(2), TODAY, "P. Officer", AT);

        Origin origin = Origin.written(Optional.of("US"), List.of("TN", "Hardeman"));
        var mine = store.papers().signedAreas().stream()
                .filter(one -> one.name().equals(name))
                .toList();
        assertThat(mine).hasSize(2);
        assertThat(Areas.inForce(mine, TODAY.plusDays(1)).lookUp(origin)).isInstanceOf(Areas.Regulated.class);
        assertThat(Areas.inForce(mine, TODAY.plusDays(2)).lookUp(origin)).isInstanceOf(Areas.NotListed.class);
    }

    @Test
    void givesBackWhatWasKept() {
        String number = "P-" + UUID.randomUUID();
        Permit permit = permit(number);
        store.papers().draft(permit, 0, "as issued", "P. Officer", AT);
        assertThat(store.papers().permits())
                .filteredOn(one -> one.name().equals(number))
                .singleElement()
                .satisfies(one -> {
                    assertThat(one.paper()).isEqualTo(permit);
                    assertThat(one.draftedAt()).isEqualTo(AT);
                    assertThat(one.signature()).isEmpty();
                });
        String name = "ants " + UUID.randomUUID();
        store.papers().draft(list(name, "Hardeman"), 0, "as published", "P. Officer", AT);
        assertThat(store.papers().areaLists())
                .filteredOn(one -> one.name().equals(name))
                .singleElement()
                .satisfies(one -> assertThat(one.paper()).isEqualTo(list(name, "Hardeman")));
    }

    @Test
    void refusesChangeAndTellsWhatWasPutInOutside() throws SQLException {
        String number = "P-" + UUID.randomUUID();
        store.papers().draft(permit(number), 0, "as issued", "P. Officer", AT);
        store.papers().sign(Papers.Kind.PERMIT, number, 1, TODAY, TODAY, "P. Officer", AT);
        assertThat(store.compareWithJournal(says -> {}).differences()).noneMatch(one -> one.contains(number));
        try (Connection connection = store.connections().app().open().getConnection();
                Statement statement = connection.createStatement()) {
            for (String table : List.of("paper", "version", "signature", "area_list", "area", "permit", "treatment")) {
                assertThatThrownBy(() -> statement.execute("delete from custody." + table))
                        .isInstanceOf(SQLException.class);
            }
            // One more limit, put in outside the program, is found: what is stored no longer has the digest that was
            // signed.
            statement.execute("""
                    insert into custody.treatment (paper, version, place, name, unbroken, longest_gap_s, fit, confirm, source, limit_c, limit_s)
                    select id, 1, 9, 'warm air', false, 86400, '{}', '{}', 'nowhere', '{30}', '{60}' from custody.paper where name = '%s'
                    """.formatted(number));
        }
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(number) && one.contains("drafted by"))
                .hasSize(2);
    }
}
