package org.tenmesh.web;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.CookieManager;
import java.net.CookiePolicy;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.stream.Collectors;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;

/**
 * A browser without a screen: keeps cookies, follows no redirect by itself but the one from an address without a day to the one that
 * stays, sends forms with their token.
 */
final class Browser {
    private final URI home;
    private final HttpClient client = HttpClient.newBuilder()
            .cookieHandler(new CookieManager(null, CookiePolicy.ACCEPT_ALL))
            .followRedirects(HttpClient.Redirect.NEVER)
            .build();

    Browser(URI home) {
        this.home = home;
    }

    HttpResponse<byte[]> get(String path) {
        HttpResponse<byte[]> answer =
                send(HttpRequest.newBuilder(home.resolve(path)).GET().build());
        String to = answer.headers().firstValue("Location").orElse("");
        return answer.statusCode() == 303 && to.startsWith("/days/") && !path.startsWith("/days/") ? get(to) : answer;
    }

    HttpResponse<byte[]> post(String path, Map<String, String> form) {
        String body = form.entrySet().stream()
                .map(e -> encode(e.getKey()) + "=" + encode(e.getValue()))
                .collect(Collectors.joining("&"));
        return send(HttpRequest.newBuilder(home.resolve(path))
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(body))
                .build());
    }

    /** Sends a form with the token that the page at {@code from} carries. */
    HttpResponse<byte[]> submit(String from, String path, Map<String, String> form) {
        Map<String, String> whole = new java.util.HashMap<>(form);
        whole.put("csrf", page(from).expectFirst("input[name=csrf]").val());
        return post(path, whole);
    }

    /** Sends a form with one file, as a browser does: multipart/form-data after RFC 7578. */
    HttpResponse<byte[]> drop(
            String from, String path, Map<String, String> form, String field, String fileName, String content) {
        Map<String, String> whole = new java.util.HashMap<>(form);
        whole.put("csrf", page(from).expectFirst("input[name=csrf]").val());
        String boundary = "----a-boundary-of-the-test";
        StringBuilder body = new StringBuilder();
        whole.forEach((name, value) -> body.append("--" + boundary + "\r\nContent-Disposition: form-data; name=\""
                + name + "\"\r\n\r\n" + value + "\r\n"));
        body.append("--" + boundary + "\r\nContent-Disposition: form-data; name=\"" + field + "\"; filename=\""
                + fileName.replace("\\", "\\\\") + "\"\r\nContent-Type: text/csv\r\n\r\n" + content + "\r\n--"
                + boundary + "--\r\n");
        return send(HttpRequest.newBuilder(home.resolve(path))
                .header("Content-Type", "multipart/form-data; boundary=" + boundary)
                .POST(HttpRequest.BodyPublishers.ofString(body.toString()))
                .build());
    }

    Document page(String path) {
        return Jsoup.parse(text(get(path)), home.toString());
    }

    static String text(HttpResponse<byte[]> answer) {
        return new String(answer.body(), StandardCharsets.UTF_8);
    }

    /** Listens at {@code path}: every line the server sends, as it comes. */
    BlockingQueue<String> listen(String path) {
        BlockingQueue<String> lines = new LinkedBlockingQueue<>();
        HttpRequest request = HttpRequest.newBuilder(home.resolve(path))
                .header("Accept", "text/event-stream")
                .build();
        var unused = client.sendAsync(request, HttpResponse.BodyHandlers.ofLines())
                .thenAccept(answer -> answer.body().forEach(lines::add));
        return lines;
    }

    /** Signs in by password. */
    Browser signedIn(String name, String password) {
        HttpResponse<byte[]> answer = submit("/sign-in", "/sign-in", Map.of("name", name, "password", password));
        if (answer.statusCode() != 303) {
            throw new IllegalStateException("sign-in as " + name + " answered " + answer.statusCode());
        }
        return this;
    }

    HttpResponse<byte[]> send(HttpRequest request) {
        try {
            return client.send(request, HttpResponse.BodyHandlers.ofByteArray());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    private static String encode(String text) {
        return URLEncoder.encode(text, StandardCharsets.UTF_8);
    }
}
