package org.tenmesh.exchange.methods;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.JarURLConnection;
import java.net.URI;
import java.net.URISyntaxException;
import java.net.URL;
import java.net.URLConnection;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.TreeSet;
import java.util.jar.JarFile;
import java.util.stream.Stream;

/** The method files on the class path, found where they lie: a file that is added ships, with no list beside it that could miss it. */
final class ShippedFiles {
    /** Their folder on the class path. */
    static final String FOLDER = "org/tenmesh/exchange/methods/";

    private static final String END = ".yaml";

    private ShippedFiles() {}

    /**
     * The ids of the methods that ship: the names of the files without their end, in the order of the alphabet.
     *
     * @param loader of the class path, of folders and jar files
     * @throws IllegalStateException when there is none
     */
    static List<String> ids(ClassLoader loader) {
        TreeSet<String> ids = new TreeSet<>();
        try {
            for (URL place : Collections.list(loader.getResources(FOLDER))) {
                if ("jar".equals(place.getProtocol())) {
                    inJar(place, ids);
                } else {
                    inFolder(place, ids);
                }
            }
        } catch (IOException unreadable) {
            throw new UncheckedIOException("the method files of the program cannot be listed", unreadable);
        }
        if (ids.isEmpty()) {
            throw new IllegalStateException("no method file is in the program, expected them in " + FOLDER);
        }
        return List.copyOf(ids);
    }

    private static void inJar(URL place, TreeSet<String> ids) throws IOException {
        URLConnection connection = place.openConnection();
        // A file of its own: one out of the cache would be closed for others too.
        connection.setUseCaches(false);
        try (JarFile jar = ((JarURLConnection) connection).getJarFile()) {
            jar.stream()
                    .map(entry -> entry.getName())
                    .filter(name -> name.startsWith(FOLDER) && name.endsWith(END))
                    .map(name -> name.substring(FOLDER.length()))
                    .filter(name -> name.indexOf('/') < 0)
                    .forEach(name -> ids.add(id(name)));
        }
    }

    private static void inFolder(URL place, TreeSet<String> ids) throws IOException {
        try (Stream<Path> files = Files.list(Path.of(uri(place)))) {
            files.map(file -> String.valueOf(file.getFileName()))
                    .filter(name -> name.endsWith(END))
                    .forEach(name -> ids.add(id(name)));
        }
    }

    private static String id(String name) {
        return name.substring(0, name.length() - END.length());
    }

    private static URI uri(URL place) {
        try {
            return place.toURI();
        } catch (URISyntaxException impossible) {
            throw new IllegalStateException("the folder of method files has the address " + place, impossible);
        }
    }
}
