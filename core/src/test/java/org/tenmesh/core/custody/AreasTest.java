package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;

final class AreasTest {
    private static final LocalDate ON = LocalDate.of(2026, 11, 25);

    static Area area(String country, List<String> region, List<String> county) {
        return new Area(country, region, county, Optional.empty(), Optional.empty(), "");
    }

    static Signed<AreaList> signed(AreaList list, int version) {
        return new Signed<>(list.name(), version, list, "P. Officer", Instant.EPOCH, LocalDate.of(2026, 1, 1));
    }

    /** Invented areas: half of them are no places at all. */
    static AreaList ants() {
        return new AreaList(
                "Ants",
                "an authority",
                "an ant",
                "a rule",
                Set.of("US"),
                false,
                List.of(
                        area("US", List.of("Alabama", "AL"), List.of()),
                        area("US", List.of("Tennessee", "TN"), List.of("St. Clair")),
                        area("US", List.of("Tennessee", "TN"), List.of("Hardeman")),
                        new Area(
                                "US",
                                List.of("Virginia", "VA"),
                                List.of("Chesapeake"),
                                Optional.of(LocalDate.of(2026, 12, 1)),
                                Optional.empty(),
                                "")),
                List.of(
                        area("US", List.of("Iowa", "IA"), List.of()),
                        area("US", List.of("Tennessee", "TN"), List.of("Shelby"))),
                "a map",
                LocalDate.of(2026, 10, 1),
                LocalDate.of(2027, 1, 31));
    }

    static AreaList foreign() {
        return new AreaList(
                "Foreign",
                "an authority",
                "foreign soil",
                "a rule",
                Set.of("US"),
                true,
                List.of(area("US", List.of("Hawaii", "HI"), List.of())),
                List.of(),
                "a page",
                LocalDate.of(2026, 10, 1),
                LocalDate.of(2027, 1, 31));
    }

    static final Areas AREAS = Areas.inForce(List.of(signed(ants(), 1), signed(foreign(), 1)), ON);

    private static Areas.Answer ask(String country, String... places) {
        return AREAS.lookUp(Origin.written(Optional.of(country), List.of(places)));
    }

    @Test
    void namesTheListsThatMakeAnOriginRegulated() {
        assertThat(ask("US", "alabama", "Lee")).isInstanceOf(Areas.Regulated.class);
        assertThat(ask("US", "Saint Clair County, Tennessee")).isInstanceOf(Areas.Regulated.class);
        assertThat(ask("us", "TN", "HARDEMAN CO.")).isInstanceOf(Areas.Regulated.class);
        assertThat(ask("US", "Hawaii")).isInstanceOf(Areas.Regulated.class);
        assertThat(ask("KE", "Nakuru").words()).contains("foreign soil (Foreign, version 1)");
        assertThat(ask("KE")).isInstanceOf(Areas.Regulated.class);
    }

    @Test
    void saysThatAnOriginIsNotListedOnlyWhereTheListsKnowTheCountry() {
        assertThat(ask("US", "Iowa", "Story")).isInstanceOf(Areas.NotListed.class);
        assertThat(ask("US", "Tennessee", "Shelby")).isInstanceOf(Areas.NotListed.class);
        Areas antsAlone = Areas.inForce(List.of(signed(ants(), 1)), ON);
        Origin kenya = Origin.written(Optional.of("KE"), List.of("Nakuru"));
        assertThat(antsAlone.lookUp(kenya)).isInstanceOf(Areas.NotCovered.class);
        assertThat(new Areas(ON, List.of()).lookUp(kenya).words()).startsWith("No list of areas is in force");
    }

    @Test
    void takesAMissingPlaceForAQuestionAndNeverForANo() {
        assertThat(AREAS.lookUp(Origin.written(Optional.empty(), List.of("Iowa"))))
                .isEqualTo(new Areas.Missing("country"));
        assertThat(AREAS.lookUp(Origin.written(Optional.of("USA"), List.of("Iowa"))))
                .isEqualTo(new Areas.Missing("country"));
        assertThat(ask("US")).isEqualTo(new Areas.Missing("region"));
        assertThat(ask("US", "unknown", "n/a")).isEqualTo(new Areas.Missing("region"));
        assertThat(ask("US", "Tennessee")).isEqualTo(new Areas.Missing("county"));
    }

    @Test
    void asksWhereANameMayBeOneOnAList() {
        assertThat(ask("US", "Alabma", "Lee").words())
                .isEqualTo("Is \"Alabma\" Alabama (US, Alabama), on the list Ants?");
        assertThat(ask("US", "Tennessee", "Hardman").words()).contains("Is \"Hardman\" Hardeman");
        assertThat(ask("US", "Hardeman County").words()).contains("without its region");
        assertThat(ask("US", "near Hardeman", "TN")).isInstanceOf(Areas.Ask.class);
    }

