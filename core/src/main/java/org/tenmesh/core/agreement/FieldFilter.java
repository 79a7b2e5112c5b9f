package org.tenmesh.core.agreement;

/**
 * The filter along one client's sheet, in one coordinate: a constant of the client, plus a first-order autoregression from field to field,
 * plus the soil's own part of variance 1 (Harvey 1989, Forecasting, Structural Time Series Models and the Kalman Filter, chapter 3).
 *
 * <p>A state is five numbers from an index on: the client's constant, the field's part, the variance of each, and their covariance.
 */
final class FieldFilter {
    static final int CLIENT = 0;
    static final int FIELD = 1;
    static final int CLIENT_VARIANCE = 2;
    static final int FIELD_VARIANCE = 3;
    static final int COVARIANCE = 4;
    static final int SIZE = 5;

    private FieldFilter() {}

    /**
     * Before the first soil of a client.
     *
     * @param share of the signal that is the client's for good
     * @param signal variance of client and field together
     */
    static void start(double[] state, int at, double share, double signal) {
        state[at + CLIENT] = 0;
        state[at + FIELD] = 0;
        state[at + CLIENT_VARIANCE] = share * signal;
        state[at + FIELD_VARIANCE] = (1 - share) * signal;
        state[at + COVARIANCE] = 0;
    }

    /** One place along the sheet: the field's part fades towards nothing, and its variance towards that of any field. */
    static void fade(double[] state, int at, double fade, double share, double signal) {
        double remain = fade * fade;
        state[at + FIELD] *= fade;
        state[at + FIELD_VARIANCE] = remain * state[at + FIELD_VARIANCE] + (1 - remain) * (1 - share) * signal;
        state[at + COVARIANCE] *= fade;
    }

    /** Covariance of an observation with the client's constant. */
    static double toClient(double[] state, int at) {
        return state[at + CLIENT_VARIANCE] + state[at + COVARIANCE];
    }

    /** Covariance of an observation with the field's part. */
    static double toField(double[] state, int at) {
        return state[at + COVARIANCE] + state[at + FIELD_VARIANCE];
    }

    /** What an observation of a variance leaves of the variances. */
    static void narrow(double[] state, int at, double total) {
        double toClient = toClient(state, at);
        double toField = toField(state, at);
        double gainClient = toClient / total;
        double gainField = toField / total;
        state[at + CLIENT_VARIANCE] -= gainClient * toClient;
        state[at + COVARIANCE] -= gainClient * toField;
        state[at + FIELD_VARIANCE] -= gainField * toField;
    }

    /** Learns from an innovation, of which the state's part is {@code total} less the soil's own. */
    static void learn(double[] state, int at, double innovation, double total) {
        state[at + CLIENT] += toClient(state, at) / total * innovation;
        state[at + FIELD] += toField(state, at) / total * innovation;
        narrow(state, at, total);
    }
}
