package org.tenmesh.proof.power;

import java.util.Locale;

/** So many of so many, with the 95 % interval of Wilson (1927, J. Am. Stat. Assoc. 22:209). */
record Rate(int count, int of) {
    private static final double Z = 1.959964;

    Rate {
        if (count < 0 || count > of) {
            throw new IllegalArgumentException("found " + count + " of " + of);
        }
    }

    double share() {
        return of == 0 ? Double.NaN : (double) count / of;
    }

    double low() {
        return of == 0 ? 0 : Math.max(0, centre() - half());
    }

    double high() {
        return of == 0 ? 1 : Math.min(1, centre() + half());
    }

    private double centre() {
        return (share() + Z * Z / (2 * of)) / (1 + Z * Z / of);
    }

    private double half() {
        double p = share();
        return Z * Math.sqrt(p * (1 - p) / of + Z * Z / (4.0 * of * of)) / (1 + Z * Z / of);
    }

    /** "97.5 % (94.3 to 98.9)". */
    String text() {
        return of == 0
                ? "none"
                : String.format(Locale.ROOT, "%.1f %% (%.1f to %.1f)", 100 * share(), 100 * low(), 100 * high());
    }
}
