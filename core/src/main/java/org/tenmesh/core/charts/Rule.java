package org.tenmesh.core.charts;

/** A pattern of standardised values, oldest first, that calls for attention at its newest value. */
public sealed interface Rule {
    /** Its name in files and on pages: {@code 2 of 3 beyond 2s}. */
    String name();

    /** Whether the pattern ends at this value. */
    boolean endsAt(double[] z, int at);

    /**
     * At least {@code k} of the last {@code n} values lie between two bounds; the newest is one of them.
     *
     * @param from lower bound in standard deviations from the centre; may be minus infinity
     * @param to upper bound; may be infinity
     */
    record Zone(String name, int k, int n, double from, double to) implements Rule {
        public Zone {
            if (k < 1 || n < k || n > 30 || !(from < to)) {
                throw new IllegalArgumentException("a zone rule needs 1 <= k <= n <= 30 and from < to, found k " + k
                        + ", n " + n + ", from " + from + ", to " + to);
            }
        }

        boolean holds(double value) {
            return value > from && value < to;
        }

        @Override
        public boolean endsAt(double[] z, int at) {
            if (!holds(z[at])) {
                return false;
            }
            int inside = 0;
            for (int i = Math.max(0, at - n + 1); i <= at; i++) {
                inside += holds(z[i]) ? 1 : 0;
            }
            return inside >= k;
        }
    }

    /** The last {@code n} values all lie outside plus and minus {@code bound}, on either side. */
    record Outside(String name, int n, double bound) implements Rule {
        @Override
        public boolean endsAt(double[] z, int at) {
            for (int i = at - n + 1; i <= at; i++) {
                if (i < 0 || Math.abs(z[i]) <= bound) {
                    return false;
                }
            }
            return true;
        }
    }

    /** The last {@code n} values rise, or fall, steadily. */
    record Trend(String name, int n) implements Rule {
        @Override
        public boolean endsAt(double[] z, int at) {
            int rising = 1;
            int falling = 1;
            for (int i = at; i > 0 && (rising == at - i + 1 || falling == at - i + 1); i--) {
                rising += z[i] > z[i - 1] && rising == at - i + 1 ? 1 : 0;
                falling += z[i] < z[i - 1] && falling == at - i + 1 ? 1 : 0;
            }
            return Math.max(rising, falling) >= n;
        }
    }

    /** The last {@code n} values go up and down in turn. */
    record Alternating(String name, int n) implements Rule {
        @Override
        public boolean endsAt(double[] z, int at) {
            if (at < n - 1) {
                return false;
            }
            for (int i = at; i > at - n + 2; i--) {
                if (!((z[i] - z[i - 1]) * (z[i - 1] - z[i - 2]) < 0)) {
                    return false;
                }
            }
            return true;
        }
    }
}
