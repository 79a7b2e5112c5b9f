package org.tenmesh.capture.links;

import org.tenmesh.capture.settings.Source;

/** What makes the connections of a link. */
public final class Links {
    private Links() {}

    public static Opener of(Source.Link link) {
        if (link instanceof Source.Connect connect) {
            return new TcpConnect(connect);
        }
        if (link instanceof Source.Listen listen) {
            return new TcpListen(listen);
        }
        return new SerialOpener((Source.Port) link);
    }
}
