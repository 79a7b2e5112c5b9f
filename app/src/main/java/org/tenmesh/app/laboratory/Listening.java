package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.net.BindException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Clock;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.capture.Capture;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.store.Store;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** Opens the pages, and says plainly why nothing can listen where it was told to. */
final class Listening {
    private Listening() {}

    /**
     * Asked before anything is started, so that a second try costs no time.
     *
     * @throws CannotUse when nothing can listen there
     */
    static void canListen(ServerSettings settings) {
        cannotListen(settings).ifPresent(why -> {
            throw new CannotUse(why);
        });
    }

    static Server start(
            ServerSettings settings, Store store, MethodBook methods, Clock clock, Optional<Capture> capture) {
        try {
            return Server.start(settings, store, methods, clock, capture, Optional.of(new ClientSheets()));
        } catch (RuntimeException failed) {
            throw cannotListen(settings)
                    .map(why -> (RuntimeException) new CannotUse(why))
                    .orElse(failed);
        }
    }

    /** Why nothing can listen at this address and port; empty when something could. */
    private static Optional<String> cannotListen(ServerSettings settings) {
        InetAddress address;
        try {
            address = InetAddress.getByName(settings.host());
            new ServerSocket(0, 1, address).close();
        } catch (IOException | IllegalArgumentException unusable) {
            return Optional.of("--host " + settings.host() + " is no address of this machine (" + unusable.getMessage()
                    + "); name one of its addresses, or 0.0.0.0 for all of them");
        }
        try {
            new ServerSocket(settings.port(), 1, address).close();
            return Optional.empty();
        } catch (BindException taken) {
            return Optional.of("port " + settings.port() + " on " + settings.host()
                    + " is taken by another program or not free to this user; name another with --port");
        } catch (IOException refused) {
            return Optional.of(
                    "port " + settings.port() + " on " + settings.host() + " cannot be used: " + refused.getMessage());
        }
    }
}