    /** What no list knows may be a listed place under another name: a town without its state, a county nobody noted, a state misspelt beyond likeness. */
    @Test
    void aPlaceThatNoListKnowsIsAQuestionAndNeverOrdinary() {
        for (List<String> places : List.of(
                List.of("Millers Crossing"), // a town without its state
                List.of("Tenesy", "Shelby"), // a state misspelt beyond likeness
                List.of("Tennessee", "an unknown county"),
                List.of("Tennessee", "Davidson"), // a county that nobody noted
                List.of("Shelby"), // a county without its state
                List.of("Iowa", "Tennessee"), // which of the two is it?
                List.of("Hardeman", "Iowa"))) { // a listed county in another state
            assertThat(ask("US", places.toArray(String[]::new)))
                    .as("%s", places)
                    .isInstanceOf(Areas.Ask.class);
        }
        assertThat(ask("US", "Millers Crossing").words())
                .isEqualTo(
                        "No list knows a region of US called \"Millers Crossing\". Ask where it is; until then keep the soil"
                                + " apart as if it were regulated.");
        assertThat(ask("US", "Tennessee", "Davidson").words()).contains("Counties of Tennessee are regulated");
        // What is known and in no list is ordinary, whatever smaller place is named.
        assertThat(ask("US", "Iowa")).isInstanceOf(Areas.NotListed.class);
        assertThat(ask("US", "Shelby", "TN", "Millers Crossing")).isInstanceOf(Areas.NotListed.class);
    }

    @Test
    void aKnownNameIsItselfHoweverLikeAListedOneItIs() {
        AreaList list = new AreaList(
                "Alike",
                "an authority",
                "an ant",
                "a rule",
                Set.of("US"),
                false,
                List.of(
                        area("US", List.of("Arkansas", "AR"), List.of()),
                        area("US", List.of("Alabama", "AL"), List.of("Lee"))),
                List.of(area("US", List.of("Kansas", "KS"), List.of()), area("US", List.of("Iowa"), List.of("Lee"))),
                "a map",
                LocalDate.of(2026, 10, 1),
                LocalDate.of(2027, 1, 31));
        Areas areas = Areas.inForce(List.of(signed(list, 1)), ON);
        assertThat(areas.lookUp(Origin.written(Optional.of("US"), List.of("Kansas"))))
                .isInstanceOf(Areas.NotListed.class);
        assertThat(areas.lookUp(Origin.written(Optional.of("US"), List.of("Lee County, Iowa"))))
                .as("the county of the same name in a region that has no listed one")
                .isInstanceOf(Areas.NotListed.class);
        assertThat(areas.lookUp(Origin.written(Optional.of("US"), List.of("Lee County, Kansas"))))
                .as("no list knows such a county there")
                .isInstanceOf(Areas.Ask.class);
    }

    /** One list knows the abbreviation, the other makes the region regulated by its full name: they mean one place. */
    @Test
    void namesOfAPlaceCountInEveryListWhicheverGivesThem() {
        AreaList full = new AreaList(
                "Full",
                "an authority",
                "a beetle",
                "a rule",
                Set.of("US"),
                false,
                List.of(area("US", List.of("Iowa"), List.of("Saint Ansgar Heights"))),
                List.of(area("US", List.of("Iowa"), List.of("Heights", "Saint Ansgar Heights"))),
                "a map",
                LocalDate.of(2026, 10, 1),
                LocalDate.of(2027, 1, 31));
        Areas areas = Areas.inForce(List.of(signed(ants(), 1), signed(full, 1)), ON);
        assertThat(areas.lookUp(Origin.written(Optional.of("US"), List.of("IA", "Heights"))))
                .isInstanceOf(Areas.Regulated.class);
    }

    @Test
    void saysWhatWasLookedUpInWhichListOfWhichDate() {
        Origin origin = Origin.written(Optional.of("US"), List.of("Iowa", "Story"));
        assertThat(AREAS.lookedUp(origin))
                .isEqualTo(
                        "US, Iowa, Story in Ants, version 1, its source of 2026-10-01; Foreign, version 1, its source of"
                                + " 2026-10-01");
        assertThat(new Areas(ON, List.of()).lookedUp(origin))
                .isEqualTo("US, Iowa, Story, in no list: none is in force");
    }

