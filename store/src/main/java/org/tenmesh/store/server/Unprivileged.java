package org.tenmesh.store.server;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * How PostgreSQL's programs are called: as they are by an ordinary user; when we are root, which PostgreSQL refuses, in
 * a user namespace without rights or, where the system allows none, as an unprivileged account that then owns the
 * folder.
 *
 * @param prefix what stands before the program
 * @param owner numeric owner and group the folder must have; empty when it stays ours
 */
record Unprivileged(List<String> prefix, Optional<Owner> owner) {
    record Owner(int user, int group) {}

    private static final List<String> ACCOUNTS = List.of("tenmesh", "postgres", "nobody");

    /** Finds the way for a folder that we own and have just made or opened. */
    static Unprivileged choose(Path folder) {
        return weAreRoot(folder)
                ? chooseForRoot(runs("unshare", "--user", "true"))
                : new Unprivileged(List.of(), Optional.empty());
    }

    static Unprivileged chooseForRoot(boolean namespaces) {
        if (namespaces) {
            return new Unprivileged(List.of("unshare", "--user"), Optional.of(new Owner(0, 0)));
        }
        for (String account : ACCOUNTS) {
            Optional<Owner> owner = lookUp(account);
            if (owner.isEmpty()) {
                continue;
            }
            String user = Integer.toString(owner.get().user());
            String group = Integer.toString(owner.get().group());
            List<String> setpriv = List.of("setpriv", "--reuid=" + user, "--regid=" + group, "--clear-groups", "--");
            if (runs(with(setpriv, "true"))) {
                return new Unprivileged(setpriv, owner);
            }
            List<String> runuser = List.of("runuser", "-u", account, "--");
            if (runs(with(runuser, "true"))) {
                return new Unprivileged(runuser, owner);
            }
        }
        throw new IllegalStateException(
                "PostgreSQL does not run as root, and neither unshare nor setpriv nor runuser lets"
                        + " it run as anybody else here: start Tenmesh as an ordinary user, or give it a PostgreSQL by URL");
    }

    /** Gives the folder and all in it but the secrets to the user that PostgreSQL runs as, where it is not theirs yet. */
    void own(Path folder) {
        if (owner.isEmpty()) {
            return;
        }
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path path : (Iterable<Path>) all::iterator) {
                if (path.startsWith(folder.resolve("secrets"))) {
                    continue;
                }
                if ((Integer) Files.getAttribute(path, "unix:uid", LinkOption.NOFOLLOW_LINKS)
                        != owner.get().user()) {
                    Files.setAttribute(path, "unix:gid", owner.get().group(), LinkOption.NOFOLLOW_LINKS);
                    Files.setAttribute(path, "unix:uid", owner.get().user(), LinkOption.NOFOLLOW_LINKS);
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(folder + " cannot be given to the user that PostgreSQL runs as", e);
        }
    }

    /** The whole command line of a program. */
    List<String> command(List<String> program) {
        List<String> command = new ArrayList<>(prefix);
        command.addAll(program);
        return command;
    }

    private static boolean weAreRoot(Path folder) {
        if (!FileSystems.getDefault().supportedFileAttributeViews().contains("unix")) {
            return false;
        }
        try {
            Path ours = Files.createTempFile(folder, "whose", ".tmp");
            try {
                return Integer.valueOf(0).equals(Files.getAttribute(ours, "unix:uid"));
            } finally {
                Files.delete(ours);
            }
        } catch (IOException e) {
            throw new UncheckedIOException("nothing can be written into " + folder, e);
        }
    }

    private static Optional<Owner> lookUp(String account) {
        Optional<Integer> user = number("id", "-u", account);
        Optional<Integer> group = number("id", "-g", account);
        return user.isPresent() && group.isPresent()
                ? Optional.of(new Owner(user.get(), group.get()))
                : Optional.empty();
    }

    private static Optional<Integer> number(String... command) {
        try {
            Process process = new ProcessBuilder(command)
                    .redirectError(ProcessBuilder.Redirect.DISCARD)
                    .start();
            String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.US_ASCII).strip();
            return process.waitFor() == 0 ? Optional.of(Integer.valueOf(said)) : Optional.empty();
        } catch (IOException | NumberFormatException e) {
            return Optional.empty();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return Optional.empty();
        }
    }

    private static List<String> with(List<String> prefix, String program) {
        List<String> command = new ArrayList<>(prefix);
        command.add(program);
        return command;
    }

    private static boolean runs(String... command) {
        return runs(List.of(command));
    }

    private static boolean runs(List<String> command) {
        try {
            Process process = new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            return process.waitFor(5, TimeUnit.SECONDS) && process.exitValue() == 0;
        } catch (IOException e) {
            return false;
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return false;
        }
    }
}
