package org.tenmesh.web;

import java.time.Duration;

/**
 * Where and how the pages are served.
 *
 * @param host address to listen on; {@code 127.0.0.1} keeps them on this machine
 * @param port TCP port; 0 = any free one
 * @param overTls whether people reach the pages by https, which then marks the session cookie so
 * @param sessionLasts how long a sign-in holds
 * @param idleLasts how long a sign-in holds while nobody uses it
 */
public record ServerSettings(String host, int port, boolean overTls, Duration sessionLasts, Duration idleLasts) {
    /** Usual minutes until an unused sign-in ends: somebody who is away for a meeting finds it still there. */
    public static final int USUAL_IDLE_MINUTES = 120;

    /** On this machine only, one working day at a time. */
    public static ServerSettings local(int port) {
        return new ServerSettings(
                "127.0.0.1", port, false, Duration.ofHours(12), Duration.ofMinutes(USUAL_IDLE_MINUTES));
    }
}
