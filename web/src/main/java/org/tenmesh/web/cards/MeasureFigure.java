package org.tenmesh.web.cards;

import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RunPositions;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Times;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.web.words.Words;

/**
 * A number beside what is allowed of it, as pages write it.
 *
 * @param found with its unit
 * @param allowed with its words; empty text where nothing but odds decides
 * @param what was measured, where and when
 * @param outside whether it is outside what is allowed
 */
public record MeasureFigure(String found, String allowed, String what, boolean outside) {
    private static final int FIGURES = 3;

    static MeasureFigure of(Desk desk, String run, String method, Measure one) {
        return new MeasureFigure(
                found(one),
                allowed(one),
                what(desk, run, method, one),
                one.isOutside() || one.low().isEmpty() && one.high().isEmpty());
    }

    /** "124 %", "+4.8 s", "10⁶ : 1". */
    public static String found(Measure one) {
        if (isRatio(one)) {
            return Times.ratio(one.found()) + " : 1";
        }
        return number(one, one.found()) + unit(one);
    }

    /** "allowed 90 to 110 %". */
    public static String allowed(Measure one) {
        if (isRatio(one)) {
            return one.high().isPresent()
                    ? "told from " + Times.ratio(one.high().getAsDouble()) + " : 1"
                    : "";
        }
        if (one.low().isPresent() && one.high().isPresent()) {
            double low = one.low().getAsDouble();
            double high = one.high().getAsDouble();
            return Math.abs(low + high) <= 1e-9 * Math.abs(high)
                    ? "allowed ± " + plain(high) + unit(one)
                    : "allowed " + plain(low) + " to " + plain(high) + unit(one);
        }
        if (one.high().isPresent()) {
            return "allowed up to " + plain(one.high().getAsDouble()) + unit(one);
        }
        return one.low().isPresent() ? "allowed from " + plain(one.low().getAsDouble()) + unit(one) : "";
    }

    /** "Potassium in check solution CCV, position 158, 14:03". */
    public static String what(Desk desk, String run, String method, Measure one) {
        StringBuilder out = new StringBuilder(
                one.analyte().isEmpty() ? "" : Words.sentence(desk.analyteName(method, one.analyte())) + ", ");
        out.append(one.kind().phrase());
        if (!one.identity().isEmpty()) {
            out.append(' ').append(one.identity());
        }
        if (one.position() > 0) {
            out.append(", position ").append(one.position());
            at(desk, run, one.position()).ifPresent(at -> out.append(", ").append(at));
        }
        return Words.sentence(out.toString());
    }

    private static Optional<String> at(Desk desk, String run, int position) {
        return desk.run(run)
                .flatMap(known -> desk.positions(known).positions().stream()
                        .filter(place -> place.position() == position)
                        .findFirst()
                        .map(RunPositions.Position::at)
                        .map(at -> Words.time(at, desk.zone(), desk.day().date())));
    }

    private static String number(Measure one, double value) {
        boolean signed = one.low().isPresent()
                && one.high().isPresent()
                && one.low().getAsDouble() < 0
                && one.high().getAsDouble() > 0;
        return (signed && value > 0 ? "+" : "") + plain(value);
    }

    private static boolean isRatio(Measure one) {
        return one.kind() == Measure.Kind.LIKELIHOOD || one.kind() == Measure.Kind.ODDS;
    }

    private static String plain(double value) {
        // Three figures, and never so few that a limit and what passes it read alike.
        return Svg.grouped(
                Significant.text(value, Math.abs(value) >= 100 && Math.abs(value) < 1000 ? FIGURES + 1 : FIGURES));
    }

    private static String unit(Measure one) {
        return one.unit().isEmpty() ? "" : "\u00a0" + one.unit();
    }

    /** The verdict of a mark that stands for it: that of its cause where it is outside what is allowed. */
    static Verdict verdict(Measure one, Verdict ofCause) {
        return one.isOutside() ? ofCause : Verdict.FIT;
    }
}
