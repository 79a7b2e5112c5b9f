package org.tenmesh.app.check;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleSupplier;
import java.util.function.Supplier;

/** Collects checks as they are made. A check whose computation breaks is a failed check, not the end of the others. */
final class Sheet {
    private final List<Check> checks = new ArrayList<>();

    /** A check still without its question: where its expected value comes from. */
    final class From {
        private final String area;
        private final Work work;
        private final String place;
        private final Standing standing;

        private From(String area, Work work, String place, Standing standing) {
            this.area = area;
            this.work = work;
            this.place = place;
            this.standing = standing;
        }

        /** Holds a number against a printed one. */
        void number(String id, String question, String printed, Tolerance tolerance, DoubleSupplier got) {
            try {
                double value = got.getAsDouble();
                boolean passed = tolerance.holds(Double.parseDouble(printed), value);
                add(id, question, printed, shown(value, printed), tolerance.reason(), passed);
            } catch (RuntimeException broken) {
                add(id, question, printed, "no number: " + broken, tolerance.reason(), false);
            }
        }

        /** Holds a word against a printed one. */
        void word(String id, String question, String printed, Supplier<String> got) {
            try {
                String value = got.get();
                add(id, question, printed, value, "as printed", value.equals(printed));
            } catch (RuntimeException broken) {
                add(id, question, printed, "nothing: " + broken, "as printed", false);
            }
        }

        private void add(String id, String question, String expected, String got, String tolerance, boolean passed) {
            checks.add(new Check(id, area, work, place, standing, question, expected, got, tolerance, passed));
        }
    }

    From from(String area, Work work, String place, Standing standing) {
        return new From(area, work, place, standing);
    }

    From read(String area, Work work, String place) {
        return from(area, work, place, Standing.READ);
    }

    List<Check> checks() {
        return List.copyOf(checks);
    }

    // Three digits more than printed: enough to see how near it lies.
    private static String shown(double value, String printed) {
        if (!Double.isFinite(value)) {
            return Double.toString(value);
        }
        int digits = Math.min(16, new BigDecimal(printed).precision() + 3);
        BigDecimal rounded =
                new BigDecimal(value).round(new MathContext(digits)).stripTrailingZeros();
        double size = Math.abs(value);
        return size != 0 && (size < 1e-5 || size >= 1e15) ? rounded.toString() : rounded.toPlainString();
    }
}
