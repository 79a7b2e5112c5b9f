package org.tenmesh.web.programs;

import io.javalin.http.Context;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Semaphore;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.http.PageContext;

/**
 * The way in for other programs, over HTTP under {@link #HOME}: who shows a token, what it may do, how large and how many. What is asked for is
 * answered by {@link Submitted} and {@link Followed}. May be used by several threads.
 */
public final class Interface {
    /** Where it begins. A change that would break a program that uses it begins elsewhere. */
    public static final String HOME = "/interface/v1";

    /** Largest body, bytes: some 5,000 soils with long labels. */
    static final int MOST_BYTES = 1_000_000;

    private static final Logger LOG = LoggerFactory.getLogger(Interface.class);
    /** Requests of one program at once. */
    private static final int AT_ONCE = 4;

    private static final int BODY_WITHIN_S = 30;
    private static final String RETRY_S = "5";
    private static final String BEARER = "Bearer ";

    private final PageContext context;
    private final List<Endpoint> endpoints;
    private final Map<String, Semaphore> busy = new ConcurrentHashMap<>();

    public Interface(PageContext context) {
        this.context = context;
        this.endpoints = List.of(
                Description.endpoint(),
                Submitted.register(context),
                Submitted.list(context),
                Submitted.one(context),
                Submitted.results(context),
                Followed.changes(context));
    }

    /** Its route table. */
    public List<Endpoint> endpoints() {
        return endpoints;
    }

    /** Whether a request is for this interface, whatever it asks for. */
    public static boolean isItsPath(String path) {
        return path.equals("/interface") || path.startsWith("/interface/");
    }

    /** Answers one request. */
    public void answer(Context ctx, Endpoint endpoint) {
        Optional<ProgramToken> token = Optional.empty();
        if (endpoint.scope().isPresent()) {
            token = token(ctx);
            if (token.isEmpty()) {
                LOG.warn(
                        "refused: {} {} from {}: no token that opens anything",
                        ctx.method(),
                        endpoint.path(),
                        ctx.ip());
                send(
                        ctx,
                        Problems.NOT_LET_IN
                                .reply(
                                        "The header Authorization holds Bearer and a token of this laboratory that is neither"
                                                + " withdrawn nor past its end. Nothing was done.")
                                .with("WWW-Authenticate", "Bearer"));
                return;
            }
            if (!token.get().scopes().contains(endpoint.scope().get())) {
                LOG.warn(
                        "refused: {} {} from {}: token {} of {} has no scope {}",
                        ctx.method(),
                        endpoint.path(),
                        ctx.ip(),
                        token.get().id(),
                        token.get().program(),
                        endpoint.scope().get().word());
                send(
                        ctx,
                        Problems.SCOPE_MISSING.reply("This needs a token with the scope "
                                + endpoint.scope().get().word() + "; this one has "
                                + token.get().scopeWords() + ". Nothing was done."));
                return;
            }
        }
        if (token.isEmpty()) {
            send(ctx, answered(ctx, endpoint, token));
            return;
        }
        String whose = token.get().program();
        Semaphore its = busy.computeIfAbsent(whose, name -> new Semaphore(AT_ONCE));
        if (!its.tryAcquire()) {
            send(ctx, later("This program asks for more than " + AT_ONCE + " things at once. Nothing was done."));
            return;
        }
        try {
            send(ctx, answered(ctx, endpoint, token));
        } finally {
            its.release();
        }
    }

