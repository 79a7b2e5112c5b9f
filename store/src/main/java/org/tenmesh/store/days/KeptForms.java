package org.tenmesh.store.days;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.store.rows.Json;

/** Forms of reports as a JSON object of texts, paper and layout with a blank between, and back; the empty name stands for every other client. */
final class KeptForms {
    private static final String USUAL = "";

    private KeptForms() {}

    static String json(ReportForms forms) {
        Map<String, ReportForm> all = new TreeMap<>(forms.ofClients());
        if (!forms.usual().equals(ReportForm.defaults())) {
            all.put(USUAL, forms.usual());
        }
        Map<String, String> words = new TreeMap<>();
        all.forEach((client, form) ->
                words.put(client, form.paper().word() + " " + form.layout().word()));
        return Json.object(words);
    }

    /**
     * @param names in the order of {@code forms}
     * @throws IllegalArgumentException when a paper or layout is not known
     */
    static ReportForms of(List<String> names, List<String> forms) {
        Map<String, ReportForm> all = new HashMap<>();
        for (int i = 0; i < names.size(); i++) {
            String[] words = forms.get(i).split(" ", 2);
            ReportForm form = words.length < 2
                    ? unknown(forms.get(i))
                    : new ReportForm(
                            ReportForm.Paper.of(words[0])
                                    .orElseGet(() -> unknown(words[0]).paper()),
                            ReportForm.Layout.of(words[1])
                                    .orElseGet(() -> unknown(words[1]).layout()));
            all.put(names.get(i), form);
        }
        ReportForm usual = all.remove(USUAL);
        return new ReportForms(usual == null ? ReportForm.defaults() : usual, all);
    }

    private static ReportForm unknown(String text) {
        throw new IllegalArgumentException("no form of a report is called \"" + text + "\"");
    }
}
