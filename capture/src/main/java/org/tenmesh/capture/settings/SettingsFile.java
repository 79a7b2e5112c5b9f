package org.tenmesh.capture.settings;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;

/**
 * A file that settings were read from, as it was then.
 *
 * @param written when it was written last; the beginning of time where it was not there
 * @param size bytes; 0 where it was not there
 */
public record SettingsFile(Path file, FileTime written, long size) {
    /** The file as it is now; asked before it is read, so that what is written meanwhile counts as a change. */
    static SettingsFile now(Path file) {
        try {
            return new SettingsFile(file, Files.getLastModifiedTime(file), Files.size(file));
        } catch (IOException gone) {
            return new SettingsFile(file, FileTime.fromMillis(0), 0);
        }
    }

    /** Whether the file is another now than the one that was read. */
    public boolean changed() {
        return !equals(now(file));
    }
}
