package org.tenmesh.store.server;

import java.nio.file.Path;

/** Where the database is: the program's own, or any PostgreSQL from version 15 on by URL. */
public sealed interface StoreSettings {

    /**
     * The program's own PostgreSQL in a folder, started and stopped with the store, reachable from this machine only.
     *
     * @param folder data folder; made when missing, then readable by its owner only
     * @param port TCP port on 127.0.0.1; 0 = any free one
     */
    record Embedded(Path folder, int port) implements StoreSettings {
        public Embedded {
            if (port < 0 || port > 65_535) {
                throw new IllegalArgumentException("a port is 0 (any free one) to 65535, found " + port);
            }
        }
    }

    /**
     * A PostgreSQL that somebody else runs.
     *
     * @param url {@code jdbc:postgresql://host:port/database}
     * @param user owner of the schemas: may create schemas in the database, and roles where {@code tenmesh_app}, {@code
     *     tenmesh_quality} and {@code tenmesh_bench} do not exist yet; one Tenmesh a PostgreSQL, for these names are its
     * @param password of {@code user}
     * @param secrets folder for the generated passwords of the three database users, readable by its owner only; several servers on one
     *     database have the same
     */
    record ByUrl(String url, String user, String password, Path secrets) implements StoreSettings {
        @Override
        public String toString() {
            return "ByUrl[" + url + ", " + user + "]";
        }
    }

    /** The program's own PostgreSQL in this folder, on any free port. */
    static StoreSettings embedded(Path folder) {
        return new Embedded(folder, 0);
    }

    /** A PostgreSQL that somebody else runs; see {@link ByUrl}. */
    static StoreSettings byUrl(String url, String user, String password, Path secrets) {
        return new ByUrl(url, user, password, secrets);
    }
}
