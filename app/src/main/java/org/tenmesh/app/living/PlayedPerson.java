package org.tenmesh.app.living;

import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.StringJoiner;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Somebody of the invented laboratory, who uses the pages as anybody does: signs in, fills in forms, presses buttons. Knows nothing
 * that the pages do not show to this person's role.
 */
public final class PlayedPerson {
    private static final Pattern FORM =
            Pattern.compile("<form\\b([^>]*\\bmethod=\"post\"[^>]*)>(.*?)</form>", Pattern.DOTALL);
    private static final Pattern FIELD = Pattern.compile("<(?:input|textarea|button)\\b([^>]*)>", Pattern.DOTALL);
    private static final Pattern ATTRIBUTE = Pattern.compile("\\b([a-z-]+)(?:=\"([^\"]*)\")?");
    private static final Pattern ALERT = Pattern.compile("role=\"alert\"[^>]*>(.*?)</p>", Pattern.DOTALL);
    private static final Pattern LEAD = Pattern.compile("<p class=\"lead\">(.*?)</p>", Pattern.DOTALL);
    private static final Pattern HEADING = Pattern.compile("<h1[^>]*>(.*?)</h1>", Pattern.DOTALL);
    private static final String BOUNDARY = "----------------------tenmesh-played-person";
    private static final Duration ANSWERS_WITHIN = Duration.ofSeconds(30);

    private final String name;
    private final URI pages;
    private final CookieManager cookies = new CookieManager();

    /** @param pages where the pages are, such as {@code http://127.0.0.1:8484/} */
    public PlayedPerson(String name, URI pages) {
        this.name = name;
        this.pages = pages;
    }

    /** A page as it came. */
    public record Shown(int status, String path, String html) {
        /** Its forms that change something. */
        public List<Form> forms() {
            List<Form> forms = new ArrayList<>();
            Matcher found = FORM.matcher(html);
            while (found.find()) {
                Map<String, String> fields = new LinkedHashMap<>();
                Map<String, String> ticks = new LinkedHashMap<>();
                Matcher field = FIELD.matcher(found.group(2));
                while (field.find()) {
                    Map<String, String> says = attributes(field.group(1));
                    String its = says.getOrDefault("name", "");
                    String kind = says.getOrDefault("type", "");
                    if (kind.equals("checkbox")) {
                        ticks.put(its, says.getOrDefault("value", "on"));
                    } else if (kind.equals("radio") && !says.containsKey("checked")) {
                        continue;
                    } else if (!its.isEmpty() && !kind.equals("submit")) {
                        fields.put(its, says.getOrDefault("value", ""));
                    }
                }
                forms.add(new Form(attributes(found.group(1)).getOrDefault("action", path), fields, ticks));
            }
            return forms;
        }

        /** The first form that is sent to this path. */
        public Optional<Form> form(String action) {
            return forms().stream().filter(form -> form.action().equals(action)).findFirst();
        }

        /** The first form that is sent to this path and says this already. */
        public Optional<Form> form(String action, String field, String value) {
            return forms().stream()
                    .filter(form -> form.action().equals(action)
                            && value.equals(form.fields().get(field)))
                    .findFirst();
        }

        /** What the page says in a red notice, else its heading and what stands below it; tags left out. */
        String says() {
            return first(ALERT)
                    .or(() -> first(HEADING)
                            .map(heading -> first(LEAD)
                                    .map(lead -> heading + ": " + lead)
                                    .orElse(heading)))
                    .or(() -> first(LEAD))
                    .orElse("");
        }

        private Optional<String> first(Pattern part) {
            Matcher found = part.matcher(html);
            return found.find()
                    ? Optional.of(
                            plain(found.group(1).replaceAll("<[^>]*>", "")).strip())
                    : Optional.empty();
        }
    }

    /**
     * A form as it stands on the page.
     *
     * @param fields names and what is filled in already
     * @param ticks boxes that may be ticked
     */
    public record Form(String action, Map<String, String> fields, Map<String, String> ticks) {
        public Form {
            fields = new LinkedHashMap<>(fields);
            ticks = new LinkedHashMap<>(ticks);
        }

        /** The same form with a field filled in. */
        public Form with(String field, String value) {
            Form filled = new Form(action, fields, ticks);
            filled.fields.put(field, value);
            return filled;
        }

        /** The same form with a box ticked. */
        public Form ticked(String box) {
            return with(box, ticks.getOrDefault(box, "on"));
        }
    }