    private Endpoint.Reply answered(Context ctx, Endpoint endpoint, Optional<ProgramToken> token) {
        Map<String, String> query = new HashMap<>();
        for (Map.Entry<String, List<String>> one : ctx.queryParamMap().entrySet()) {
            if (!endpoint.parameters().contains(one.getKey()) || one.getValue().size() != 1) {
                return Problems.BAD_REQUEST.reply(
                        "The parameter " + shown(one.getKey()) + " is not known here, or came twice; "
                                + (endpoint.parameters().isEmpty()
                                        ? "none is"
                                        : String.join(", ", new java.util.TreeSet<>(endpoint.parameters())) + " are")
                                + " known. Nothing was done.");
            }
            query.put(one.getKey(), one.getValue().get(0));
        }
        for (String text : concat(query, ctx.pathParamMap())) {
            if (text.length() > 200 || text.chars().anyMatch(Character::isISOControl)) {
                return Problems.BAD_REQUEST.reply(
                        "A part of the address is longer than 200 characters or holds a control character. Nothing was done.");
            }
        }
        byte[] body = {};
        if (endpoint.method().equals("POST")) {
            if (!text(ctx.contentType()).toLowerCase(Locale.ROOT).matches("application/json(\\s*;.*)?")) {
                return Problems.MEDIA_TYPE.reply("The body is sent as application/json. Nothing was done.");
            }
            if (ctx.req().getContentLengthLong() > MOST_BYTES) {
                return tooLarge();
            }
            Optional<byte[]> whole = body(ctx);
            if (whole.isEmpty()) {
                return Problems.TOO_SLOW.reply(
                        "The body did not come within " + BODY_WITHIN_S + " s, or broke off. Nothing was done.");
            }
            body = whole.get();
            if (body.length > MOST_BYTES) {
                return tooLarge();
            }
        }
        try {
            return endpoint.work()
                    .answer(new Endpoint.Asked(
                            token,
                            ctx.pathParamMap(),
                            query,
                            text(ctx.header("Accept")),
                            text(ctx.header("Idempotency-Key")).strip(),
                            body));
        } catch (Refused refused) {
            return Problems.NOT_DONE.reply(String.valueOf(refused.getMessage()));
        }
    }

    private static List<String> concat(Map<String, String> query, Map<String, String> parts) {
        List<String> all = new java.util.ArrayList<>(query.values());
        all.addAll(parts.values());
        return all;
    }

    private static Endpoint.Reply tooLarge() {
        return Problems.TOO_LARGE.reply("At most " + MOST_BYTES + " bytes are taken at once. Nothing was done.");
    }

    private static Endpoint.Reply later(String detail) {
        return Problems.BUSY.reply(detail).with("Retry-After", RETRY_S);
    }

    /** What went wrong before or beside an endpoint, for a path of the interface. */
    public static void refuse(Context ctx, int status) {
        Problems problem = switch (status) {
            case 404 -> Problems.NOT_FOUND;
            case 405 -> Problems.METHOD_NOT_ALLOWED;
            case 408 -> Problems.TOO_SLOW;
            case 413 -> Problems.TOO_LARGE;
            default -> Problems.BAD_REQUEST;
        };
        send(
                ctx,
                problem.reply("There is nothing under this address and method, or the request cannot be read. " + HOME
                        + "/openapi.json describes what there is. Nothing was done."));
    }

    /** What failed inside the program. */
    public static void failed(Context ctx, String reference) {
        send(
                ctx,
                Problems.FAILED.reply("Something failed inside the program; its log says what, beside the reference "
                        + reference
                        + ". It is not known whether something was done: send the same again with the same key."));
    }

    private Optional<ProgramToken> token(Context ctx) {
        String given = text(ctx.header("Authorization"));
        return given.startsWith(BEARER)
                ? context.store()
                        .programs()
                        .find(given.substring(BEARER.length()).strip())
                : Optional.empty();
    }

    private static void send(Context ctx, Endpoint.Reply reply) {
        String tag = reply.headers().getOrDefault("ETag", "");
        boolean known = !tag.isEmpty()
                && List.of(text(ctx.header("If-None-Match")).split("\\s*,\\s*", -1))
                        .contains(tag);
        reply.headers().forEach(ctx::header);
        if (known) {
            ctx.status(304);
        } else {
            ctx.status(reply.status()).contentType(reply.contentType()).result(reply.body());
        }
    }

    /** What was sent, up to one byte more than is taken; empty when it took too long or broke off. */
    private static Optional<byte[]> body(Context ctx) {
        long start = System.nanoTime();
        ByteArrayOutputStream all = new ByteArrayOutputStream();
        byte[] some = new byte[8192];
        try (InputStream in = ctx.req().getInputStream()) {
            while (all.size() <= MOST_BYTES) {
                int got = in.read(some, 0, Math.min(some.length, MOST_BYTES + 1 - all.size()));
                if (got < 0) {
                    break;
                }
                all.write(some, 0, got);
                if (System.nanoTime() - start > BODY_WITHIN_S * 1_000_000_000L) {
                    return Optional.empty();
                }
            }
            return Optional.of(all.toByteArray());
        } catch (IOException gone) {
            return Optional.empty();
        }
    }

    private static String shown(String name) {
        return "\"" + name.substring(0, Math.min(60, name.length())).replaceAll("\\p{Cntrl}", "?") + "\"";
    }

    private static String text(@Nullable String text) {
        return text == null ? "" : text;
    }
}
