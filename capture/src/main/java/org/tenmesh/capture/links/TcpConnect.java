package org.tenmesh.capture.links;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import org.tenmesh.capture.settings.Source;

/** Connects to a device. */
final class TcpConnect implements Opener {
    private static final int WAIT_MS = 5_000;

    private final Source.Connect place;

    TcpConnect(Source.Connect place) {
        this.place = place;
    }

    @Override
    public Connection open() throws IOException {
        Socket socket = new Socket();
        try {
            socket.setReceiveBufferSize(TcpConnection.WAITS_BYTES);
            socket.connect(new InetSocketAddress(place.host(), place.port()), WAIT_MS);
            return new TcpConnection(socket);
        } catch (IOException | RuntimeException failed) {
            socket.close();
            throw failed;
        }
    }

    @Override
    public String waits() {
        return "connects to " + place.host() + ":" + place.port();
    }

    @Override
    public void close() {
        // the time limit of connecting ends its wait
    }
}
