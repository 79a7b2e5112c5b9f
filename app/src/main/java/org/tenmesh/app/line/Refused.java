package org.tenmesh.app.line;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;

/** What the user is told when the system refuses a file or the network. */
public final class Refused {
    private Refused() {}

    /** What the system said where a file was read as a stream, in one sentence. */
    public static String sentence(UncheckedIOException failed) {
        Throwable cause = failed.getCause();
        String why = cause instanceof IOException io ? sentence(io) : String.valueOf(cause);
        String said = String.valueOf(failed.getMessage());
        return said.equals(String.valueOf(cause)) ? why : said + ": " + why;
    }

    /** What the system said about a file or the network, in one sentence. */
    public static String sentence(IOException failed) {
        if (failed instanceof NoSuchFileException missing) {
            return "there is no file or folder " + missing.getFile();
        }
        if (failed instanceof FileSystemException refused) {
            return "the system refused " + refused.getMessage() + " ("
                    + refused.getClass().getSimpleName() + ")";
        }
        String said = failed.getMessage();
        return said == null
                ? "a file could not be read or written (" + failed.getClass().getSimpleName() + ")"
                : said;
    }
}
