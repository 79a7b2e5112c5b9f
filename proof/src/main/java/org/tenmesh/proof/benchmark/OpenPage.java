package org.tenmesh.proof.benchmark;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.function.BiConsumer;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A page that somebody has open: signed in, and listening for what the server tells it, as a browser does. */
final class OpenPage {
    private static final Pattern FIELD = Pattern.compile("name=\"(\\w+)\" value=\"([^\"]*)\"");

    private final HttpClient client =
            HttpClient.newBuilder().cookieHandler(new CookieManager()).build();
    private final URI home;

    /** @param link that signs in once */
    OpenPage(URI home, URI link) throws IOException, InterruptedException {
        this.home = home;
        String page = client.send(HttpRequest.newBuilder(link).build(), HttpResponse.BodyHandlers.ofString())
                .body();
        StringBuilder fields = new StringBuilder();
        Matcher field = FIELD.matcher(page.substring(page.indexOf("<main")));
        while (field.find()) {
            fields.append(field.group(1))
                    .append('=')
                    .append(URLEncoder.encode(field.group(2), StandardCharsets.UTF_8))
                    .append('&');
        }
        client.send(
                HttpRequest.newBuilder(link)
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .POST(HttpRequest.BodyPublishers.ofString(fields.toString()))
                        .build(),
                HttpResponse.BodyHandlers.discarding());
    }

    HttpClient client() {
        return client;
    }

    /**
     * Listens on a thread of its own until the server goes.
     *
     * @param told the event, empty text for one without a name, and what it says
     */
    void listen(BiConsumer<String, String> told) throws IOException, InterruptedException {
        HttpResponse<InputStream> events = client.send(
                HttpRequest.newBuilder(home.resolve("/live"))
                        .header("Accept", "text/event-stream")
                        .build(),
                HttpResponse.BodyHandlers.ofInputStream());
        Thread reader = new Thread(() -> read(events.body(), told), "open-page");
        reader.setDaemon(true);
        reader.start();
    }

    private static void read(InputStream events, BiConsumer<String, String> told) {
        String event = "";
        try (BufferedReader lines = new BufferedReader(new InputStreamReader(events, StandardCharsets.UTF_8))) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                if (line.startsWith("event:")) {
                    event = line.substring(6).strip();
                } else if (line.startsWith("data:")) {
                    told.accept(
                            event.equals("message") ? "" : event,
                            line.substring(5).strip());
                } else if (line.isEmpty()) {
                    event = "";
                }
            }
        } catch (IOException e) {
            told.accept("gone", String.valueOf(e.getMessage()));
        }
    }
}
