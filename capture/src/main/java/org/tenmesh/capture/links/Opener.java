package org.tenmesh.capture.links;

import java.io.IOException;

/** Makes connections with a device, one after the other. */
public interface Opener extends AutoCloseable {
    /**
     * The next connection; waits for the device where the device is the one that connects.
     *
     * @throws IOException when there is none now; ask again later
     */
    Connection open() throws IOException;

    /** What it does until there is a connection, in words. */
    String waits();

    /** Ends every wait. */
    @Override
    void close();
}
