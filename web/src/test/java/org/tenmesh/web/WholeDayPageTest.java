package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;

class WholeDayPageTest {
    /** What a page may weigh before compression: drawn on the laboratory's network in a fraction of a second. */
    private static final int MOST_BYTES = 900_000;

    @Test
    void staysLightOnADayOfFourThousandSoils() {
        try (Ashgrove ashgrove = Ashgrove.open(4000)) {
            Browser quality = ashgrove.as(PersonRole.QUALITY);
            Browser bench = ashgrove.as(PersonRole.BENCH);
            for (String path : new String[] {
                "/today",
                "/causes",
                "/runs",
                "/runs/ph-1",
                "/trays",
                "/controls",
                "/submissions",
                "/release",
                "/release/SUB-2201"
            }) {
                assertThat(quality.get(path).body().length)
                        .as(path)
                        .isBetween(2_000, path.equals("/today") ? 100_000 : MOST_BYTES);
            }
            assertThat(bench.get("/bench").body().length).as("/bench").isBetween(2_000, MOST_BYTES);
            assertThat(quality.page("/runs/ph-1").select("tbody tr")).hasSize(120);
            assertThat(quality.page("/runs/ph-1?page=2")
                            .select("tbody th")
                            .get(0)
                            .text())
                    .isEqualTo("121");
            assertThat(quality.submit(
                                    "/causes",
                                    "/causes/act",
                                    Map.of(
                                            "cause",
                                            InventedDay.DRIFT,
                                            "evidence",
                                            InventedDay.EVIDENCE,
                                            "action",
                                            "order-redo"))
                            .statusCode())
                    .isEqualTo(303);
        }
    }
}
