package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.util.EnumMap;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

class RolesPageTest {
    private static Ashgrove ashgrove;
    private static final Map<PersonRole, Browser> BROWSERS = new EnumMap<>(PersonRole.class);

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(60);
        for (PersonRole role : PersonRole.values()) {
            BROWSERS.put(role, ashgrove.as(role));
        }
    }

    private static Browser browser(PersonRole role) {
        return BROWSERS.computeIfAbsent(role, ashgrove::as);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    @Test
    void opensEachPageToItsRolesAndToNobodyElse() {
        for (Route route : ashgrove.server().routes()) {
            if (route.verb() != Route.Verb.GET || route.open()) {
                continue;
            }
            String path = Places.one(route, ashgrove);
            // No release has been signed, so the report is not there for anybody.
            boolean absent = route.path().startsWith("/reports/");
            for (PersonRole role : PersonRole.values()) {
                int status = browser(role).get(path).statusCode();
                boolean may = route.roles().contains(role) && !absent;
                assertThat(status).as("%s as %s", path, role).isIn(may ? new Object[] {200, 303} : new Object[] {404});
            }
            assertThat(ashgrove.visitor().get(path).statusCode()).as(path).isEqualTo(302);
        }
    }

    @Test
    void doesNothingForARoleThatMayNot() {
        long before = ashgrove.book().journal(1000).stream()
                .filter(one -> !one.what().equals("access-refused"))
                .count();
        for (Route route : ashgrove.server().routes()) {
            if (route.verb() != Route.Verb.POST || route.open()) {
                continue;
            }
            for (PersonRole role : PersonRole.values()) {
                if (!route.roles().contains(role)) {
                    HttpResponse<byte[]> answer = browser(role)
                            .submit("/methods", Places.one(route, ashgrove), Map.of("cause", InventedDay.DRIFT));
                    assertThat(answer.statusCode())
                            .as("%s as %s", route.path(), role)
                            .isEqualTo(404);
                }
            }
            assertThat(ashgrove.visitor()
                            .post(Places.one(route, ashgrove), Map.of("csrf", "none"))
                            .statusCode())
                    .as(route.path())
                    .isEqualTo(403);
        }
        assertThat(ashgrove.book().journal(1000).stream()
                        .filter(one -> !one.what().equals("access-refused")))
                .hasSize((int) before);
    }

    @Test
    void refusesEveryFormWithoutItsToken() {
        int before = ashgrove.book().journal(1000).size();
        for (Route route : ashgrove.server().routes()) {
            if (route.verb() == Route.Verb.POST) {
                for (PersonRole role : PersonRole.values()) {
                    if (route.open() || route.roles().contains(role)) {
                        assertThat(browser(role)
                                        .post(Places.one(route, ashgrove), Map.of("cause", InventedDay.DRIFT))
                                        .statusCode())
                                .as("%s as %s", route.path(), role)
                                .isEqualTo(403);
                    }
                }
            }
        }
        assertThat(ashgrove.book().journal(1000)).hasSize(before);
    }

    @Test
    void letsTheAuditorChangeNothing() {
        assertThat(ashgrove.server().routes())
                .filteredOn(r -> r.verb() == Route.Verb.POST && r.roles().contains(PersonRole.AUDITOR))
                .extracting(Route::path)
                .containsExactlyInAnyOrder("/sign-out", "/password");
    }

    @Test
    void showsNoLinkThatLeadsNowhere() {
        for (PersonRole role : PersonRole.values()) {
            Browser browser = browser(role);
            for (Route route : ashgrove.server().routes()) {
                if (route.verb() != Route.Verb.GET || !route.roles().contains(role)) {
                    continue;
                }
                HttpResponse<byte[]> answer = browser.get(Places.one(route, ashgrove));
                if (answer.statusCode() != 200) {
                    continue;
                }
                org.jsoup.Jsoup.parse(Browser.text(answer)).select("a[href^=/]").stream()
                        .map(a -> a.attr("href").replaceAll("#.*", ""))
                        .distinct()
                        .filter(CHECKED.computeIfAbsent(role, k -> new java.util.HashSet<>())::add)
                        .forEach(href -> assertThat(browser.get(href).statusCode())
                                .as("%s on %s as %s", href, route.path(), role)
                                .isIn(200, 302, 303));
            }
        }
    }

    private static final Map<PersonRole, java.util.Set<String>> CHECKED = new EnumMap<>(PersonRole.class);
}
