package org.tenmesh.capture.links;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayDeque;
import java.util.Deque;
import org.jspecify.annotations.Nullable;
import org.tenmesh.capture.settings.Source;

/** Waits for a device to connect. A device that connects again takes the place of its earlier connection, which is dead then. */
final class TcpListen implements Opener {
    private final Source.Listen place;
    private final Deque<Socket> came = new ArrayDeque<>();
    private @Nullable ServerSocket server;
    private @Nullable Connection current;
    private boolean closed;

    TcpListen(Source.Listen place) {
        this.place = place;
    }

    @Override
    public Connection open() throws IOException {
        listen();
        synchronized (this) {
            current = null;
            while (came.isEmpty()) {
                if (closed || server == null) {
                    throw new IOException("nothing listens at " + place.host() + ":" + place.port());
                }
                try {
                    wait(1_000);
                } catch (InterruptedException stop) {
                    Thread.currentThread().interrupt();
                    throw new IOException("stopped", stop);
                }
            }
            Connection next = new TcpConnection(came.removeFirst());
            current = next;
            return next;
        }
    }

    private synchronized void listen() throws IOException {
        if (server != null || closed) {
            return;
        }
        ServerSocket fresh = new ServerSocket();
        fresh.setReceiveBufferSize(TcpConnection.WAITS_BYTES);
        try {
            fresh.bind(new InetSocketAddress(InetAddress.getByName(place.host()), place.port()), 4);
        } catch (IOException | RuntimeException failed) {
            fresh.close();
            throw failed;
        }
        server = fresh;
        Thread accepts = new Thread(() -> accept(fresh), "listens at " + place.host() + ":" + place.port());
        accepts.setDaemon(true);
        accepts.start();
    }

    private void accept(ServerSocket on) {
        try {
            while (true) {
                Socket socket = on.accept();
                synchronized (this) {
                    while (!came.isEmpty()) {
                        came.removeFirst().close();
                    }
                    came.addLast(socket);
                    if (current != null) {
                        current.close();
                    }
                    notifyAll();
                }
            }
        } catch (IOException ended) {
            synchronized (this) {
                server = null;
                notifyAll();
            }
        }
    }

    /** The port that it listens at; 0 before it does. */
    synchronized int port() {
        return server == null ? 0 : server.getLocalPort();
    }

    @Override
    public synchronized String waits() {
        return "waits for a connection at " + place.host() + ":" + (server == null ? place.port() : port());
    }

    @Override
    public synchronized void close() {
        closed = true;
        try {
            if (server != null) {
                server.close();
            }
            for (Socket socket : came) {
                socket.close();
            }
        } catch (IOException alreadyLost) {
            // closed all the same
        }
        notifyAll();
    }
}
