package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URI;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Isolated;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.Rights;

@Isolated("many sign in at once, and only so many passwords are computed at a time")
class SignInPageTest {
    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    @Test
    void leadsAStrangerToTheSignInPageAndBackToWhatWasAskedFor() {
        Browser browser = ashgrove.visitor();
        HttpResponse<byte[]> answer = browser.get("/today");
        assertThat(answer.statusCode()).isEqualTo(302);
        String to = answer.headers().firstValue("Location").orElseThrow();
        assertThat(to).isEqualTo("/sign-in?to=%2Ftoday");
        String field = browser.page(to).expectFirst("input[name=to]").val();
        HttpResponse<byte[]> signedIn = browser.submit(
                to,
                "/sign-in",
                Map.of("name", Ashgrove.name(PersonRole.QUALITY), "password", Ashgrove.PASSWORD, "to", field));
        assertThat(signedIn.headers().firstValue("Location")).hasValue("/today");
    }

    @Test
    void leadsBackWithWhatWasAskedOfTheAddress() {
        Browser browser = ashgrove.visitor();
        String asked = "/charts?method=ph-water-1-1&of=pH";
        String to = browser.get(asked).headers().firstValue("Location").orElseThrow();
        String field = browser.page(to).expectFirst("input[name=to]").val();
        assertThat(field).isEqualTo(asked);
        HttpResponse<byte[]> signedIn = browser.submit(
                to,
                "/sign-in",
                Map.of("name", Ashgrove.name(PersonRole.QUALITY), "password", Ashgrove.PASSWORD, "to", field));
        assertThat(signedIn.headers().firstValue("Location")).hasValue(asked);
    }

    private static Map<String, String> fields(Element form) {
        Map<String, String> fields = new HashMap<>();
        form.select("input[name], textarea[name]").forEach(one -> fields.put(one.attr("name"), one.val()));
        return fields;
    }

