package org.tenmesh.core.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Which version holds on which day. */
class MethodBookTest {
    private static final Method SHIPPED = method("loi", "2026-11-01");
    private static final Method OWN = method("loi", "2027-01-01");
    private static final Method LATER = method("loi", "2031-01-01");
    private static final Method NEW = method("scoop", "2027-06-01");
    private static final MethodBook BOOK = MethodBook.shipping(SHIPPED).with(List.of(LATER, NEW, OWN));

    private static Method method(String id, String version) {
        return new FormulaMethod(
                new Method.Head(id, LocalDate.parse(version), id, "", List.of(), List.of(), List.of(), ""),
                List.of(),
                List.of(),
                List.of(),
                0,
                0);
    }

    private static LocalDate day(String date) {
        return LocalDate.parse(date);
    }

    @Test
    void aVersionHoldsFromItsDateAndNeverBefore() {
        assertThat(BOOK.of("loi", day("2026-12-31"))).isSameAs(SHIPPED);
        assertThat(BOOK.of("loi", day("2027-01-01"))).isSameAs(OWN);
        assertThat(BOOK.of("loi", day("2030-12-31"))).isSameAs(OWN);
        assertThat(BOOK.of("loi", day("2031-01-01"))).isSameAs(LATER);
        assertThat(BOOK.versions("loi")).containsExactly(LATER, OWN, SHIPPED);
    }

    @Test
    void whatShipsHoldsOnEarlierDaysToo() {
        assertThat(BOOK.of("loi", day("2019-03-01"))).isSameAs(SHIPPED);
    }

    @Test
    void aMethodThatBeginsLaterIsNamedWithBothDates() {
        assertThat(BOOK.find("scoop", day("2019-03-01"))).isEmpty();
        assertThatThrownBy(() -> BOOK.of("scoop", day("2019-03-01")))
                .isInstanceOf(NoMethodVersion.class)
                .hasMessage("method scoop has no version for 2019-03-01; its first is of 2027-06-01");
        assertThatThrownBy(() -> BOOK.of("none", day("2027-06-01")))
                .isInstanceOf(NoMethodVersion.class)
                .hasMessage("there is no method none");
        assertThat(BOOK.on(day("2027-05-31")).ids()).containsExactly("loi");
        assertThat(BOOK.on(day("2027-06-01")).ids()).containsExactly("loi", "scoop");
        assertThat(BOOK.on(day("2027-06-01")).all()).containsExactly(OWN, NEW);
    }

    @Test
    void aVersionIsFoundByItsDate() {
        assertThat(BOOK.version("loi", day("2027-01-01"))).isSameAs(OWN);
        assertThatThrownBy(() -> BOOK.version("loi", day("2027-01-02")))
                .isInstanceOf(NoMethodVersion.class)
                .hasMessage("method loi has no version of 2027-01-02; its versions are of 2031-01-01, 2027-01-01,"
                        + " 2026-11-01");
    }

    @Test
    void ofOneDateThereIsOneVersion() {
        Method edited = method("loi", "2026-11-01");
        MethodBook book = MethodBook.shipping(SHIPPED).with(List.of(edited));
        assertThat(book.versions("loi")).hasSize(1).first().isSameAs(edited);
        assertThat(book.of("loi", day("2019-03-01"))).isSameAs(edited);
        assertThat(book.version("loi", day("2026-11-01"))).isSameAs(edited);
        assertThatThrownBy(() -> BOOK.with(List.of(method("loi", "2031-01-01"))))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessage("method loi has its version of 2031-01-01 twice");
    }
}
