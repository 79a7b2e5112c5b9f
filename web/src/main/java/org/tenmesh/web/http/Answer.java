package org.tenmesh.web.http;

import java.util.Map;
import java.util.Optional;

/** What a page answers. */
public sealed interface Answer {

    /** A drawn page. The model holds whatever its template asks for beside the frame. */
    record Shown(int status, String template, String title, Map<String, Object> model) implements Answer {}

    /** On to another page; {@code session} starts a session in the browser, empty text in it ends one. */
    record Moved(String to, Optional<String> session) implements Answer {}

    /** A page for whoever has just signed in; {@code session} starts in the browser with it. */
    record Entered(String session, Shown page) implements Answer {}

    /** A download. */
    record Download(byte[] bytes, String contentType, String name) implements Answer {}

    /** What a script reads, or a script. */
    record Text(int status, String contentType, String body) implements Answer {}

    /** The word of the day's version, once or, to a browser that listens, whenever it changes. */
    record Live() implements Answer {}

    /** The chosen look, kept in the browser. */
    record Look(String look, String back) implements Answer {}

    static Answer shown(String template, String title, Map<String, Object> model) {
        return new Shown(200, template, title, model);
    }

    /** A page that says what was wrong with the request. */
    static Answer refused(int status, String title, String message) {
        return new Shown(status, "message", title, Map.of("heading", title, "message", message));
    }

    /** Nothing of this name, in the same words for whatever the reason is. */
    static Answer notFound() {
        return refused(
                404,
                "Not found",
                "There is nothing here under this name, or not for your role. Check what was scanned or typed.");
    }

    static Answer moved(String to) {
        return new Moved(to, Optional.empty());
    }

    /** Only an address of these pages, with what is asked of it; anything else leads home. */
    static String own(String to) {
        return to.matches("/[A-Za-z0-9._~%/-]*(\\?[A-Za-z0-9._~%&=+:,-]*)?") && !to.startsWith("//") ? to : "/";
    }
}