    @Test
    void keepsAFormThatCameAfterTheSessionHadEndedAndSendsItOnceTheSignInIsRight() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> shut = fields(browser.page("/gates").expectFirst("form[action$=/causes/act]"));
        shut.put("reason", "argon < 10 bar & \"falling\"");
        ashgrove.book().endEverySession();
        HttpResponse<byte[]> ended = browser.post("/causes/act", shut);
        assertThat(ended.statusCode()).isEqualTo(403);
        Document page = Jsoup.parse(Browser.text(ended));
        assertThat(page.text()).contains("what you sent is kept");
        Map<String, String> wrong = fields(page.expectFirst("form[action=/sign-in]"));
        wrong.put("name", Ashgrove.name(PersonRole.IN_CHARGE));
        wrong.put("password", "not this one at all");
        Document again = Jsoup.parse(Browser.text(browser.post("/sign-in", wrong)));
        Map<String, String> right = fields(again.expectFirst("form[action=/sign-in]"));
        right.put("password", Ashgrove.PASSWORD);
        HttpResponse<byte[]> entered = browser.post("/sign-in", right);
        assertThat(entered.statusCode()).isEqualTo(200);
        Document once = Jsoup.parse(Browser.text(entered));
        assertThat(once.select("main dd").eachText()).contains(shut.get("reason"));
        assertThat(Browser.text(browser.get("/gates"))).doesNotContain("argon");
        Element form = once.expectFirst("main form");
        assertThat(form.attr("action")).endsWith("/causes/act");
        HttpResponse<byte[]> done = browser.post(form.attr("action"), fields(form));
        assertThat(done.statusCode()).isEqualTo(303);
        assertThat(browser.page("/gates").text()).contains(shut.get("reason"));
    }

    @Test
    void keepsNoFormOfAnotherSiteAndNoPassword() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> forged = fields(browser.page("/gates").expectFirst("form[action$=/causes/act]"));
        Map<String, String> secret = new HashMap<>(forged);
        forged.put("csrf", "0".repeat(64));
        secret.put("password", Ashgrove.PASSWORD);
        ashgrove.book().endEverySession();
        for (Map<String, String> one : List.of(forged, secret)) {
            String page = Browser.text(browser.post("/causes/act", one));
            assertThat(page).contains("Signed out").doesNotContain("kept-").doesNotContain(Ashgrove.PASSWORD);
        }
    }

    /** Whoever is in charge hands on a whole address: a path alone opens nothing. */
    @Test
    void givesAWholeAddressToSignInByOnce() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        HttpResponse<byte[]> added =
                inCharge.submit("/people", "/people", Map.of("name", "T. Sedge", "role", PersonRole.BENCH.word()));
        String address = Jsoup.parse(new String(added.body(), StandardCharsets.UTF_8))
                .expectFirst("#once")
                .text();
        String home = inCharge.get("/people").uri().resolve("/").toString();
        assertThat(address).startsWith(home + "enter/");
        String path = address.substring(home.length() - 1);
        Browser fresh = ashgrove.visitor();
        assertThat(fresh.submit(path, path, Map.of()).headers().firstValue("Location"))
                .hasValue("/password");
    }

    @Test
    void neverLeadsToAnotherHost() {
        for (String to : new String[] {
            "//elsewhere.example/", "https://elsewhere.example", "/\\elsewhere", "javascript:1", "/a?b\r\nc"
        }) {
            assertThat(Answer.own(to)).as(to).isEqualTo("/");
        }
        assertThat(Answer.own("/runs/ph-1")).isEqualTo("/runs/ph-1");
    }

    @Test
    void refusesAWrongPasswordAndAnUnknownNameInTheSameWords() {
        Browser browser = ashgrove.visitor();
        HttpResponse<byte[]> wrong = browser.submit(
                "/sign-in", "/sign-in", Map.of("name", "invented quality", "password", "not the right one"));
        HttpResponse<byte[]> unknown = browser.submit(
                "/sign-in", "/sign-in", Map.of("name", "invented someone", "password", "not the right one"));
        assertThat(wrong.statusCode()).isEqualTo(403);
        assertThat(unknown.statusCode()).isEqualTo(403);
        assertThat(Browser.text(unknown).replace("someone", "quality")).isEqualTo(Browser.text(wrong));
        assertThat(browser.get("/today").statusCode()).isEqualTo(302);
    }

    @Test
    void waitsAfterFiveFailuresEvenForTheRightPassword() {
        Browser browser = ashgrove.visitor();
        for (int i = 0; i < 5; i++) {
            browser.submit("/sign-in", "/sign-in", Map.of("name", "invented quality", "password", "wrong " + i));
        }
        HttpResponse<byte[]> answer = browser.submit(
                "/sign-in", "/sign-in", Map.of("name", "invented quality", "password", Ashgrove.PASSWORD));
        assertThat(answer.statusCode()).isEqualTo(429);
    }

    @Test
    void signsInOnceByALinkAndAsksForAPasswordWhenThereIsNone() {
        ashgrove.book().add(new Person("first person", PersonRole.IN_CHARGE, ""), "test");
        URI link = ashgrove.server().oneTimeLink("first person", Duration.ofMinutes(10));
        Browser browser = ashgrove.visitor();
        HttpResponse<byte[]> answer = browser.submit(link.getPath(), link.getPath(), Map.of());
        assertThat(answer.headers().firstValue("Location")).hasValue("/password");
        String phrase = "a heron over the weir";
        HttpResponse<byte[]> kept = browser.submit("/password", "/password", Map.of("fresh", phrase, "again", phrase));
        assertThat(kept.statusCode()).isEqualTo(303);
        assertThat(ashgrove.visitor()
                        .signedIn("first person", phrase)
                        .get("/today")
                        .statusCode())
                .isEqualTo(200);
        assertThat(ashgrove.visitor()
                        .submit(link.getPath(), link.getPath(), Map.of())
                        .statusCode())
                .isEqualTo(410);
    }

    /** Somebody who forgot their password comes back by a link; without one the old password is asked for. */
    @Test
    void setsANewPasswordWithoutTheOldOneForWhoeverCameByALink() {
        String bench = Ashgrove.name(PersonRole.BENCH);
        String phrase = "a heron over the weir";
        assertThat(ashgrove.as(PersonRole.BENCH)
                        .submit("/password", "/password", Map.of("fresh", phrase, "again", phrase))
                        .statusCode())
                .isEqualTo(400);
        String link =
                ashgrove.server().oneTimeLink(bench, Duration.ofMinutes(10)).getPath();
        Browser byLink = ashgrove.visitor();
        byLink.submit(link, link, Map.of());
        assertThat(byLink.page("/password").select("#old")).isEmpty();
        assertThat(byLink.submit("/password", "/password", Map.of("fresh", phrase, "again", phrase))
                        .statusCode())
                .isEqualTo(303);
        assertThat(ashgrove.visitor().signedIn(bench, phrase).get("/bench").statusCode())
                .isEqualTo(200);
    }

    @Test
    void wrongPasswordsOfAStrangerKeepNobodyFromSigning() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Browser stranger = ashgrove.visitor();
        for (int i = 0; i < 6; i++) {
            stranger.submit(
                    "/sign-in",
                    "/sign-in",
                    Map.of("name", Ashgrove.name(PersonRole.IN_CHARGE), "password", "wrong " + i));
        }
        String phrase = "a heron over the weir";
        assertThat(inCharge.submit(
                                "/password",
                                "/password",
                                Map.of("old", Ashgrove.PASSWORD, "fresh", phrase, "again", phrase))
                        .statusCode())
                .isEqualTo(303);
    }

    /** A link gives whoever holds it the person's rights, so nobody issues one for rights they lack. */
    @Test
    void onlyQualityLetsAnybodyIntoTheRolesThatSeeTheKey() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        for (PersonRole sealed : Rights.SEALED) {
            String name = Ashgrove.name(sealed);
            int before = ashgrove.book().journal(1000).size();
            for (HttpResponse<byte[]> answer : java.util.List.of(
                    inCharge.submit("/people", "/people", Map.of("name", "T. Sedge", "role", sealed.word())),
                    inCharge.submit("/people", "/people/link", Map.of("name", name)),
                    inCharge.submit(
                            "/people",
                            "/people/change",
                            Map.of("name", Ashgrove.name(PersonRole.BENCH), "role", sealed.word())),
                    inCharge.submit(
                            "/people", "/people/change", Map.of("name", name, "role", PersonRole.BENCH.word())))) {
                assertThat(answer.statusCode()).isEqualTo(403);
                assertThat(Browser.text(answer)).doesNotContain("/enter/").contains("given by quality");
            }
            assertThat(ashgrove.book().journal(1000)).hasSize(before);
        }
        assertThat(quality.submit("/people", "/people/link", Map.of("name", Ashgrove.name(PersonRole.BENCH)))
                        .statusCode())
                .isEqualTo(403);
        assertThat(Browser.text(
                        quality.submit("/people", "/people/link", Map.of("name", Ashgrove.name(PersonRole.AUDITOR)))))
                .contains("/enter/");
        assertThat(ashgrove.book().journal(1).get(0).actor()).isEqualTo(Ashgrove.name(PersonRole.QUALITY));
    }

    /** One person alone, of whichever role, lets nobody see the key. */
    @Test
    void letsSomebodyIntoARoleThatSeesTheKeyWhenQualityAsksAndWhoeverIsInChargeAgrees() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Browser quality = ashgrove.as(PersonRole.QUALITY);
        Map<String, String> sedge = Map.of("name", "T. Sedge");
        Map<String, String> agree = Map.of("name", "T. Sedge", "active", "yes");
        Map<String, String> refuse = Map.of("name", "T. Sedge", "active", "no");

        quality.submit("/people", "/people", Map.of("name", "T. Sedge", "role", PersonRole.QUALITY.word()));
        quality.submit("/people", "/people/change", agree);
        assertThat(quality.submit("/people", "/people/link", sedge).statusCode())
                .isEqualTo(409);
        assertThat(inCharge.page("/people").text())
                .contains("T. Sedge asked for by " + Ashgrove.name(PersonRole.QUALITY) + ", waits");
        inCharge.submit("/people", "/people/change", refuse);
        assertThat(inCharge.submit("/people", "/people/change", agree).statusCode())
                .isEqualTo(403);
        assertThat(ashgrove.book().find("T. Sedge").orElseThrow().active()).isFalse();

        quality.submit("/people", "/people/change", agree);
        inCharge.submit("/people", "/people/change", agree);
        assertThat(ashgrove.book().find("T. Sedge").orElseThrow().active()).isTrue();
        assertThat(inCharge.submit("/people", "/people/link", sedge).statusCode())
                .isEqualTo(403);
        assertThat(Browser.text(quality.submit("/people", "/people/link", sedge)))
                .contains("/enter/");

        Map<String, String> raised =
                Map.of("name", Ashgrove.name(PersonRole.AUDITOR), "role", PersonRole.QUALITY.word());
        quality.submit("/people", "/people/change", raised);
        assertThat(ashgrove.book()
                        .find(Ashgrove.name(PersonRole.AUDITOR))
                        .orElseThrow()
                        .active())
                .isFalse();
        inCharge.submit(
                "/people", "/people/change", Map.of("name", Ashgrove.name(PersonRole.AUDITOR), "active", "yes"));
        Person auditor = ashgrove.book().find(Ashgrove.name(PersonRole.AUDITOR)).orElseThrow();
        assertThat(auditor.active()).isTrue();
        assertThat(auditor.role()).isEqualTo(PersonRole.QUALITY);
    }

    /** A name gives nobody a right, but who looks after a role names its people. */
    @Test
    void renamesThePeopleThatARoleLooksAfter() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> bench = Map.of("name", Ashgrove.name(PersonRole.BENCH), "new-name", "B. Sallow");
        Map<String, String> quality = Map.of("name", Ashgrove.name(PersonRole.QUALITY), "new-name", "Q. Sallow");
        Map<String, String> self = Map.of("name", Ashgrove.name(PersonRole.IN_CHARGE), "new-name", "M. Sallow");
        Map<String, String> taken = Map.of("name", Ashgrove.name(PersonRole.BENCH), "new-name", "M. Sallow");

        assertThat(inCharge.submit("/people", "/people/rename", quality).statusCode())
                .isEqualTo(403);
        assertThat(inCharge.submit("/people", "/people/rename", self).statusCode())
                .isEqualTo(303);
        HttpResponse<byte[]> refused = inCharge.submit("/people", "/people/rename", taken);
        assertThat(refused.statusCode()).isEqualTo(409);
        assertThat(Browser.text(refused)).contains("There is somebody called M. Sallow already");
        assertThat(inCharge.submit("/people", "/people/rename", bench).statusCode())
                .isEqualTo(303);
        assertThat(inCharge.page("/people").text())
                .contains("B. Sallow formerly " + Ashgrove.name(PersonRole.BENCH), "M. Sallow formerly ");
        assertThat(ashgrove.book().journal(1).get(0).actor()).isEqualTo("M. Sallow");
    }

    /** Ending somebody's access gives nobody a right; a new role does not bring somebody back who left. */
    @Test
    void endsAccessAndGivesItBackOnlyWhenAsked() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        String quality = Ashgrove.name(PersonRole.QUALITY);
        String bench = Ashgrove.name(PersonRole.BENCH);
        inCharge.submit("/people", "/people/change", Map.of("name", quality, "active", "no"));
        assertThat(ashgrove.book().find(quality).orElseThrow().active()).isFalse();
        inCharge.submit("/people", "/people/change", Map.of("name", quality, "active", "yes"));
        assertThat(ashgrove.book().find(quality).orElseThrow().active()).isFalse();
        inCharge.submit("/people", "/people/change", Map.of("name", bench, "active", "no"));
        inCharge.submit("/people", "/people/change", Map.of("name", bench, "role", PersonRole.CLIENT_SERVICE.word()));
        assertThat(ashgrove.book().find(bench).orElseThrow().active()).isFalse();
        inCharge.submit("/people", "/people/change", Map.of("name", bench, "active", "yes"));
        assertThat(ashgrove.book().find(bench).orElseThrow().active()).isTrue();
    }

    @Test
    void refusesAFormThatIsNoneOfOurs() {
        Browser inCharge = ashgrove.as(PersonRole.IN_CHARGE);
        for (Map<String, String> form : java.util.List.of(
                Map.of("name", "R. Sedge\0", "role", "bench"),
                Map.of("name", "x".repeat(2001), "role", "bench"),
                Map.of("name", "R.\u200bSedge", "role", "bench"))) {
            assertThat(inCharge.submit("/people", "/people", form).statusCode()).isEqualTo(400);
        }
        HttpResponse<byte[]> multipart = inCharge.send(
                java.net.http.HttpRequest.newBuilder(inCharge.get("/people").uri())
                        .header("Content-Type", "multipart/form-data; boundary=x")
                        .POST(java.net.http.HttpRequest.BodyPublishers.ofString("--x--\r\n"))
                        .build());
        assertThat(multipart.statusCode()).isEqualTo(400);
    }

    /** Forty sign-ins at once: each is answered, at worst with the request to try again. */
    @Test
    void answersManySignInsAtOnceWithoutAFault() {
        java.util.List<Browser> browsers = java.util.stream.IntStream.range(0, 40)
                .mapToObj(i -> ashgrove.visitor())
                .toList();
        java.util.List<Map<String, String>> forms = browsers.stream()
                .map(browser -> Map.of(
                        "csrf",
                        browser.page("/sign-in").expectFirst("input[name=csrf]").val(),
                        "name",
                        "nobody of this name " + browsers.indexOf(browser),
                        "password",
                        "wrong"))
                .toList();
        java.util.concurrent.ExecutorService pool = java.util.concurrent.Executors.newFixedThreadPool(40);
        try {
            java.util.List<java.util.concurrent.Future<Integer>> answers = new java.util.ArrayList<>();
            for (int i = 0; i < browsers.size(); i++) {
                Browser browser = browsers.get(i);
                Map<String, String> form = forms.get(i);
                answers.add(pool.submit(() -> browser.post("/sign-in", form).statusCode()));
            }
            assertThat(answers).allSatisfy(answer -> assertThat(answer.get()).isIn(403, 429, 503));
        } finally {
            pool.shutdownNow();
        }
    }

    @Test
    void refusesAShortPasswordAndSaysHowLongItMustBe() {
        Browser browser = ashgrove.as(PersonRole.BENCH);
        HttpResponse<byte[]> answer = browser.submit(
                "/password", "/password", Map.of("old", Ashgrove.PASSWORD, "fresh", "short", "again", "short"));
        assertThat(answer.statusCode()).isEqualTo(400);
        assertThat(Browser.text(answer)).contains("has 5 characters; it needs 15 or more");
    }

    @Test
    void keepsTheSessionInACookieThatScriptsAndOtherSitesCannotUse() {
        Browser browser = ashgrove.visitor();
        HttpResponse<byte[]> answer = browser.submit(
                "/sign-in", "/sign-in", Map.of("name", "invented auditor", "password", Ashgrove.PASSWORD));
        assertThat(answer.headers().allValues("Set-Cookie"))
                .anySatisfy(cookie -> assertThat(cookie)
                        .startsWith("tenmesh-session=")
                        .contains("HttpOnly")
                        .contains("SameSite=Strict"));
    }

    @Test
    void endsTheSession() {
        Browser browser = ashgrove.as(PersonRole.AUDITOR);
        browser.submit("/today", "/sign-out", Map.of());
        assertThat(browser.get("/today").statusCode()).isEqualTo(302);
    }

    @Test
    void turnsAwayAFormWithoutItsToken() {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        assertThat(browser.post("/sign-out", Map.of()).statusCode()).isEqualTo(403);
        assertThat(browser.post("/sign-out", Map.of("csrf", "guessed")).statusCode())
                .isEqualTo(403);
        assertThat(browser.get("/today").statusCode()).isEqualTo(200);
    }

    @Test
    void sendsAPolicyThatForbidsWhateverIsNotItsOwn() {
        HttpResponse<byte[]> answer = ashgrove.visitor().get("/sign-in");
        assertThat(answer.headers().firstValue("Content-Security-Policy").orElseThrow())
                .contains("default-src 'none'")
                .doesNotContain("unsafe");
    }
}
