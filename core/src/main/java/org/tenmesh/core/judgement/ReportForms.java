package org.tenmesh.core.judgement;

import java.util.Map;

/**
 * Which form a client's report has before anybody chooses another when signing.
 *
 * @param usual for every client who is not named
 * @param ofClients by the client's name as on the worksheet
 */
public record ReportForms(ReportForm usual, Map<String, ReportForm> ofClients) {
    public ReportForms {
        ofClients = Map.copyOf(ofClients);
    }

    /** One table on A4 for everybody. */
    public static ReportForms defaults() {
        return new ReportForms(ReportForm.defaults(), Map.of());
    }

    public ReportForm of(String client) {
        return ofClients.getOrDefault(client, usual);
    }
}
