package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.web.Server;

/** A browser without a screen, of somebody who came in by a one-time link. */
final class SignedIn {
    private static final Pattern INPUT = Pattern.compile("(?s)<input\\b([^>]*)>");

    private final Server server;
    private final CookieManager cookies = new CookieManager();
    private final HttpClient http =
            HttpClient.newBuilder().cookieHandler(cookies).build();
    private final HttpClient following = HttpClient.newBuilder()
            .cookieHandler(cookies)
            .followRedirects(HttpClient.Redirect.NORMAL)
            .build();

    SignedIn(Server server, String name) throws Exception {
        this.server = server;
        URI link = server.oneTimeLink(name, Duration.ofMinutes(30));
        Matcher csrf = Pattern.compile("name=\"csrf\" value=\"([^\"]+)\"")
                .matcher(get(link.getPath()).body());
        assertThat(csrf.find()).isTrue();
        post(link.getPath(), Map.of("csrf", csrf.group(1)));
    }

    HttpResponse<String> get(String path) throws IOException, InterruptedException {
        return following.send(
                HttpRequest.newBuilder(server.address().resolve(path)).build(), HttpResponse.BodyHandlers.ofString());
    }

    HttpResponse<String> post(String path, Map<String, String> form) throws IOException, InterruptedException {
        StringBuilder body = new StringBuilder();
        form.forEach((name, value) -> body.append(body.isEmpty() ? "" : "&")
                .append(URLEncoder.encode(name, StandardCharsets.UTF_8))
                .append('=')
                .append(URLEncoder.encode(value, StandardCharsets.UTF_8)));
        return http.send(
                HttpRequest.newBuilder(server.address().resolve(path))
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .POST(HttpRequest.BodyPublishers.ofString(body.toString()))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    /** What the inputs of the form that is sent to this address say; at least the token that every page has. */
    Map<String, String> form(String page, String action) throws IOException, InterruptedException {
        String text = get(page).body();
        Matcher forms = Pattern.compile("(?s)<form\\b([^>]*)>(.*?)</form>").matcher(text);
        Map<String, String> fields = new LinkedHashMap<>();
        while (forms.find()) {
            boolean wanted = forms.group(1).contains("action=\"" + action + "\"");
            Matcher input = INPUT.matcher(forms.group(2));
            while (input.find()) {
                String name = attribute(input.group(1), "name");
                if (wanted || name.equals("csrf")) {
                    fields.putIfAbsent(name, attribute(input.group(1), "value"));
                }
            }
            if (wanted) {
                break;
            }
        }
        return fields;
    }

    static String attribute(String tag, String name) {
        Matcher found = Pattern.compile("\\b" + name + "=\"([^\"]*)\"").matcher(tag);
        return found.find()
                ? found.group(1).replace("&amp;", "&").replace("&#34;", "\"").replace("&#39;", "'")
                : "";
    }
}