    public String name() {
        return name;
    }

    /** Signs in with a password. */
    public void signIn(String password) throws IOException, InterruptedException {
        Form form = open("/sign-in")
                .form("/sign-in")
                .orElseThrow(() -> new IOException("the page to sign in has no form to do so"));
        Shown home = send(form.with("name", name).with("password", password));
        if (home.status() != 200 || home.form("/sign-in").isPresent()) {
            throw new IOException(name + " could not sign in: status " + home.status());
        }
    }

    /** Signs in with a badge and its PIN; a badge that is new gets this PIN first. */
    public void signInByBadge(String code, String pin) throws IOException, InterruptedException {
        Shown asks = sent(needed(open("/badge"), "/badge").with("code", code));
        Form form = needed(asks, "/badge").with("pin", pin);
        Shown home = sent(form.fields().containsKey("again") ? form.with("again", pin) : form);
        if (home.form("/badge").isPresent()) {
            throw new IOException(name + " could not sign in by badge: " + home.says());
        }
    }

    private static Form needed(Shown shown, String action) throws IOException {
        return shown.form(action)
                .orElseThrow(() -> new IOException("page " + shown.path() + " has no form for " + action));
    }

    public Shown open(String path) throws IOException, InterruptedException {
        return shown(request(path).GET().build());
    }

    public Shown send(Form form) throws IOException, InterruptedException {
        StringJoiner body = new StringJoiner("&");
        form.fields().forEach((field, value) -> body.add(encoded(field) + "=" + encoded(value)));
        return shown(request(form.action())
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body.toString()))
                .build());
    }

    /**
     * Sends a form that is expected to be taken.
     *
     * @throws IOException with what the page said when it was refused
     */
    public Shown sent(Form form) throws IOException, InterruptedException {
        return taken(form, send(form));
    }

    /** Sends a form with one file, as a browser does (multipart/form-data, RFC 7578). */
    public Shown drop(Form form, String field, String fileName, String content)
            throws IOException, InterruptedException {
        StringBuilder body = new StringBuilder();
        form.fields().forEach((its, value) -> {
            if (!its.equals(field)) {
                body.append("--" + BOUNDARY + "\r\nContent-Disposition: form-data; name=\"" + its + "\"\r\n\r\n" + value
                        + "\r\n");
            }
        });
        body.append("--" + BOUNDARY + "\r\nContent-Disposition: form-data; name=\"" + field + "\"; filename=\""
                + fileName + "\"\r\nContent-Type: text/csv\r\n\r\n" + content + "\r\n--" + BOUNDARY + "--\r\n");
        return taken(
                form,
                shown(request(form.action())
                        .header("Content-Type", "multipart/form-data; boundary=" + BOUNDARY)
                        .POST(HttpRequest.BodyPublishers.ofString(body.toString()))
                        .build()));
    }

    private Shown taken(Form form, Shown shown) throws IOException {
        if (shown.status() >= 400) {
            throw new IOException(
                    name + " was refused at " + form.action() + " (" + shown.status() + "): " + shown.says());
        }
        return shown;
    }

    private HttpRequest.Builder request(String path) {
        return HttpRequest.newBuilder(pages.resolve(path)).timeout(ANSWERS_WITHIN);
    }

    private Shown shown(HttpRequest request) throws IOException, InterruptedException {
        // A connection of its own each time: one that was kept for minutes may be gone.
        HttpClient client = HttpClient.newBuilder()
                .cookieHandler(cookies)
                .followRedirects(HttpClient.Redirect.NORMAL)
                .build();
        HttpResponse<String> answer = client.send(request, HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
        return new Shown(answer.statusCode(), answer.uri().getRawPath(), answer.body());
    }

    private static String encoded(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }

    private static Map<String, String> attributes(String tag) {
        Map<String, String> attributes = new LinkedHashMap<>();
        Matcher found = ATTRIBUTE.matcher(tag);
        while (found.find()) {
            attributes.put(found.group(1), plain(found.group(2) == null ? "" : found.group(2)));
        }
        return attributes;
    }

    // What the templates escape in an attribute.
    private static String plain(String escaped) {
        return escaped.replace("&#34;", "\"")
                .replace("&quot;", "\"")
                .replace("&#39;", "'")
                .replace("&lt;", "<")
                .replace("&gt;", ">")
                .replace("&amp;", "&");
    }
}
