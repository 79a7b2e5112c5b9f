package org.tenmesh.core.quantity;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.OptionalDouble;

/**
 * An amount and its expanded uncertainty as they are stated together, on reports, pages and explanations alike.
 *
 * <p>The uncertainty has at most two significant digits and no more decimals than the amount; the number is rounded to the last
 * place of its uncertainty (JCGM 100:2008, 7.2.6, read in a secondary copy: it usually suffices to quote an uncertainty to at most two significant digits, and
 * estimates are rounded to be consistent with their uncertainties; the same in NIST, Good Laboratory Practice GLP 9, 2019). 1434.2 with 126 is 1430 ± 130; 1.13 with 0.097, reported to one decimal, is 1.1 ± 0.1. An
 * uncertainty that would round to 0 is stated as one unit of the last place: rounding up understates nothing.
 *
 * @param text the amount; empty when there is nothing to report
 * @param uncertainty without "±"; empty when none is stated
 * @param known whether there is one, and why not
 */
public record Stated(String text, String uncertainty, Uncertainty known) {
    private static final MathContext TWO_DIGITS = new MathContext(2, RoundingMode.HALF_UP);

    /**
     * As stated.
     *
     * @param rounding of the amount
     * @param expanded expanded uncertainty in the unit of the amount; empty when none can be stated
     */
    public static Stated of(Amount amount, Rounding rounding, OptionalDouble expanded) {
        Uncertainty known = Uncertainty.of(amount, expanded);
        if (!(amount instanceof Amount.Measured measured) || !(known instanceof Uncertainty.Expanded its)) {
            return new Stated(rounding.text(amount), "", known);
        }
        BigDecimal rounded = BigDecimal.valueOf(its.value()).round(TWO_DIGITS);
        int places = Math.min(rounding.decimals(), rounded.scale());
        BigDecimal uncertainty = rounded.setScale(places, RoundingMode.HALF_UP);
        if (uncertainty.signum() == 0) {
            uncertainty = BigDecimal.ONE.movePointLeft(places).setScale(places, RoundingMode.UNNECESSARY);
        }
        String text = places >= 0
                ? new Rounding(places).text(measured.value())
                : whole(BigDecimal.valueOf(measured.value()).setScale(places, RoundingMode.HALF_UP));
        return new Stated(text, uncertainty.toPlainString(), known);
    }

    /** The text alone, as {@link #of} gives it; a day asks for it for every result. */
    public static String text(Amount amount, Rounding rounding, OptionalDouble expanded) {
        return amount instanceof Amount.Measured measured
                        && expanded.isPresent()
                        && rounding.isCoarserThan(expanded.getAsDouble())
                ? rounding.text(measured.value())
                : of(amount, rounding, expanded).text();
    }

    private static String whole(BigDecimal rounded) {
        return rounded.signum() == 0 ? "0" : rounded.toPlainString();
    }

    /** The uncertainty for a sentence: "± 0.1 %", or that it is not stated; empty when there is no number. */
    public String sentence(Unit unit) {
        if (known instanceof Uncertainty.NotStated) {
            return Uncertainty.NOT_STATED;
        }
        return uncertainty.isEmpty()
                ? ""
                : "± " + uncertainty + (unit.spelling().isEmpty() ? "" : " " + unit.spelling());
    }
}
