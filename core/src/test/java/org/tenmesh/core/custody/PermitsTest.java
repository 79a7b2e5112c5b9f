package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.junit.jupiter.api.Test;

final class PermitsTest {
    private static final LocalDate ISSUED = LocalDate.of(2026, 1, 1);
    private static final LocalDate EXPIRES = LocalDate.of(2026, 12, 31);

    static Treatment heat() {
        // 121 °C for 2 h: US APHIS, "Soil Treatment Facilities", 29 March 2024 (read); here only a number to calculate
        // with.
        return new Treatment(
                "dry heat",
                List.of(new Treatment.Limit(121, Duration.ofHours(2))),
                true,
                Duration.ofMinutes(5),
                Set.of(),
                List.of("trays at most 5 cm deep"),
                "invented permit, condition 7");
    }

    static Permit permit(LocalDate issued, LocalDate expires, OptionalLong mostG) {
        return new Permit(
                Permit.Kind.PERMIT,
                "P-1",
                "an authority",
                "a laboratory",
                "1 Invented Road",
                List.of(
                        AreasTest.area("KE", List.of("Nakuru"), List.of()),
                        AreasTest.area("US", List.of("New York", "NY"), List.of("New York"))),
                Set.of("Ants"),
                Set.of(Permit.Analysis.CHEMICAL),
                mostG,
                false,
                issued,
                Optional.empty(),
                expires,
                60,
                OptionalInt.of(180),
                OptionalInt.empty(),
                List.of(heat()),
                "REGULATED SOIL",
                "",
                List.of(),
                "the permit officer");
    }

    private static Permits on(LocalDate day, Permit permit) {
        return new Permits(day, List.of(new Signed<>(permit.number(), 1, permit, "P. Officer", Instant.EPOCH, ISSUED)));
    }

    private static Consignment from(
            String country, String place, OptionalLong massG, Permit.Analysis analysis, boolean carried) {
        Origin origin = Origin.written(Optional.of(country), List.of(place));
        List<Areas.Hit> hits = AreasTest.AREAS.lookUp(origin) instanceof Areas.Regulated hit ? hit.hits() : List.of();
        return new Consignment(origin, hits, massG, Set.of(analysis), carried);
    }

    @Test
    void admitsWhatIsInScopeAndSaysWhyNot() {
        LocalDate day = LocalDate.of(2026, 6, 1);
        Permits permits = on(day, permit(ISSUED, EXPIRES, OptionalLong.of(1360)));
        assertThat(permits.fit(from("US", "Alabama", OptionalLong.of(900), Permit.Analysis.CHEMICAL, false))
                        .admits())
                .isTrue();
        assertThat(permits.fit(from("KE", "Nakuru", OptionalLong.of(1360), Permit.Analysis.CHEMICAL, false))
                        .admits())
                .isTrue();
        assertThat(permits.fit(from("KE", "Kisumu", OptionalLong.of(900), Permit.Analysis.CHEMICAL, false))
                        .refusal())
                .contains("soil regulated by Foreign is not in its scope");
        assertThat(permits.fit(from("US", "Alabama", OptionalLong.of(1361), Permit.Analysis.BIOLOGICAL, true))
                        .refusal())
                .contains("biological analysis is not in its scope")
                .contains("limits a consignment to 1360 g, found 1361 g")
                .contains("by hand");
        assertThat(permits.fit(from("US", "Alabama", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false))
                        .refusal())
                .contains("was not weighed");
        assertThat(new Permits(day, List.of())
                        .fit(from("US", "Alabama", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false))
                        .refusal())
                .startsWith("No permit or agreement is in force");
    }

    @Test
    void refusesBeforeItBeginsAndAfterItExpiredAndWarnsInTime() {
        Permit permit = permit(ISSUED, EXPIRES, OptionalLong.empty());
        Consignment soil = from("US", "Alabama", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false);
        assertThat(on(ISSUED.minusDays(1), permit).fit(soil).refusal()).contains("it begins on 2026-01-01");
        assertThat(on(ISSUED, permit).fit(soil).admits()).isTrue();
        assertThat(on(EXPIRES, permit).fit(soil).admits()).isTrue();
        assertThat(on(EXPIRES.plusDays(1), permit).fit(soil).refusal()).contains("it expired on 2026-12-31");
        assertThat(on(EXPIRES.minusDays(61), permit).warnings()).isEmpty();
        assertThat(on(EXPIRES.minusDays(60), permit).fit(soil).warnings())
                .containsExactly("The permit P-1 expires on 2026-12-31, in 60 days.");
        assertThat(on(EXPIRES.plusDays(1), permit).warnings())
                .first()
                .asString()
                .contains("expired on");
    }

    @Test
    void takesTheNameOfARegionForItsCountyNever() {
        Permits permits = on(LocalDate.of(2026, 6, 1), permit(ISSUED, EXPIRES, OptionalLong.empty()));
        assertThat(permits.fit(from("US", "New York County, NY", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false))
                        .admits())
                .isTrue();
        assertThat(permits.fit(from("US", "New York", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false))
                        .refusal())
                .contains("scope does not name US, New York");
        assertThat(permits.fit(from("US", "Albany, New York", OptionalLong.empty(), Permit.Analysis.CHEMICAL, false))
                        .admits())
                .isFalse();
    }

    @Test
    void opensNoChargeUnderWhatDoesNotDecide() {
        Permit permit = permit(ISSUED, EXPIRES, OptionalLong.empty());
        Signed<Permit> first = new Signed<>("P-1", 1, permit, "P. Officer", Instant.EPOCH, ISSUED);
        Signed<Permit> second = new Signed<>("P-1", 2, permit, "P. Officer", Instant.EPOCH, LocalDate.of(2026, 7, 1));
        List<Signed<Permit>> both = List.of(first, second);
        Permits june = Permits.inForce(both, LocalDate.of(2026, 6, 30));
        assertThat(june.refusesCharge("P-1", 1)).isEmpty();
        assertThat(june.refusesCharge("P-1", 2).orElseThrow()).contains("version 1 decides");
        assertThat(june.refusesCharge("P-2", 1).orElseThrow()).contains("nobody signed");
        Permits july = Permits.inForce(both, LocalDate.of(2026, 7, 1));
        assertThat(july.refusesCharge("P-1", 1).orElseThrow()).contains("version 2 decides");
        assertThat(july.refusesCharge("P-1", 2)).isEmpty();
        assertThat(Permits.inForce(both, EXPIRES).refusesCharge("P-1", 2)).isEmpty();
        assertThat(Permits.inForce(both, EXPIRES.plusDays(1))
                        .refusesCharge("P-1", 2)
                        .orElseThrow())
                .contains("it expired on 2026-12-31: ask the permit officer");
    }

    @Test
    void hasNoLimitThatNobodyWrote() {
        assertThatThrownBy(() ->
                        new Treatment("heat", List.of(), true, Duration.ofMinutes(5), Set.of(), List.of(), "somewhere"))
                .hasMessageContaining("at least one limit");
        assertThatThrownBy(() -> permit(EXPIRES, ISSUED, OptionalLong.empty())).hasMessageContaining("issued before");
        Permit permit = permit(ISSUED, EXPIRES, OptionalLong.empty());
        assertThat(permit.keepUntil(LocalDate.of(2026, 1, 10))).contains(LocalDate.of(2026, 7, 9));
        assertThat(permit.retentionYears()).isEmpty();
    }
}
