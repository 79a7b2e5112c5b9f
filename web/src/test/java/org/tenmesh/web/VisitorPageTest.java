package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.net.http.HttpResponse;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;

/** Looking around a demonstration without a password. */
class VisitorPageTest {
    @Test
    void signsAVisitorOfADemonstrationInAsEachRoleByOneClick() {
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        MemoryStore book = new MemoryStore();
        book.take(invented.day());
        for (PersonRole role : PersonRole.values()) {
            book.add(new Person(Ashgrove.name(role), role, ""), "test");
        }
        book.add(new Person("somebody real", PersonRole.QUALITY, ""), "test");
        List<String> names =
                Arrays.stream(PersonRole.values()).map(Ashgrove::name).toList();
        try (Server server = Server.start(
                ServerSettings.demonstration(0, names),
                book,
                Ashgrove.METHODS,
                Ashgrove.CLOCK,
                Ashgrove.judge(invented),
                java.util.Optional.empty(),
                java.util.Optional.empty())) {
            assertThat(new Browser(server.address()).page("/sign-in").select("button[name=name]"))
                    .hasSize(PersonRole.values().length);
            Map<PersonRole, String> homes = Map.of(
                    PersonRole.IN_CHARGE, "/today",
                    PersonRole.QUALITY, "/today",
                    PersonRole.BENCH, "/bench",
                    PersonRole.CLIENT_SERVICE, "/submissions",
                    PersonRole.AUDITOR, "/today");
            homes.forEach((role, home) -> {
                Browser browser = new Browser(server.address());
                HttpResponse<byte[]> in =
                        browser.submit("/sign-in", "/sign-in/visitor", Map.of("name", Ashgrove.name(role)));
                assertThat(in.headers().firstValue("Location")).hasValue(home);
                assertThat(browser.page(home).text()).contains(Ashgrove.name(role));
            });
            assertThat(new Browser(server.address())
                            .submit("/sign-in", "/sign-in/visitor", Map.of("name", "somebody real"))
                            .statusCode())
                    .isEqualTo(404);
        }
    }

    @Test
    void letsNobodyInWithoutAPasswordElsewhere() {
        try (Ashgrove ashgrove = Ashgrove.open(12)) {
            Browser browser = ashgrove.visitor();
            assertThat(browser.page("/sign-in").text()).doesNotContain("Look around");
            assertThat(browser.submit("/sign-in", "/sign-in/visitor", Map.of("name", Ashgrove.name(PersonRole.QUALITY)))
                            .statusCode())
                    .isEqualTo(404);
            assertThat(browser.get("/today").statusCode()).isEqualTo(302);
        }
        ServerSettings local = ServerSettings.local(0);
        assertThatThrownBy(() -> new ServerSettings(
                        "0.0.0.0",
                        0,
                        false,
                        local.sessionLasts(),
                        local.idleLasts(),
                        local.benchLocksAfter(),
                        List.of("R. Quill")))
                .isInstanceOf(IllegalArgumentException.class);
    }
}
