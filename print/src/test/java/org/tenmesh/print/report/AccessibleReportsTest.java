package org.tenmesh.print.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.report.ClientReport;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;

/** Reports hold to PDF/UA-1 (ISO 14289-1:2014), as far as a machine can check it: every rule of veraPDF's profile, a general validator. */
class AccessibleReportsTest {
    private static final int ODD = 12;

    @Test
    void everyRuleThatAMachineCanCheckIsKept() throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        Map<String, byte[]> reports = new LinkedHashMap<>();
        reports.put("one soil", Reports.pdf(SampleReports.report(1)));
        reports.put("a table", Reports.pdf(SampleReports.report(12)));
        reports.put("several bands and advice", Reports.pdf(SampleReports.whole(8)));
        reports.put("pages of soils", Reports.pdf(SampleReports.whole(3), OddReportsTest.form(5)));
        reports.put("a preview", Reports.preview(SampleReports.report(6), ReportForm.defaults()));
        reports.put("right to left", Reports.pdf(SampleReports.report(2, "שדה צפוני", "الحقل الشمالي", true)));
        for (int seed = 2; seed < 2 + ODD; seed++) {
            ClientReport odd = OddReportsTest.odd(seed);
            if (odd.soils().size() < 10) {
                reports.put("odd report " + seed, Reports.pdf(odd, OddReportsTest.form(seed)));
            }
        }
        for (Map.Entry<String, byte[]> report : reports.entrySet()) {
            assertThat(broken(report.getValue())).as(report.getKey()).isEmpty();
        }
    }

    private static TreeSet<String> broken(byte[] pdf) throws Exception {
        TreeSet<String> broken = new TreeSet<>();
        try (PDFAParser parser =
                Foundries.defaultInstance().createParser(new ByteArrayInputStream(pdf), PDFAFlavour.PDFUA_1)) {
            ValidationResult result = Foundries.defaultInstance()
                    .createValidator(PDFAFlavour.PDFUA_1, false)
                    .validate(parser);
            assertThat(result.getTotalAssertions()).isGreaterThan(1000);
            for (TestAssertion assertion : result.getTestAssertions()) {
                if (assertion.getStatus() == TestAssertion.Status.FAILED) {
                    broken.add(assertion.getRuleId().getClause() + ": " + assertion.getMessage());
                }
            }
        }
        return broken;
    }
}
