package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.HashMap;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.people.PersonRole;

/** Whoever ran a tray is not the only one who approves it; how the store knows who did is tested there. */
class SecondPersonPageTest {
    private static final String SUBMISSION = "SUB-2202";
    private static final String DRAFT = "/release/" + SUBMISSION;
    private static final String DID = "invented in charge";

    private final Ashgrove ashgrove = Ashgrove.open(60);

    SecondPersonPageTest() {
        ashgrove.book().work(SUBMISSION, new WorkBehind(DID, WorkBehind.Kind.NOTED, "tray T-0002", 3));
        ashgrove.book().work(SUBMISSION, new WorkBehind(DID, WorkBehind.Kind.ENTERED, "H1", 1));
        ashgrove.book().work(SUBMISSION, new WorkBehind("invented bench", WorkBehind.Kind.RAN, "mehlich-1", 1));
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private HttpResponse<byte[]> sign(PersonRole role) {
        Browser browser = ashgrove.as(role);
        Map<String, String> form = new HashMap<>();
        form.put("revision", "1");
        form.put("version", browser.page(DRAFT).expectFirst("html").attr("data-version"));
        form.put("reason", "first release");
        form.put("password", Ashgrove.PASSWORD);
        return browser.submit(DRAFT, DRAFT, form);
    }

    private HttpResponse<byte[]> decide(PersonRole role, String asked, String reason, String password) {
        return ashgrove.as(role)
                .submit(
                        "/second-person",
                        "/second-person",
                        Map.of("asked", asked, "reason", reason, "password", password));
    }

    @Test
    void saysWhatWasDoneByWhomAndWhoMaySignInstead() {
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page(DRAFT).text())
                .contains(
                        "you noted 3 steps of tray T-0002, entered 1 reading of run H1. This laboratory asks that somebody"
                                + " signs who did none of it. May sign: invented quality.");
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page(DRAFT).select("main form"))
                .isEmpty();
        HttpResponse<byte[]> refused = sign(PersonRole.IN_CHARGE);
        assertThat(refused.statusCode()).isEqualTo(403);
        assertThat(Browser.text(refused)).contains("May sign: invented quality. Nothing was released.");
        assertThat(ashgrove.book().releases("")).isEmpty();
    }

    @Test
    void anotherPersonSignsAndTheReleaseSaysWhoDidTheWork() {
        assertThat(sign(PersonRole.QUALITY).statusCode()).isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.IN_CHARGE).page(DRAFT).text())
                .contains("Revision 1: Signed by somebody who did none of the work; it was done by invented bench, "
                        + DID + ".");
    }

    @Test
    void isTurnedOffBySignatureOnlyAndTheReleaseSaysSo() {
        assertThat(decide(PersonRole.CLIENT_SERVICE, "no", "one person", Ashgrove.PASSWORD)
                        .statusCode())
                .isNotEqualTo(303);
        assertThat(decide(PersonRole.IN_CHARGE, "no", " ", Ashgrove.PASSWORD).statusCode())
                .isEqualTo(400);
        assertThat(decide(PersonRole.IN_CHARGE, "no", "one person", "not the password")
                        .statusCode())
                .isEqualTo(403);
        assertThat(ashgrove.book().secondPerson()).isEmpty();
        assertThat(decide(PersonRole.IN_CHARGE, "no", "one person works here", Ashgrove.PASSWORD)
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.AUDITOR).page("/second-person").text())
                .contains("A second person is not asked for", DID + ": not asked for. one person works here");
        assertThat(sign(PersonRole.IN_CHARGE).statusCode()).isEqualTo(303);
        assertThat(ashgrove.as(PersonRole.AUDITOR).page(DRAFT).text())
                .contains(
                        "Revision 1: Signed by a person who did work behind it (noted 3 steps of tray T-0002, entered 1"
                                + " reading of run H1): this laboratory asks for no second person, signed by " + DID);
    }
}
