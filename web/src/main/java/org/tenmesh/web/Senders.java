package org.tenmesh.web;

import io.javalin.http.Context;
import java.net.URI;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** Whether a form can come from a page of this server, by what the browser itself says beside the form's own token. */
final class Senders {
    private Senders() {}

    /**
     * Whether a browser says that a page of another site sent this. {@code Sec-Fetch-Site} (W3C Fetch Metadata Request Headers) is believed where it
     * comes, which is over https and on the machine itself; else {@code Origin} (RFC 6454) must name the host that was asked. A program that
     * is no browser sends neither and still needs the token.
     */
    static boolean isElsewhere(Context ctx) {
        String site = text(ctx.header("Sec-Fetch-Site"));
        if (!site.isEmpty()) {
            return !site.equals("same-origin") && !site.equals("none");
        }
        String origin = text(ctx.header("Origin"));
        return !origin.isEmpty() && !host(origin).equals(plain(text(ctx.host())));
    }

    private static String host(String origin) {
        try {
            String authority = URI.create(origin).getAuthority();
            return authority == null ? "" : plain(authority);
        } catch (IllegalArgumentException wrong) {
            return "";
        }
    }

    private static String plain(String host) {
        return host.toLowerCase(Locale.ROOT).replaceAll(":(80|443)$", "");
    }

    private static String text(@Nullable String text) {
        return text == null ? "" : text;
    }
}
