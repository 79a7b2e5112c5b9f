package org.tenmesh.app.check;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.zip.GZIPInputStream;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.csv.Tables;
import org.tenmesh.exchange.methods.MethodFiles;

/** What the program ships for its checks: tables, each read once, and methods. */
final class Shipped {
    private static final Map<String, Tables.Table> READ = new ConcurrentHashMap<>();

    private Shipped() {}

    /** A table of this package. */
    static Tables.Table table(String file) {
        return READ.computeIfAbsent(file, Shipped::read);
    }

    private static Tables.Table read(String file) {
        try (InputStream in = Shipped.class.getResourceAsStream(file)) {
            if (in == null) {
                throw new IllegalStateException("the program was packed without " + file);
            }
            return Tables.read(file.endsWith(".gz") ? new GZIPInputStream(in) : in, file);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    static Method method(String id) {
        return MethodFiles.shipped(id);
    }
}
