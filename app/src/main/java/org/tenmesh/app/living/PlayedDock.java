package org.tenmesh.app.living;

import java.io.IOException;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The person at the dock: takes a worksheet, counts the bags of its box, settles what is not as the sheet says, books in, fills a rack. */
final class PlayedDock {
    private static final Pattern LINE = Pattern.compile("href=\"(/dock/([^\"/?#]+))\"");
    private static final String CLIENT = "Skylark Rise Farm (invented)";
    private static final List<String> LABELS = List.of("Far field", "Beacon", "Long strip", "Mill end", "Dell", "Gate");
    private static final String ACT = "/dock/act";

    private final PlayedPerson person;
    private final String password;
    private String submission = "";
    private boolean signedIn;

    PlayedDock(PlayedPerson person, String password) {
        this.person = person;
        this.password = password;
    }

    private PlayedPerson.Shown open(String path) throws IOException, InterruptedException {
        if (!signedIn) {
            person.signIn(password);
            signedIn = true;
        }
        return person.open(path);
    }

    /** A client's worksheet came by mail and is dropped on the page. */
    void sheet() throws IOException, InterruptedException {
        StringBuilder sheet = new StringBuilder("Client,\"" + CLIENT + "\"\nCountry,IE\nNo,Sample\n");
        for (int i = 0; i < LABELS.size(); i++) {
            sheet.append(i + 1).append(",\"").append(LABELS.get(i)).append("\"\n");
        }
        PlayedPerson.Shown taken =
                person.drop(needed(open("/intake"), "/intake/take"), "sheet", "skylark-rise.csv", sheet.toString());
        submission = taken.path().substring(taken.path().lastIndexOf('/') + 1);
    }

    /** The box came: it is noted, and every bag is scanned but the last. */
    void box() throws IOException, InterruptedException {
        PlayedPerson.Shown shown = person.sent(needed(open("/dock/" + submission), ACT, "what", "box")
                .with("about", "BX-1043")
                .with("says", "sound")
                .with("number", "0"));
        for (String label : LABELS.subList(0, LABELS.size() - 1)) {
            shown = person.sent(needed(shown, "/dock/scan").with("bag", label));
        }
    }

    /** The last bag lay under the others: it is scanned, all are counted, and the submission is booked in. */
    void bookIn() throws IOException, InterruptedException {
        PlayedPerson.Shown shown = person.sent(
                needed(open("/dock/" + submission), "/dock/scan").with("bag", LABELS.get(LABELS.size() - 1)));
        shown = person.sent(needed(shown, ACT, "what", "counted").with("number", String.valueOf(LABELS.size())));
        person.sent(needed(shown, ACT, "what", "booked"));
    }

    /** The first submission with an open exception that its client was asked about: the answer is kept, and decided. */
    void settle() throws IOException, InterruptedException {
        Matcher line = LINE.matcher(open("/dock").html());
        while (line.find()) {
            PlayedPerson.Shown shown = open(line.group(1));
            if (shown.form(ACT, "what", "decided").isEmpty() || !shown.html().contains("value=\"answered\"")) {
                continue;
            }
            String about = needed(shown, ACT, "what", "decided").fields().getOrDefault("about", "");
            PlayedPerson.Form answer = shown.forms().stream()
                    .filter(form -> form.action().equals(ACT)
                            && about.equals(form.fields().get("about"))
                            && !form.fields().containsKey("what"))
                    .findFirst()
                    .orElseThrow(() -> new IOException("no answer can be kept of " + about));
            shown = person.sent(answer.with("what", "answered").with("reason", "the bag was never filled (invented)"));
            shown = person.sent(needed(shown, ACT, "what", "decided")
                    .with("says", "without")
                    .with("reason", "the client leaves it out"));
            person.sent(needed(shown, ACT, "what", "booked"));
            return;
        }
    }

    /** Bags of what was booked in are laid on a rack. */
    void load(String rack) throws IOException, InterruptedException {
        person.sent(needed(open("/dock/" + submission), "/dock/rack").with("rack", rack));
    }

    private static PlayedPerson.Form needed(PlayedPerson.Shown shown, String action) throws IOException {
        return shown.form(action)
                .orElseThrow(() -> new IOException("page " + shown.path() + " has no form for " + action));
    }

    private static PlayedPerson.Form needed(PlayedPerson.Shown shown, String action, String field, String value)
            throws IOException {
        return shown.form(action, field, value)
                .orElseThrow(() -> new IOException(
                        "page " + shown.path() + " has no form for " + action + " with " + field + " " + value));
    }
}
