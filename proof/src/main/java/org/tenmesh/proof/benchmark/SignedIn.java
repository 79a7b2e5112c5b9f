package org.tenmesh.proof.benchmark;

import java.io.IOException;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.web.Server;

/** A person who signed in by a one-time link and asks for pages as a browser does. */
final class SignedIn {
    private static final Pattern FIELD = Pattern.compile("name=\"(\\w+)\" value=\"([^\"]*)\"");
    private static final Pattern STYLES = Pattern.compile("/assets/tenmesh-\\w+\\.css");

    private final URI home;
    private final HttpClient client = HttpClient.newBuilder()
            .cookieHandler(new CookieManager())
            .followRedirects(HttpClient.Redirect.NORMAL)
            .build();
    private final String styles;

    /** @throws IllegalStateException when the first page is not one of somebody who is signed in */
    private SignedIn(URI home, URI link) throws IOException, InterruptedException {
        this.home = home;
        String page = client.send(HttpRequest.newBuilder(link).build(), HttpResponse.BodyHandlers.ofString())
                .body();
        String form = page.substring(page.indexOf("<main"));
        StringBuilder fields = new StringBuilder();
        Matcher field = FIELD.matcher(form);
        while (field.find()) {
            fields.append(field.group(1))
                    .append('=')
                    .append(URLEncoder.encode(field.group(2), StandardCharsets.UTF_8))
                    .append('&');
        }
        HttpResponse<String> first = client.send(
                HttpRequest.newBuilder(link)
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .POST(HttpRequest.BodyPublishers.ofString(fields.toString()))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
        Matcher found = STYLES.matcher(first.body());
        if (first.statusCode() != 200 || !first.body().contains("action=\"/sign-out\"") || !found.find()) {
            throw new IllegalStateException("signing in gave " + first.statusCode() + " at " + first.uri());
        }
        styles = found.group();
    }

    static SignedIn of(Server server, String name) throws IOException, InterruptedException {
        return new SignedIn(server.address(), server.oneTimeLink(name, Duration.ofMinutes(10)));
    }

    /** The address of the style sheet. */
    String styles() {
        return styles;
    }

    CompletableFuture<HttpResponse<byte[]>> ask(String address) {
        return client.sendAsync(
                HttpRequest.newBuilder(home.resolve(address)).build(), HttpResponse.BodyHandlers.ofByteArray());
    }
}
