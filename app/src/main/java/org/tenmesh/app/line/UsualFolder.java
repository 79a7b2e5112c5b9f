package org.tenmesh.app.line;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/** Where a server keeps its data when nothing else is said: the user's folder for such things, by the XDG rule. */
public final class UsualFolder {
    private UsualFolder() {}

    /**
     * The folder named, or the usual one of this name.
     *
     * @throws IOException if neither can be made
     */
    public static Path of(Optional<String> named, String usual) throws IOException {
        if (named.isPresent()) {
            return Path.of(named.get()).toAbsolutePath().normalize();
        }
        String xdg = System.getenv("XDG_DATA_HOME");
        Path base = xdg != null && xdg.startsWith("/")
                ? Path.of(xdg)
                : Path.of(System.getProperty("user.home"), ".local", "share");
        Path folder = base.resolve("tenmesh").resolve(usual);
        try {
            Files.createDirectories(folder.getParent() == null ? folder : folder.getParent());
            return folder;
        } catch (IOException unwritable) {
            return Files.createTempDirectory("tenmesh-").resolve(usual);
        }
    }
}
