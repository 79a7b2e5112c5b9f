package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;

class CurrentDayTest {
    @Test
    void judgesWithWhatEarlierDaysFoundInSoils() {
        EarlierSoils earlier = new EarlierSoils(List.of(new EarlierSoils.EarlierSoil(
                LocalDate.of(2026, 11, 20),
                "S1",
                "Invented client",
                Optional.empty(),
                "field 1",
                Map.of("ph-water-1-1", Map.of("pH", 6.4)))));
        MemoryStore book = new MemoryStore();
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        book.take(invented.day());
        book.remember(earlier);
        List<EarlierSoils> asked = new ArrayList<>();
        Judge judge = new Judge() {
            @Override
            public JudgedDay judge(Day day, MethodBook methods, EarlierSoils known) {
                asked.add(known);
                return invented.judged();
            }

            @Override
            public Story story(Day day, MethodBook methods, JudgedDay judged, Result result) {
                throw new UnsupportedOperationException("no story is asked for");
            }
        };
        try (CurrentDay current = new CurrentDay(book, Ashgrove.METHODS, judge, Ashgrove.CLOCK, 0)) {
            current.start();
        }
        assertThat(asked).isNotEmpty().allMatch(earlier::equals);
    }
}
