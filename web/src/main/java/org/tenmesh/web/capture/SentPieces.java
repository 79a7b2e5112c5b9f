package org.tenmesh.web.capture;

import io.javalin.http.Context;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.Semaphore;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.days.ProgramBook;

/**
 * Exports sent by HTTP: {@code POST /send/SOURCE} with {@code Authorization: Bearer TOKEN} and {@code Idempotency-Key}. It answers when what
 * came is durable. What is wrong is told as RFC 9457 has it (problem details).
 */
public final class SentPieces {
    private static final Logger LOG = LoggerFactory.getLogger(SentPieces.class);

    /** Where they are sent. */
    public static final String PATH = "/send/{source}";

    private static final int AT_ONCE = 2;
    private static final int BODY_WITHIN_S = 60;
    private static final String RETRY_S = "10";

    private final Capture capture;
    private final ProgramBook programs;
    private final Map<String, Semaphore> busy = new ConcurrentHashMap<>();

    public SentPieces(Capture capture, ProgramBook programs) {
        this.capture = capture;
        this.programs = programs;
    }

    /** Answers one request. */
    public void take(Context ctx) {
        Optional<Source> source = capture.source(ctx.pathParam("source"))
                .filter(one -> one.way() instanceof Source.Http http && opens(http, ctx.header("Authorization")));
        if (source.isEmpty()) {
            LOG.warn("refused: POST {} from {}: no token of this source", PATH, ctx.ip());
            ctx.header("WWW-Authenticate", "Bearer");
            problem(ctx, 401, "Not let in", "The token is not that of this source. Nothing was taken.");
            return;
        }
        String key = text(ctx.header("Idempotency-Key")).strip();
        if (!key.matches("[\\x21-\\x7e]{1,120}")) {
            problem(
                    ctx,
                    400,
                    "No key",
                    "The header Idempotency-Key holds 1 to 120 printable characters without blanks, the same when the same"
                            + " thing is sent again. Nothing was taken.");
            return;
        }
        Semaphore its = busy.computeIfAbsent(source.get().name(), name -> new Semaphore(AT_ONCE));
        if (!its.tryAcquire()) {
            later(ctx, "This source sends several things at once. Nothing was taken; send it again.");
            return;
        }
        try {
            take(ctx, source.get(), key);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            later(ctx, "The program ends. It is not known whether this was taken; send it again with the same key.");
        } finally {
            its.release();
        }
    }

    private void take(Context ctx, Source source, String key) throws InterruptedException {
        int most = ((Source.Http) source.way()).mostBytes();
        byte[] bytes = {};
        if (ctx.req().getContentLengthLong() <= most) {
            Optional<byte[]> whole = body(ctx, most + 1);
            if (whole.isEmpty()) {
                problem(
                        ctx,
                        408,
                        "Too slow",
                        "The body did not come within " + BODY_WITHIN_S + " s. Nothing was taken.");
                return;
            }
            bytes = whole.get();
        }
        if (ctx.req().getContentLengthLong() > most || bytes.length > most) {
            problem(ctx, 413, "Too large", "At most " + most + " bytes are taken at once. Nothing was taken.");
            return;
        }
        if (bytes.length == 0) {
            problem(ctx, 400, "Empty", "The body is empty; expected an export. Nothing was taken.");
            return;
        }
        String name = text(ctx.queryParam("name")).strip();
        Capture.Sent sent = capture.sent(source, key, name.isEmpty() ? key : shortened(name), bytes);
        if (sent instanceof Capture.OtherBytes) {
            problem(
                    ctx,
                    409,
                    "The key came before",
                    "The same key came before with other bytes. What was taken never changes: send other bytes under a key of"
                            + " their own. Nothing was taken.");
        } else if (sent instanceof Capture.Durable durable) {
            answer(ctx, source, durable);
        } else {
            later(
                    ctx,
                    "The store does not answer. It is not known whether this was taken; send it again with the same key.");
        }
    }

    /** What was sent, up to so many bytes; empty when it took too long or the sender went away. */
    private static Optional<byte[]> body(Context ctx, int most) {
        long start = System.nanoTime();
        ByteArrayOutputStream all = new ByteArrayOutputStream();
        byte[] some = new byte[8192];
        try (InputStream in = ctx.req().getInputStream()) {
            while (all.size() < most) {
                int got = in.read(some, 0, Math.min(some.length, most - all.size()));
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

    private void answer(Context ctx, Source source, Capture.Durable durable) {
        Piece piece = durable.piece();
        Optional<String> aside = durable.before()
                ? capture.newest(source.name(), 200).stream()
                        .filter(one -> one.key().equals(piece.key()))
                        .findFirst()
                        .flatMap(Inbox.Listed::setAside)
                : piece.setAside();
        if (aside.isPresent()) {
            problem(
                    ctx,
                    422,
                    "Set aside",
                    "It is kept and nothing of it was taken: " + aside.get() + ". It need not be sent again.");
            return;
        }
        ctx.status(durable.before() ? 200 : 201)
                .contentType("application/json; charset=utf-8")
                .result("{\"became\":\"" + (durable.before() ? "taken before" : "taken") + "\",\"readings\":"
                        + piece.readings() + ",\"sha256\":\"" + piece.sha256() + "\"}\n");
    }

    /** By the token in the settings of the source, which needs no store to answer, or by one of the laboratory's that may send readings. */
    private boolean opens(Source.Http way, @Nullable String authorization) {
        String given = text(authorization);
        if (!given.startsWith("Bearer ")) {
            return false;
        }
        String token = given.substring("Bearer ".length()).strip();
        String sha256 = Piece.sha256(token.getBytes(StandardCharsets.UTF_8));
        boolean its = way.tokenSha256()
                .filter(known -> MessageDigest.isEqual(
                        sha256.getBytes(StandardCharsets.US_ASCII), known.getBytes(StandardCharsets.US_ASCII)))
                .isPresent();
        return its
                || programs.find(token)
                        .filter(one -> one.scopes().contains(Scope.CAPTURE))
                        .isPresent();
    }

    private static void later(Context ctx, String detail) {
        ctx.header("Retry-After", RETRY_S);
        problem(ctx, 503, "Not now", detail);
    }

    private static void problem(Context ctx, int status, String title, String detail) {
        ctx.status(status)
                .contentType("application/problem+json; charset=utf-8")
                .result("{\"type\":\"about:blank\",\"title\":" + quoted(title) + ",\"status\":" + status
                        + ",\"detail\":" + quoted(detail) + "}\n");
    }

    private static String quoted(String text) {
        StringBuilder json = new StringBuilder("\"");
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '"' || c == '\\') {
                json.append('\\').append(c);
            } else if (c < ' ') {
                json.append(String.format("\\u%04x", (int) c));
            } else {
                json.append(c);
            }
        }
        return json.append('"').toString();
    }

    private static String shortened(String name) {
        return name.substring(0, Math.min(120, name.length()));
    }

    private static String text(@Nullable String text) {
        return text == null ? "" : text;
    }
}
