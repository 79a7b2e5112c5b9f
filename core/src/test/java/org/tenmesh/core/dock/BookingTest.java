package org.tenmesh.core.dock;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.dock.DockAct.What;

class BookingTest {
    private static final Ruling ORDINARY =
            new Ruling(Ruling.Answer.NOT_LISTED, "not on list Example 1", "", "", List.of(), List.of());
    private static final Ruling MISSING = new Ruling(Ruling.Answer.MISSING, "no country", "", "", List.of(), List.of());
    private final List<DockAct> acts = new ArrayList<>();
    private Ruling ruling = ORDINARY;
    private Expected expected = new Expected(
            "SUB-1",
            List.of(
                    new Expected.Bag(1, "North", ""),
                    new Expected.Bag(2, "South", ""),
                    new Expected.Bag(3, "Pond", "")),
            new Origin("IE", "Kerry"));

    private Booking now() {
        return Booking.of(expected, acts, came -> came.origin().missing() ? MISSING : ruling);
    }

    private DockAct act(What what, int number, String about, String says, String reason) {
        return new DockAct(
                "act-" + acts.size(), "SUB-1", what, number, about, says, reason, "M. Whelan", Instant.EPOCH);
    }

    private void say(What what, int number, String about, String says, String reason) {
        DockAct act = act(what, number, about, says, reason);
        assertThat(now().refusal(act)).as("%s", act).isEmpty();
        acts.add(act);
    }

    private String refused(What what, int number, String about, String says, String reason) {
        return now().refusal(act(what, number, about, says, reason)).orElseThrow();
    }

    private void decide(String key, Decision decision) {
        say(What.DECIDED, 0, key, decision.word(), "client rang");
    }

    private void scan(int... numbers) {
        for (int number : numbers) {
            say(What.THERE, number, "", DockAct.SCANNED, "");
        }
    }

