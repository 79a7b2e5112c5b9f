package org.tenmesh.capture.links;

import java.io.IOException;
import java.time.Duration;

/** Bytes to and from a device. Used by one thread, but for {@link #close}, which ends a read that waits. */
public interface Connection extends AutoCloseable {
    /** What {@link #read} gives when the device has closed the connection. */
    int END = -1;

    /** What {@link #read} gives when nothing came in time. */
    int NOTHING = -2;

    /**
     * The next byte, 0 to 255, or {@link #END} or {@link #NOTHING}.
     *
     * @param limit how long to wait; zero = as long as it takes
     * @throws IOException when the connection is lost
     */
    int read(Duration limit) throws IOException;

    /** Sends bytes. */
    void write(byte[] bytes) throws IOException;

    /** Who is at the other end, in words. */
    String peer();

    @Override
    void close();
}
