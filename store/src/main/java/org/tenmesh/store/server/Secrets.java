package org.tenmesh.store.server;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileAttribute;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.SecureRandom;
import java.util.Base64;

/** Generated passwords, one a file, in a folder that only its owner can read. */
public final class Secrets {
    private final Path folder;
    private final SecureRandom random;

    public Secrets(Path folder, SecureRandom random) {
        this.folder = folder;
        this.random = random;
        makeFolder(folder);
    }

    /** The password of this database user: 256 random bits in URL-safe text, made the first time it is asked for. */
    public String password(String user) {
        Path file = folder.resolve(user);
        try {
            if (!Files.exists(file)) {
                Path fresh = folder.resolve(user + ".new");
                Files.deleteIfExists(fresh);
                Files.createFile(fresh, ownerOnly("rw-------"));
                Files.writeString(fresh, token(random));
                Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE);
            }
            return Files.readString(file).strip();
        } catch (IOException e) {
            throw new UncheckedIOException(
                    "the password of database user " + user + " in " + file
                            + " cannot be read or written: the store stays closed",
                    e);
        }
    }

    /** 256 random bits in URL-safe text. */
    public static String token(SecureRandom random) {
        byte[] bits = new byte[32];
        random.nextBytes(bits);
        return Base64.getUrlEncoder().withoutPadding().encodeToString(bits);
    }

    /** Makes a folder that only its owner can enter; one that is there is left as it is. */
    public static void makeFolder(Path folder) {
        try {
            if (folder.toAbsolutePath().getParent() != null) {
                Files.createDirectories(folder.toAbsolutePath().getParent());
            }
            Files.createDirectory(folder, ownerOnly("rwx------"));
        } catch (FileAlreadyExistsException e) {
            if (!Files.isDirectory(folder)) {
                throw new IllegalStateException(folder + " is a file, expected a folder or nothing: choose another", e);
            }
        } catch (IOException e) {
            throw new UncheckedIOException("the folder " + folder + " cannot be made", e);
        }
    }

    /** Makes an empty file that only its owner can read. */
    public static void makeFile(Path file) throws IOException {
        Files.createFile(file, ownerOnly("rw-------"));
    }

    static FileAttribute<?>[] ownerOnly(String permissions) {
        return FileSystems.getDefault().supportedFileAttributeViews().contains("posix")
                ? new FileAttribute<?>[] {
                    PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString(permissions))
                }
                : new FileAttribute<?>[0];
    }
}