    @Test
    void aBoxWithEverythingInOrderIsBookedInAndMayBeLaidOut() {
        assertThat(refused(What.BOOKED, 0, "", DockAct.ORDINARY, "")).contains("No box", "not counted");
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        assertThat(now().exceptions()).isEmpty();
        assertThat(now().mayBeLaidOut()).isFalse();
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "");
        assertThat(now().mayBeLaidOut()).isTrue();
        assertThat(now().regulated()).isFalse();
        assertThat(now().soils()).extracting(Booking.BookedSoil::label).containsExactly("North", "South", "Pond");
        assertThat(refused(What.THERE, 2, "", DockAct.SCANNED, "")).contains("booked in");
    }

    @Test
    void aMissingBagAnExtraOneAndAWetOneAreEachSettledWithAReason() {
        say(What.BOX, 0, "BX-7", "wet", "");
        scan(1, 3);
        say(What.EXTRA, 0, "Hill", "", "");
        say(What.FOUND, 3, "", "wet", "dripping");
        say(What.COUNTED, 3, "", "", "");
        assertThat(now().open()).extracting(Exceptional::key).containsExactly("missing:2", "extra:act-3", "wet:3");
        assertThat(refused(What.DECIDED, 0, "missing:2", "without", " ")).contains("reason");
        assertThat(refused(What.DECIDED, 0, "missing:2", "take-in", "x")).contains("cannot be decided");
        say(What.ASKED, 0, "missing:2", "", "rang Tern Bay");
        assertThat(now().open().get(0).asked()).isTrue();
        say(What.ANSWERED, 0, "missing:2", "", "never sent");
        decide("missing:2", Decision.WITHOUT);
        decide("extra:act-3", Decision.TAKE_IN);
        assertThat(refused(What.BOOKED, 3, "", DockAct.ORDINARY, "")).contains("Not settled: Bag 3 \"Pond\", wet.");
        decide("wet:3", Decision.GO_ON);
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "");
        assertThat(now().soils())
                .containsExactly(
                        new Booking.BookedSoil(1, "North", true),
                        new Booking.BookedSoil(3, "Pond", true),
                        new Booking.BookedSoil(4, "Hill", false));
        assertThat(now().remarks())
                .contains("Bag 3 \"Pond\": wet (dripping); it is analysed all the same.")
                .hasSize(3);
    }

    @Test
    void aCountThatDoesNotAgreeIsSettledByAnotherCountAlone() {
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 4, "", "", "");
        assertThat(now().open()).extracting(Exceptional::kind).containsExactly(ExceptionKind.COUNT);
        assertThat(refused(What.DECIDED, 0, "count", "go-on", "close enough")).contains("Nobody can decide");
        assertThat(refused(What.COUNTED, 3, "", "", ""))
                .contains("4 bags were counted before. Say why it is another number.");
        say(What.COUNTED, 4, "", "", "");
        assertThat(now().changed()).isEmpty();
        say(What.COUNTED, 3, "", "", "one was an empty bag");
        assertThat(now().open()).isEmpty();
    }

    @Test
    void aDecisionOnTheOrderLapsesWhenAnotherBagIsScanned() {
        scan(2, 1);
        String key = now().open().get(0).key();
        decide(key, Decision.AS_FOUND);
        assertThat(now().open()).isEmpty();
        scan(3);
        assertThat(now().open()).extracting(Exceptional::kind).containsExactly(ExceptionKind.WRONG_ORDER);
        decide(now().open().get(0).key(), Decision.AS_FOUND);
        assertThat(now().soils()).extracting(Booking.BookedSoil::number).containsExactly(2, 1, 3);
    }

    @Test
    void tickedBagsSayNothingOfTheOrder() {
        say(What.THERE, 3, "", DockAct.TICKED, "");
        say(What.THERE, 1, "", DockAct.TICKED, "");
        assertThat(now().open()).isEmpty();
    }

    @Test
    void aMissingOriginIsNeverANo() {
        expected = new Expected("SUB-1", expected.bags(), Origin.MISSING);
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        assertThat(refused(What.BOOKED, 3, "", DockAct.ORDINARY, "")).contains("no origin");
        assertThat(refused(What.DECIDED, 0, "no-origin", Decision.NOT_REGULATED.word(), "surely not"))
                .contains("cannot be decided");
        decide("no-origin", Decision.AS_REGULATED);
        assertThat(now().regulated()).isTrue();
        say(What.ORIGIN, 0, "Kerry", "IE", "client by telephone");
        assertThat(now().regulated()).as("the origin is known and not listed").isFalse();
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "");
    }

    @Test
    void aRegulatedSubmissionWithoutAPermitIsNotBookedInAndALaterListDoesNotChangeWhatWas() {
        ruling = new Ruling(
                Ruling.Answer.REGULATED, "list A 3", "", "", List.of("permit P-1 expired on 2026-10-01"), List.of());
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        assertThat(refused(What.BOOKED, 3, "", DockAct.REGULATED, "")).contains("no permit that fits");
        ruling = new Ruling(
                Ruling.Answer.REGULATED, "list A 3", "", "P-2", List.of(), List.of("permit P-2 expires in 20 days"));
        assertThat(refused(What.BOOKED, 3, "", DockAct.ORDINARY, "")).contains("changed since");
        say(What.BOOKED, 3, "P-2", DockAct.REGULATED, "list A 3");
        ruling = ORDINARY;
        assertThat(now().regulated()).isTrue();
        assertThat(now().permit()).isEqualTo("P-2");
    }

    @Test
    void anOriginThatIsUnclearIsDecidedUnderTheListsOfThatMoment() {
        ruling = new Ruling(Ruling.Answer.UNCLEAR, "\"Kery\" is near Kerry of list A 3", "", "", List.of(), List.of());
        decide(now().open().get(0).key(), Decision.NOT_REGULATED);
        assertThat(now().open()).isEmpty();
        ruling = new Ruling(Ruling.Answer.UNCLEAR, "\"Kery\" is near Kerry of list A 4", "", "", List.of(), List.of());
        assertThat(now().open()).hasSize(1);
    }

    @Test
    void whatNobodySettledIsKeptApartUntilSomebodyDecides() {
        ruling = new Ruling(Ruling.Answer.UNCLEAR, "No list knows it.", "A 3", "", List.of(), List.of());
        assertThat(now().regulated()).isFalse();
        assertThat(now().apart()).isTrue();
        decide(now().open().get(0).key(), Decision.NOT_REGULATED);
        assertThat(now().apart()).isFalse();
        ruling = new Ruling(Ruling.Answer.UNCLEAR, "No list knows it.", "A 4", "", List.of(), List.of());
        assertThat(now().apart())
                .as("the decision was made on another version of the list")
                .isTrue();
        ruling = MISSING;
        assertThat(now().apart()).isTrue();
    }

    @Test
    void soilThatMetRegulatedSoilIsRegulatedUnderThePermitOfThatSoil() {
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "not on list Example 1");
        assertThat(now().mayBeLaidOut()).isTrue();
        assertThat(refused(What.MADE_REGULATED, 0, "P-2", "", "")).contains("Say where");
        say(What.MADE_REGULATED, 0, "P-2", "", "ground in mill M1");
        assertThat(now().regulated()).isTrue();
        assertThat(now().permit()).isEqualTo("P-2");
        assertThat(now().mayBeLaidOut()).isTrue();
        assertThat(refused(What.MADE_REGULATED, 0, "P-2", "", "again")).contains("before");
        assertThat(now().mayTakeBack())
                .as("what happened to the soil is not taken back at the dock")
                .noneMatch(act -> act.what() == What.MADE_REGULATED);
    }

    @Test
    void soilThatMetRegulatedSoilOfAnUnknownPermitWaitsForOneThatAdmitsIt() {
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "not on list Example 1");
        say(What.MADE_REGULATED, 0, "", "", "ground in mill M1");
        ruling = new Ruling(Ruling.Answer.NOT_LISTED, "not on list", "", "", List.of("no permit names it"), List.of());
        assertThat(now().regulated()).isTrue();
        assertThat(now().mayBeLaidOut()).isFalse();
        assertThat(now().open()).extracting(Exceptional::kind).containsExactly(ExceptionKind.NO_PERMIT);
        ruling = new Ruling(Ruling.Answer.NOT_LISTED, "not on list", "", "P-3", List.of(), List.of());
        assertThat(now().permit()).isEqualTo("P-3");
        assertThat(now().mayBeLaidOut()).isTrue();
    }

    @Test
    void oneLabelForTwoBagsIsAnException() {
        expected = new Expected(
                "SUB-1",
                List.of(new Expected.Bag(1, "North", ""), new Expected.Bag(2, "north ", "")),
                expected.origin());
        assertThat(now().open()).extracting(Exceptional::key).containsExactly("duplicate:2");
    }

    @Test
    void whatWasTakenBackCountsNoLonger() {
        say(What.BOX, 0, "BX-7", "sound", "");
        scan(1, 2, 3);
        say(What.COUNTED, 3, "", "", "");
        say(What.BOOKED, 3, "", DockAct.ORDINARY, "");
        assertThat(refused(What.TAKEN_BACK, 0, "act-1", "", "wrong bag")).contains("booked in");
        say(What.TAKEN_BACK, 0, "act-5", "", "one bag was another client's");
        assertThat(now().booked()).isEmpty();
        say(What.TAKEN_BACK, 0, "act-3", "", "another client's");
        assertThat(now().open())
                .extracting(Exceptional::kind)
                .containsExactly(ExceptionKind.COUNT, ExceptionKind.MISSING);
        assertThat(refused(What.TAKEN_BACK, 0, "act-3", "", "again")).contains("nothing like that");
    }
}
