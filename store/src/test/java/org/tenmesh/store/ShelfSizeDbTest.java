package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Supplier;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.Stored;

/** A shelf with 120,000 soils of thirty release days, 4,000 a day. The bounds are wide, for a machine that does other things; figures are printed. */
final class ShelfSizeDbTest {
    private static final ZoneId ZONE = ZoneOffset.UTC;
    private static final LocalDate FIRST = LocalDate.of(2026, 9, 1);
    private static final int DAYS = 30;
    private static final int A_DAY = 4000;

    @Test
    void findsOneOfAHundredAndTwentyThousandAndMakesADaysList() throws SQLException {
        Path folder = OpenStore.folder("shelf");
        try (Store store = OpenStore.open(folder)) {
            fill(store);
            assertThat(OpenStore.ask(store, "select count(*) from shelf.standing"))
                    .isEqualTo("120000");
            SplittableRandom chance = new SplittableRandom(15);
            double[] found = new double[200];
            for (int i = 0; i < found.length; i++) {
                LabNumber number = new LabNumber("n" + (1 + chance.nextInt(DAYS * A_DAY)));
                found[i] = millis(() -> store.shelves().find(number, ZONE).orElseThrow());
            }
            double client = millis(() -> store.shelves().ofClient("client 4711"));
            double date = millis(() -> store.shelves().releasedOn(FIRST.plusDays(3)));
            double box = millis(() -> store.shelves().inBox("B-000123", ZONE));
            double places = millis(() -> store.shelves().places());
            LocalDate day = FIRST.plusDays(28);
            double due = millis(() -> store.shelves().due(day, 28, Set.of(), ZONE));
            List<Stored> soils = store.shelves().due(day, 28, Set.of(), ZONE);
            assertThat(soils).hasSize(A_DAY);
            Instant now = Instant.parse("2026-09-29T08:00:00Z");
            String[] list = new String[1];
            double made = millis(() -> list[0] = store.shelves().makeList(day, 28, Set.of(), "M. Whelan", now, ZONE));
            double scanned = millis(
                    () -> store.shelves().scan(list[0], soils.get(0).box(), 28, Set.of(), "T. Byrne", now, ZONE));
            double signed = millis(() -> store.shelves().sign(list[0], 28, Set.of(), "M. Whelan", now, ZONE));
            Arrays.sort(found);
            System.out.printf(
                    "shelf of 120,000: a soil %.1f ms (median), %.1f ms (p95); client %.0f ms; date %.0f ms; box %.0f ms; places %.0f ms; due"
                            + " %.0f ms; list of 4,000 made %.0f ms, a scan %.0f ms, signed %.0f ms%n",
                    found[100], found[190], client, date, box, places, due, made, scanned, signed);
            assertThat(found[190]).as("a soil, ms").isLessThan(500);
            assertThat(client).as("a client, ms").isLessThan(5000);
            assertThat(due).as("what is due, ms").isLessThan(10_000);
        } finally {
            OpenStore.delete(folder);
        }
    }

    private static double millis(Supplier<?> work) {
        long start = System.nanoTime();
        Objects.requireNonNull(work.get());
        return Duration.ofNanos(System.nanoTime() - start).toNanos() / 1e6;
    }

    /** Twenty soils a submission, forty a box. */
    private static void fill(Store store) throws SQLException {
        OpenStore.run(
                store,
                "insert into intake.day (name, register, on_date) select d::text, 'own', d from (select date '2026-09-01' + g as d"
                        + " from generate_series(0, 29) g) x",
                "insert into intake.submission (id, register, submission, client, received_at, received_offset, received_on, day)"
                        + " select g, 'own', 'S' || g, 'client ' || g, now(), 0, date '2026-09-01' + (g - 1) / 200,"
                        + " (select id from intake.day where on_date = date '2026-09-01' + (g - 1) / 200) from generate_series(1, 6000) g",
                "insert into intake.soil (id, register, lab_number, submission, ordinal, regulated, matter, day)"
                        + " select g, 'own', 'n' || g, 'S' || (1 + (g - 1) / 20), 1 + (g - 1) % 20, false, 'soil',"
                        + " (select id from intake.day where on_date = date '2026-09-01' + (g - 1) / 4000) from generate_series(1, 120000) g",
                "insert into intake.came_in select g, 1 + (g - 1) / 20 from generate_series(1, 120000) g",
                "insert into release.release (day, submission, submission_id, revision, signed_by, signed_at, signed_offset, reason, held)"
                        + " select s.day, s.submission, s.id, 1, 'M. Whelan', s.received_on + time '16:00', 0, 'first release', 0"
                        + " from intake.submission s",
                "analyze",
                "insert into shelf.act (batch, what, about, to_what, regulated, reason, person, at)"
                        + " select 1, 'place-made', 'P-' || g, '', false, '', 'T. Byrne', now() from generate_series(1, 100) g",
                "insert into shelf.act (batch, what, about, to_what, regulated, reason, person, at)"
                        + " select 2, 'box-made', 'B-' || lpad(g::text, 6, '0'), '', false, '', 'T. Byrne', now() from generate_series(1, 3000) g",
                "insert into shelf.act (batch, what, about, to_what, regulated, reason, person, at)"
                        + " select 3, 'box-put', 'B-' || lpad(g::text, 6, '0'), 'P-' || (1 + (g - 1) / 30), false, '', 'T. Byrne', now()"
                        + " from generate_series(1, 3000) g",
                // What the trigger would do for each row, in one statement.
                "alter table shelf.act disable trigger acted",
                "insert into shelf.act (batch, what, soil, about, to_what, regulated, reason, person, at)"
                        + " select 4, 'soil-put', g, 'n' || g, 'B-' || lpad((1 + (g - 1) / 40)::text, 6, '0'), false, '', 'T. Byrne', now()"
                        + " from generate_series(1, 120000) g",
                "alter table shelf.act enable trigger acted",
                "insert into shelf.standing select a.soil, a.to_what, 'ordinary', c.submission, '', null"
                        + " from shelf.act a join intake.came_in c on c.soil = a.soil where a.what = 'soil-put'",
                "analyze");
    }
}
