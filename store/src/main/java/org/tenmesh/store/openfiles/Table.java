package org.tenmesh.store.openfiles;

import java.util.List;

/**
 * A table that the catalogue of the database names.
 *
 * @param key columns of its primary key, for an order; empty text without one
 */
record Table(String schema, String name, List<Column> columns, String key) {
    /** @param type as PostgreSQL calls it */
    record Column(String name, String type, boolean required) {
        /** Its bytes lie in a file of their own. */
        boolean bytes() {
            return type.equals("bytea");
        }

        /** A hash of a password, of which a digest is written. */
        boolean secret() {
            return name.endsWith("_hash");
        }
    }

    String full() {
        return schema + "." + name;
    }

    String file() {
        return schema + "/" + name + ".csv";
    }
}
