package org.tenmesh.web;

import java.time.Duration;

/**
 * Where and how the pages are served.
 *
 * @param host address to listen on; {@code 127.0.0.1} keeps them on this machine
 * @param port TCP port; 0 = any free one
 * @param overTls whether people reach the pages by https, which then marks the session cookie so
 * @param sessionLasts how long a sign-in holds
 */
public record ServerSettings(String host, int port, boolean overTls, Duration sessionLasts) {
    /** On this machine only, one working day at a time. */
    public static ServerSettings local(int port) {
        return new ServerSettings("127.0.0.1", port, false, Duration.ofHours(12));
    }
}
