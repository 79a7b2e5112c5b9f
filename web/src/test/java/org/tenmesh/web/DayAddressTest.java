package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.tenmesh.web.words.DayAddress;

class DayAddressTest {
    private static final String PAGE = """
            <a href="/runs/PH1-01">run</a> <a href="/runs">runs</a> <a href="/runs?by=time">runs</a>
            <a href="/soils/26329-0001-A?why=x#story">soil</a> <a href="/methods/ph">method</a> <a href="#main">skip</a>
            <form action="/causes/act"><form action="/find"><form action="/release/S%201">
            <a href="/days/2026-11-24/runs/PH1-01">other day</a>
            """;

    @Test
    void givesEveryLinkOfAnEarlierDayThatDay() {
        assertThat(DayAddress.in(PAGE, "2026-11-25", false)).isEqualTo("""
                        <a href="/days/2026-11-25/runs/PH1-01">run</a> <a href="/days/2026-11-25/runs">runs</a> <a href="/days/2026-11-25/runs?by=time">runs</a>
                        <a href="/days/2026-11-25/soils/26329-0001-A?why=x#story">soil</a> <a href="/methods/ph">method</a> <a href="#main">skip</a>
                        <form action="/days/2026-11-25/causes/act"><form action="/find"><form action="/days/2026-11-25/release/S%201">
                        <a href="/days/2026-11-24/runs/PH1-01">other day</a>
                        """);
    }

    @Test
    void leavesTheListsOfTheNewestDayOpenForTheNext() {
        assertThat(DayAddress.in(PAGE, "2026-11-25", true))
                .contains("<a href=\"/runs\">", "<a href=\"/runs?by=time\">", "\"/days/2026-11-25/runs/PH1-01\"")
                .contains("action=\"/days/2026-11-25/causes/act\"");
    }

    @Test
    void writesARegisterInTheNameOfADaySafely() {
        assertThat(DayAddress.on("2026-11-25 Other & sons", "/trays/T0001"))
                .isEqualTo("/days/2026-11-25%20Other%20%26%20sons/trays/T0001");
    }
}
