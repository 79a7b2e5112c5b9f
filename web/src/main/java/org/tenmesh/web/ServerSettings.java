package org.tenmesh.web;

import java.time.Duration;
import java.util.List;

/**
 * Where and how the pages are served.
 *
 * @param host address to listen on; {@code 127.0.0.1} keeps them on this machine
 * @param port TCP port; 0 = any free one
 * @param overTls whether people reach the pages by https, which then marks the session cookie so
 * @param sessionLasts how long a sign-in holds
 * @param idleLasts how long a sign-in holds while nobody uses it
 * @param benchLocksAfter how long a sign-in by badge, on a tablet that several people share, stays open while nobody uses it
 * @param visitorsMayBe names of people as whom anybody may sign in without a password; empty but for a demonstration
 */
public record ServerSettings(
        String host,
        int port,
        boolean overTls,
        Duration sessionLasts,
        Duration idleLasts,
        Duration benchLocksAfter,
        List<String> visitorsMayBe) {
    /** Usual minutes until a shared tablet locks: long enough for a tray of scoops, short enough that nobody works in another's name. */
    public static final int USUAL_LOCK_MINUTES = 5;

    public ServerSettings {
        visitorsMayBe = List.copyOf(visitorsMayBe);
        if (!visitorsMayBe.isEmpty() && !host.equals("127.0.0.1")) {
            throw new IllegalArgumentException(
                    "people may sign in without a password on this machine alone, not at " + host);
        }
    }

    public ServerSettings(String host, int port, boolean overTls, Duration sessionLasts, Duration idleLasts) {
        this(host, port, overTls, sessionLasts, idleLasts, Duration.ofMinutes(USUAL_LOCK_MINUTES), List.of());
    }

    /** Usual minutes until an unused sign-in ends: somebody who is away for a meeting finds it still there. */
    public static final int USUAL_IDLE_MINUTES = 120;

    /** On this machine only, one working day at a time. */
    public static ServerSettings local(int port) {
        return new ServerSettings(
                "127.0.0.1", port, false, Duration.ofHours(12), Duration.ofMinutes(USUAL_IDLE_MINUTES));
    }

    /** The same on this machine, where a visitor may be any of these people. */
    public static ServerSettings demonstration(int port, List<String> visitorsMayBe) {
        ServerSettings local = local(port);
        return new ServerSettings(
                local.host(),
                port,
                false,
                local.sessionLasts(),
                local.idleLasts(),
                local.benchLocksAfter(),
                visitorsMayBe);
    }
}
