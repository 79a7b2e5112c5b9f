package org.tenmesh.web.bench;

import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.web.days.BenchBook;

/** The bench's view of the day that was asked for last, made again when the day or what was noted has changed. May be used by several threads. */
final class BenchDays {
    private record Made(Desk desk, long noted, BenchDay day) {}

    private final BenchBook book;
    private Optional<Made> made = Optional.empty();

    BenchDays(BenchBook book) {
        this.book = book;
    }

    synchronized BenchDay of(Desk desk) {
        long noted = book.newest();
        Optional<Made> fresh = made.filter(one -> one.desk() == desk && one.noted() == noted);
        if (fresh.isEmpty()) {
            fresh = Optional.of(
                    new Made(desk, noted, new BenchDay(desk, book.acts(desk.name()), book.racks(), book::onShelf)));
            made = fresh;
        }
        return fresh.get().day();
    }
}
