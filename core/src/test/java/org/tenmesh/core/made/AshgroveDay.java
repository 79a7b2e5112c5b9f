package org.tenmesh.core.made;

import java.util.Map;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.quantity.Unit;

/**
 * What came to the invented Ashgrove Soil Laboratory on one day, in any number of soils and with every field both set and left empty:
 * twenty soils a client, every fiftieth a hidden control, trays with key wells. Nothing has been read yet.
 */
public final class AshgroveDay {
    private static final int PER_CLIENT = 20;

    private AshgroveDay() {}

    public static MadeDay of(int soils) {
        MadeDay day = MadeDay.empty()
                .laboratory(MadeLaboratory.ashgrove()
                        .at("1 Invented Lane\nAshgrove: \"the\" town")
                        .advice("Queensland", "New Jersey")
                        .acceptedFailures(new AcceptedFailures(true, false))
                        .reports(new ReportForms(
                                new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.TABLE),
                                Map.of(
                                        "Müller & Sons 2 O’Brien",
                                        ReportForm.defaults().with(ReportForm.Layout.SOIL_PAGES))))
                        .laboratory());
        for (int i = 0; i < soils; i++) {
            if (i % PER_CLIENT == 0) {
                day.submission(submission(i));
            }
            LabNumber number = MadeDay.lab(i + 1);
            boolean hidden = i % 50 == 17;
            if (hidden) {
                day.control(number, "LOAM-A");
            }
            day.soil(soil(number, i, hidden));
        }
        day.laidOut()
                .material(new Material("LOAM-A", "ph-water-1-1", "pH", 6.42, 0.05, Unit.PH, OptionalInt.of(120)))
                .material(new Material("LOAM-A", "om-loi-360", "LOI", 3.1, 0.08, Unit.PERCENT, OptionalInt.empty()))
                .material(MadeDay.material("LOAM-A", "mehlich3-icp", "P", 31.25, 1.5, Unit.MILLIGRAM_PER_KILOGRAM))
                .standard(MadeDay.standard("ph-water-1-1", "4.01", "pH", 4.01, Unit.PH))
                .standard(new Standard(
                        "ph-water-1-1", "7.00", "pH", 7, Unit.PH, OptionalDouble.of(0.05), OptionalDouble.empty()))
                .standard(new Standard(
                        "mehlich3-icp",
                        "STD-1",
                        "P",
                        5,
                        Unit.MILLIGRAM_PER_LITRE,
                        OptionalDouble.empty(),
                        OptionalDouble.of(10)));
        return day;
    }

    /** The submission of which this is the first soil. */
    private static MadeSubmission submission(int i) {
        int client = 1 + i / PER_CLIENT;
        MadeSubmission made = MadeSubmission.named("S" + client)
                .client("Müller & Sons " + client + " O’Brien")
                .receivedAt(MadeDay.MORNING.minusHours(20))
                .from("IE")
                .asking("standard");
        if (i % 40 == 0) {
            made.promisedOn(MadeDay.DATE.plusDays(3));
        }
        if (i % 60 == 0) {
            made.water(true);
        }
        return made;
    }

    private static MadeSoil soil(LabNumber number, int i, boolean hidden) {
        MadeSoil made = MadeSoil.numbered(number);
        if (!hidden) {
            made.of("S" + (1 + i / PER_CLIENT), 1 + i % PER_CLIENT)
                    .labelled("field " + i + (i % 7 == 6 ? ", \"north\"" : ""));
        }
        if (i % 3 == 2) {
            made.topCm(0).bottomCm(15.5);
        }
        if (i % 5 == 4) {
            made.regulated(i % 10 == 4);
        }
        return i % PER_CLIENT == PER_CLIENT - 1 ? made.water() : made;
    }
}