    /** As people write it in one field, without a comma between county and region. */
    @Test
    void asksWhereAShortNameStandsAmongOtherWords() {
        assertThat(ask("US", "Lee County AL").words()).contains("Is \"Lee County AL\" Alabama");
        assertThat(ask("US", "Hardeman Co TN 38008")).isInstanceOf(Areas.Ask.class);
        Areas lee = Areas.inForce(
                List.of(signed(
                        new AreaList(
                                "Short",
                                "an authority",
                                "an ant",
                                "a rule",
                                Set.of("US"),
                                false,
                                List.of(area("US", List.of("Alabama", "AL"), List.of("Lee"))),
                                List.of(area("US", List.of("Alabama", "AL"), List.of("Macon"))),
                                "a map",
                                LocalDate.of(2026, 10, 1),
                                LocalDate.of(2027, 1, 31)),
                        1)),
                ON);
        for (String county : List.of("Lee (north)", "north of Lee", "Lee/Macon")) {
            assertThat(lee.lookUp(Origin.written(Optional.of("US"), List.of(county, "AL"))))
                    .as(county)
                    .isNotInstanceOf(Areas.NotListed.class);
        }
        assertThat(lee.lookUp(Origin.written(Optional.of("US"), List.of("Macon", "AL"))))
                .isInstanceOf(Areas.NotListed.class);
        // A county that is called as its region is.
        Areas oklahoma = Areas.inForce(
                List.of(signed(
                        new AreaList(
                                "Same",
                                "an authority",
                                "an ant",
                                "a rule",
                                Set.of("US"),
                                false,
                                List.of(area("US", List.of("Oklahoma", "OK"), List.of("Oklahoma"))),
                                List.of(),
                                "a map",
                                LocalDate.of(2026, 10, 1),
                                LocalDate.of(2027, 1, 31)),
                        1)),
                ON);
        for (String written : List.of("Oklahoma County, OK", "OK, Oklahoma", "Oklahoma, Oklahoma")) {
            assertThat(oklahoma.lookUp(Origin.written(Optional.of("US"), List.of(written))))
                    .as(written)
                    .isInstanceOf(Areas.Regulated.class);
        }
        assertThat(oklahoma.lookUp(Origin.written(Optional.of("US"), List.of("Oklahoma"))))
                .isEqualTo(new Areas.Missing("county"));
        // Two letters within a name are not an abbreviation.
        assertThat(ask("US", "Al Mesa, Iowa")).isInstanceOf(Areas.NotListed.class);
    }

    @Test
    void countsAreasOnTheirDaysAndListsUntilTheirReview() {
        Origin chesapeake = Origin.written(Optional.of("US"), List.of("VA", "Chesapeake"));
        assertThat(AREAS.lookUp(chesapeake)).isInstanceOf(Areas.NotListed.class);
        assertThat(Areas.inForce(AREAS.lists(), LocalDate.of(2026, 12, 1)).lookUp(chesapeake))
                .isInstanceOf(Areas.Regulated.class);
        Areas late = Areas.inForce(AREAS.lists(), LocalDate.of(2027, 2, 1));
        assertThat(late.lookUp(Origin.written(Optional.of("US"), List.of("Iowa", "Story")))
                        .words())
                .contains("was to be compared with its source by 2027-01-31");
        assertThat(late.lookUp(Origin.written(Optional.of("US"), List.of("Alabama"))))
                .isInstanceOf(Areas.Regulated.class);
    }

    @Test
    void aLaterVersionDecidesFromItsOwnDayOn() {
        AreaList none = new AreaList(
                "Ants",
                "a",
                "an ant",
                "r",
                Set.of("US"),
                false,
                List.of(),
                List.of(),
                "s",
                LocalDate.of(2026, 11, 1),
                LocalDate.of(2027, 6, 1));
        Signed<AreaList> second = new Signed<>("Ants", 2, none, "P. Officer", Instant.EPOCH, LocalDate.of(2026, 12, 1));
        List<Signed<AreaList>> both = List.of(second, signed(ants(), 1));
        Origin alabama = Origin.written(Optional.of("US"), List.of("Alabama"));
        assertThat(Areas.inForce(both, LocalDate.of(2026, 11, 30)).lookUp(alabama))
                .isInstanceOf(Areas.Regulated.class);
        assertThat(Areas.inForce(both, LocalDate.of(2026, 12, 1)).lookUp(alabama))
                .isInstanceOf(Areas.NotListed.class);
    }

    @Test
    void noPlaceOnAListIsEverOrdinaryHoweverItIsMistyped() {
        java.util.Random random = new java.util.Random(8_301);
        for (int i = 0; i < 20_000; i++) {
            StringBuilder name = new StringBuilder("Tennessee");
            int at = random.nextInt(name.length());
            switch (random.nextInt(3)) {
                case 0 -> name.deleteCharAt(at);
                case 1 -> name.insert(at, (char) ('a' + random.nextInt(26)));
                default -> name.setCharAt(at, (char) ('a' + random.nextInt(26)));
            }
            Areas.Answer answer = ask("US", name.toString(), "Hardeman");
            assertThat(answer).as("case %d: %s", i, name).isNotInstanceOf(Areas.NotListed.class);
        }
    }
}
