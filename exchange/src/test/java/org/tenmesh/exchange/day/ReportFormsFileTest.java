package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.exchange.file.Problem;

final class ReportFormsFileTest {
    private static final ReportForm LETTER = new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.TABLE);

    private final List<Problem> problems = new ArrayList<>();

    private Optional<ReportForms> forms(String yaml) {
        return LaboratoryFile.parse("laboratory.yaml", yaml, Set::of, problems, "Nothing is taken")
                .map(Laboratory::reports);
    }

    @Test
    void aClientHasWhatIsNotSaidOfItFromTheLaboratory() {
        ReportForms read = forms("""
                        report:
                          paper: letter
                          clients:
                            Fen Edge Farms:
                              layout: soil-pages
                            "Weald: Growers":
                              paper: a4
                        """).orElseThrow();
        assertThat(problems).isEmpty();
        assertThat(read)
                .isEqualTo(new ReportForms(
                        LETTER,
                        Map.of(
                                "Fen Edge Farms",
                                LETTER.with(ReportForm.Layout.SOIL_PAGES),
                                "Weald: Growers",
                                ReportForm.defaults())));
        assertThat(read.of("somebody else")).isEqualTo(LETTER);
    }

    @Test
    void nothingSaidIsOneTableOnA4() {
        assertThat(forms("name: Laboratory\n")).contains(ReportForms.defaults());
        assertThat(forms("report:\n  layout: table\n")).contains(ReportForms.defaults());
        assertThat(problems).isEmpty();
    }

    @Test
    void anUnknownPaperCostsTheFileAndAnUnknownKeyItself() {
        assertThat(forms("report:\n  paper: a3\n")).isEmpty();
        assertThat(problems)
                .singleElement()
                .satisfies(one -> assertThat(one.sentence())
                        .contains("line 2, report.paper: found \"a3\", expected one of a4, letter"));
        problems.clear();
        assertThat(forms("report:\n  clients:\n    Fen Edge Farms: letter\n")).isEmpty();
        assertThat(problems)
                .singleElement()
                .satisfies(one -> assertThat(one.sentence())
                        .contains("line 3, report.clients.Fen Edge Farms", "expected a group of keys"));
        problems.clear();
        assertThat(forms("report:\n  paper: letter\n  clients:\n    Fen Edge Farms:\n      ink: blue\n"))
                .contains(new ReportForms(LETTER, Map.of("Fen Edge Farms", LETTER)));
        assertThat(problems)
                .singleElement()
                .satisfies(one -> assertThat(one.sentence()).contains("ink"));
    }
}
