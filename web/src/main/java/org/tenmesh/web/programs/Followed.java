package org.tenmesh.web.programs;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.store.programs.Change;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.http.PageContext;

/** What changed, for programs that follow. */
final class Followed {
    /** Changes in one answer where the program does not say. */
    private static final int USUAL = 200;

    /** Most changes in one answer. */
    private static final int MOST = 1000;

    private Followed() {}

    static Endpoint changes(PageContext context) {
        return new Endpoint(
                "GET",
                Interface.HOME + "/changes",
                Optional.of(Scope.FEED),
                Set.of("after", "limit"),
                asked -> changes(context, asked));
    }

    private static Endpoint.Reply changes(PageContext context, Endpoint.Asked asked) {
        String after = asked.query().getOrDefault("after", "0");
        if (!after.matches("\\d{1,18}")) {
            return Problems.BAD_REQUEST.reply("after holds what an earlier answer gave as next. Nothing was done.");
        }
        Optional<Integer> limit = limit(asked, USUAL, MOST);
        if (limit.isEmpty()) {
            return Problems.BAD_REQUEST.reply("limit is a whole number from 1 to " + MOST + ". Nothing was done.");
        }
        List<Change> found = context.store().programs().changes(asked.its(), Long.parseLong(after), limit.get() + 1);
        boolean more = found.size() > limit.get();
        List<Change> sent = more ? found.subList(0, limit.get()) : found;
        List<Object> changes = new ArrayList<>();
        sent.forEach(one -> changes.add(change(one)));
        String next =
                sent.isEmpty() ? after : Long.toString(sent.get(sent.size() - 1).seq());
        return new Endpoint.Reply(
                200,
                Endpoint.Reply.JSON,
                (Json.line(Json.object("changes", changes, "next", next, "more", more)) + "\n")
                        .getBytes(StandardCharsets.UTF_8),
                Map.of());
    }

    private static Map<String, Object> change(Change one) {
        Map<String, Object> out = Json.object("at", one.at().toString(), "what", one.what());
        one.submission().ifPresent(name -> out.put("submission", name));
        one.receivedOn().ifPresent(date -> out.put("received_on", date.toString()));
        if (one.revision().isPresent()) {
            out.put("revision", one.revision().getAsInt());
        }
        one.day().ifPresent(day -> out.put("day", day));
        return out;
    }

    /** How many things an answer may hold; empty where what was asked for is no such number. */
    static Optional<Integer> limit(Endpoint.Asked asked, int usual, int most) {
        String text = asked.query().getOrDefault("limit", Integer.toString(usual));
        return text.matches("[1-9]\\d{0,5}")
                ? Optional.of(Integer.parseInt(text)).filter(number -> number <= most)
                : Optional.empty();
    }
}
