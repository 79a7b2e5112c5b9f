package org.tenmesh.capture.links;

import java.io.IOException;
import java.io.InputStream;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.time.Duration;

/** A TCP connection. */
final class TcpConnection implements Connection {
    /** So much waits in the system before the device has to wait. */
    static final int WAITS_BYTES = 65_536;

    private final Socket socket;
    private final InputStream in;
    private final byte[] buffer = new byte[2048];
    private int next;
    private int end;

    TcpConnection(Socket socket) throws IOException {
        this.socket = socket;
        socket.setKeepAlive(true);
        socket.setTcpNoDelay(true);
        in = socket.getInputStream();
    }

    @Override
    public int read(Duration limit) throws IOException {
        if (next == end) {
            socket.setSoTimeout((int) Math.min(Integer.MAX_VALUE, limit.toMillis()));
            try {
                int got = in.read(buffer);
                if (got < 0) {
                    return END;
                }
                next = 0;
                end = got;
            } catch (SocketTimeoutException nothing) {
                return NOTHING;
            }
        }
        return buffer[next++] & 0xff;
    }

    @Override
    public void write(byte[] bytes) throws IOException {
        socket.getOutputStream().write(bytes);
        socket.getOutputStream().flush();
    }

    @Override
    public String peer() {
        return socket.getInetAddress().getHostAddress() + ":" + socket.getPort();
    }

    @Override
    public void close() {
        try {
            socket.close();
        } catch (IOException alreadyLost) {
            // nothing more can be done with it
        }
    }
}
