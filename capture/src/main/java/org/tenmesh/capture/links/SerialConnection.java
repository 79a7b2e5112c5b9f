package org.tenmesh.capture.links;

import com.fazecast.jSerialComm.SerialPort;
import java.io.IOException;
import java.time.Duration;

/** An open serial port. */
final class SerialConnection implements Connection {
    // A port that was pulled out is noticed between two waits.
    private static final int LONGEST_WAIT_MS = 1_000;

    private final SerialPort port;
    private final String name;
    private final byte[] buffer = new byte[1024];
    private int next;
    private int end;
    private int wait = -1;

    SerialConnection(SerialPort port, String name) {
        this.port = port;
        this.name = name;
    }

    @Override
    public int read(Duration limit) throws IOException {
        long start = System.nanoTime();
        while (next == end) {
            long left = limit.isZero() ? LONGEST_WAIT_MS : limit.toMillis() - (System.nanoTime() - start) / 1_000_000;
            if (left <= 0) {
                return NOTHING;
            }
            waitFor((int) Math.min(left, LONGEST_WAIT_MS));
            int got = port.readBytes(buffer, buffer.length);
            if (got < 0 || (got == 0 && !port.isOpen())) {
                throw new IOException("serial port " + name + " is gone");
            }
            next = 0;
            end = got;
            if (got == 0 && (port.getLastErrorCode() != 0 && port.bytesAvailable() < 0)) {
                throw new IOException("serial port " + name + " is gone");
            }
        }
        return buffer[next++] & 0xff;
    }

    private void waitFor(int ms) {
        if (ms != wait) {
            port.setComPortTimeouts(
                    SerialPort.TIMEOUT_READ_SEMI_BLOCKING | SerialPort.TIMEOUT_WRITE_BLOCKING, ms, LONGEST_WAIT_MS);
            wait = ms;
        }
    }

    @Override
    public void write(byte[] bytes) throws IOException {
        if (port.writeBytes(bytes, bytes.length) != bytes.length) {
            throw new IOException("serial port " + name + " does not take what is sent");
        }
    }

    @Override
    public String peer() {
        return name;
    }

    @Override
    public void close() {
        port.closePort();
    }
}
