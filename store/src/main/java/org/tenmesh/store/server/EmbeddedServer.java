package org.tenmesh.store.server;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.apache.commons.compress.archivers.tar.TarArchiveEntry;
import org.apache.commons.compress.archivers.tar.TarArchiveInputStream;
import org.apache.commons.compress.compressors.xz.XZCompressorInputStream;
import org.postgresql.ds.PGSimpleDataSource;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * PostgreSQL in a folder of its own: {@code program/VERSION} (unpacked once), {@code database} (its cluster),
 * {@code secrets}, {@code postgresql.log} and {@code lock}. One Java process at a time holds the lock. Listens on
 * 127.0.0.1 only and asks everybody for a password.
 *
 * <p>It outlives a killed Java process; the next one takes it over. When it is killed itself, it is started again on
 * the same port, and PostgreSQL recovers what was committed. May be used by several threads.
 */
public final class EmbeddedServer implements AutoCloseable {
    public static final String OWNER = "tenmesh_owner";

    private static final Logger LOG = LoggerFactory.getLogger(EmbeddedServer.class);
    private static final String VERSION = "17.6";
    private static final String DATABASE = "postgres";
    // Replaying the log after a crash in the middle of a big import takes its time; giving up would not make it faster.
    private static final int START_SECONDS = 300;
    private static final long LONGEST_PAUSE_SECONDS = 300;

    private final Path folder;
    private final Path database;
    private final Path program;
    private final String ownerPassword;
    private final FileChannel lockFile;
    private final Unprivileged unprivileged;
    private int port;
    private boolean closing;

    /** Starts the server, or takes over the one that a killed process left running. */
    public static EmbeddedServer start(Path folder, int port, Secrets secrets) {
        Path absolute = folder.toAbsolutePath().normalize();
        FileChannel lockFile = lock(absolute);
        try {
            EmbeddedServer server = new EmbeddedServer(absolute, lockFile, secrets.password(OWNER));
            server.startOrTakeOver(port);
            return server;
        } catch (RuntimeException e) {
            release(lockFile);
            throw e;
        }
    }

    private EmbeddedServer(Path folder, FileChannel lockFile, String ownerPassword) {
        this.folder = folder;
        this.lockFile = lockFile;
        this.ownerPassword = ownerPassword;
        this.database = folder.resolve("database");
        this.program = folder.resolve("program").resolve(VERSION);
        this.unprivileged = Unprivileged.choose(folder);
    }

    /** The URL for JDBC of the server that runs in this folder, whoever started it; empty when none does. */
    public static Optional<String> running(Path folder) {
        Path database = folder.toAbsolutePath().normalize().resolve("database");
        List<String> lines = read(database.resolve("postmaster.pid"))
                .map(text -> text.lines().toList())
                .orElse(List.of());
        return lines.size() > 3
                        && ProcessHandle.of(Long.parseLong(lines.get(0).strip()))
                                .filter(EmbeddedServer::isPostgres)
                                .isPresent()
                ? Optional.of(url(Integer.parseInt(lines.get(3).strip())))
                : Optional.empty();
    }

    /**
     * Lets PostgreSQL recover a database that was put into the folder from a backup, to the end of what its settings name, and stops it.
     *
     * @param folder with {@code database}, a signal for recovery and the settings of it in place
     * @throws IllegalStateException with PostgreSQL's own last lines when it does not come to the end
     */
    public static void recover(Path folder, Secrets secrets) {
        Path absolute = folder.toAbsolutePath().normalize();
        FileChannel lockFile = lock(absolute);
        EmbeddedServer server = new EmbeddedServer(absolute, lockFile, secrets.password(OWNER));
        server.closing = true;
        try {
            if (!Files.exists(server.program)) {
                server.unpack();
            }
            server.checkMajorVersion();
            server.port = freePort();
            server.launch();
            while (server.recovers()) {
                pause(250);
            }
        } finally {
            server.close();
        }
    }

    /** Whether it still reads what was archived. */
    private boolean recovers() {
        if (process().isEmpty()) {
            throw new IllegalStateException("the backup could not be recovered: " + lastLogLines());
        }
        PGSimpleDataSource source = new PGSimpleDataSource();
        source.setUrl(url());
        source.setUser(OWNER);
        source.setPassword(ownerPassword);
        try (Connection connection = source.getConnection();
                Statement statement = connection.createStatement();
                ResultSet answer = statement.executeQuery("select pg_is_in_recovery()")) {
            return !answer.next() || answer.getBoolean(1);
        } catch (SQLException e) {
            LOG.debug("PostgreSQL in {} does not answer while it recovers", folder, e);
            return true;
        }
    }

    /** The URL for JDBC. */
    public String url() {
        return url(port);
    }

    private static String url(int port) {
        return "jdbc:postgresql://127.0.0.1:" + port + "/" + DATABASE;
    }

    /** The process of the server, when it runs. */
    public Optional<ProcessHandle> process() {
        List<String> pidFile = pidFile();
        if (pidFile.isEmpty()) {
            return Optional.empty();
        }
        return ProcessHandle.of(Long.parseLong(pidFile.get(0).strip())).filter(EmbeddedServer::isPostgres);
    }

    private synchronized void startOrTakeOver(int wantedPort) {
        if (!Files.exists(program)) {
            unpack();
        }
        if (!Files.exists(database)) {
            initialise();
        }
        checkMajorVersion();
        if (process().isPresent()) {
            port = portInPidFile();
            if ((wantedPort == 0 || wantedPort == port) && answers()) {
                LOG.info("Took over the PostgreSQL already running in {}", folder);
                watch();
                return;
            }
            stop("immediate");
        }
        port = wantedPort == 0 ? freePort() : wantedPort;
        launch();
        watch();
    }

    private void launch() {
        unprivileged.own(folder);
        removeStalePidFile();
        String options = String.join(
                " ",
                "-c listen_addresses=127.0.0.1",
                "-c port=" + port,
                "-c unix_socket_directories=",
                "-c max_connections=40",
                "-c shared_buffers=128MB",
                "-c max_wal_size=2GB",
                // What waits to be archived may not fill the disk: then the archive begins anew with a base copy.
                "-c max_slot_wal_keep_size=8GB",
                "-c jit=off",
                "-c timezone=UTC",
                "-c log_timezone=UTC",
                "-c lc_messages=C");
        List<String> command = List.of(
                executable("pg_ctl"),
                "start",
                "-w",
                "-s",
                "-t",
                Integer.toString(START_SECONDS),
                "-D",
                database.toString(),
                "-l",
                folder.resolve("postgresql.log").toString(),
                "-o",
                options);
        // After the server alone was killed, a connection of its may still be at work, and may even finish; PostgreSQL
        // rightly does not start beside it.
        long giveUp = System.nanoTime() + TimeUnit.SECONDS.toNanos(START_SECONDS);
        int tries = 0;
        while (true) {
            Optional<String> failure = run(command);
            if (failure.isEmpty()) {
                return;
            }
            if (System.nanoTime() > giveUp || (!anybodyWorksInTheDatabase() && ++tries > 8)) {
                throw new IllegalStateException("PostgreSQL in " + folder + " does not start: " + failure.get()
                        + "; the last lines of its log: " + lastLogLines());
            }
            pause(250);
        }
    }

    private void watch() {
        process().ifPresent(running -> running.onExit().thenRun(() -> startAgain(0)));
    }

    /** @param failed how often it was tried since the server ended */
    private synchronized void startAgain(int failed) {
        if (closing) {
            return;
        }
        if (failed == 0) {
            LOG.warn("PostgreSQL in {} ended without being asked to; it is started again", folder);
        }
        try {
            launch();
            watch();
        } catch (RuntimeException e) {
            long seconds = againAfterSeconds(failed);
            LOG.error(
                    "PostgreSQL in {} could not be started again, nothing can be stored or read meanwhile, and it is tried"
                            + " again in {} s: {}",
                    folder,
                    seconds,
                    e.getMessage());
            LOG.debug("why it could not be started", e);
            CompletableFuture.delayedExecutor(seconds, TimeUnit.SECONDS).execute(() -> startAgain(failed + 1));
        }
    }

    /** 1 s, then twice as long each time, at most five minutes: whoever frees the disk need not start the program again. */
    static long againAfterSeconds(int failed) {
        return Math.min(LONGEST_PAUSE_SECONDS, 1L << Math.min(failed, 30));
    }

    /** Stops the server, waiting for what is being written, and gives the folder free. */
    @Override
    public synchronized void close() {
        closing = true;
        try {
            stop("fast");
        } finally {
            release(lockFile);
        }
    }

    private void stop(String mode) {
        if (process().isPresent()) {
            run(List.of(executable("pg_ctl"), "stop", "-w", "-s", "-t", "120", "-m", mode, "-D", database.toString()))
                    .ifPresent(failure -> LOG.error("PostgreSQL in {} does not stop: {}", folder, failure));
        }
    }

    private void unpack() {
        String archive = "/postgres-" + platform() + ".txz";
        Path partial = program.resolveSibling(VERSION + ".partial");
        try (InputStream packed = EmbeddedServer.class.getResourceAsStream(archive)) {
            if (packed == null) {
                throw new IllegalStateException("there is no PostgreSQL for this machine in the program (" + archive
                        + "): install one and give Tenmesh its URL");
            }
            deleteTree(partial);
            Files.createDirectories(partial);
            try (TarArchiveInputStream tar =
                    new TarArchiveInputStream(new XZCompressorInputStream(new BufferedInputStream(packed)))) {
                for (TarArchiveEntry entry = tar.getNextEntry(); entry != null; entry = tar.getNextEntry()) {
                    unpack(entry, tar, partial);
                }
            }
            Files.move(partial, program, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException e) {
            throw new UncheckedIOException("PostgreSQL could not be unpacked into " + program, e);
        }
    }

    private static void unpack(TarArchiveEntry entry, InputStream content, Path into) throws IOException {
        Path target = into.resolve(entry.getName()).normalize();
        if (!target.startsWith(into)) {
            throw new IOException("the archive names a file outside itself: " + entry.getName());
        }
        if (entry.isDirectory()) {
            Files.createDirectories(target);
            return;
        }
        Files.createDirectories(target.getParent());
        if (entry.isSymbolicLink()) {
            Files.createSymbolicLink(target, Path.of(entry.getLinkName()));
            return;
        }
        Files.copy(content, target);
        if ((entry.getMode() & 0100) != 0
                && target.getFileSystem().supportedFileAttributeViews().contains("posix")) {
            Files.setPosixFilePermissions(
                    target,
                    EnumSet.complementOf(
                            EnumSet.of(PosixFilePermission.GROUP_WRITE, PosixFilePermission.OTHERS_WRITE)));
        }
    }

    private void initialise() {
        Path partial = folder.resolve("database.partial");
        Path password = folder.resolve("database.password");
        try {
            deleteTree(partial);
            Files.deleteIfExists(password);
            Files.createFile(password, Secrets.ownerOnly("rw-------"));
            Files.writeString(password, ownerPassword);
            unprivileged.own(folder);
            List<String> command = new ArrayList<>(List.of(
                    executable("initdb"),
                    "--pgdata=" + partial,
                    "--username=" + OWNER,
                    "--pwfile=" + password,
                    "--auth=scram-sha-256",
                    "--encoding=UTF8",
                    "--locale=C",
                    "--data-checksums",
                    "--no-instructions"));
            if (platform().startsWith("linux")) {
                // One call for the whole file system instead of one for each of a thousand files.
                command.add("--sync-method=syncfs");
            }
            Optional<String> failure = run(command);
            if (failure.isPresent()) {
                throw new IllegalStateException("a new database could not be made in " + folder + ": " + failure.get());
            }
            Files.move(partial, database, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException e) {
            throw new UncheckedIOException("a new database could not be made in " + folder, e);
        } finally {
            try {
                Files.deleteIfExists(password);
            } catch (IOException e) {
                LOG.warn("{} could not be deleted", password, e);
            }
        }
    }

    private void checkMajorVersion() {
        String major = VERSION.substring(0, VERSION.indexOf('.'));
        String found = read(database.resolve("PG_VERSION")).orElse("none").strip();
        if (!found.equals(major)) {
            throw new IllegalStateException("the database in " + folder + " was made by PostgreSQL " + found
                    + ", this program brings PostgreSQL " + major
                    + ": open it with the Tenmesh that made it, take a backup there and restore it here");
        }
    }

    // The number in the file may be that of another program, after the machine was started again, or of a dead server
    // that nobody has buried, as in a container; PostgreSQL would take either for a running server. When nothing at all
    // has the number, PostgreSQL sorts it out itself.
    private void removeStalePidFile() {
        List<String> lines = pidFile();
        if (lines.isEmpty()) {
            return;
        }
        Optional<ProcessHandle> holder =
                ProcessHandle.of(Long.parseLong(lines.get(0).strip()));
        if (holder.isEmpty() || isPostgres(holder.get())) {
            return;
        }
        for (int i = 0; i < 120 && anybodyWorksInTheDatabase(); i++) {
            pause(250);
        }
        try {
            Files.deleteIfExists(database.resolve("postmaster.pid"));
        } catch (IOException e) {
            throw new UncheckedIOException("a stale postmaster.pid in " + database + " cannot be deleted", e);
        }
    }

    // Every process of PostgreSQL works in the folder of its database; told on Linux only.
    private boolean anybodyWorksInTheDatabase() {
        return ProcessHandle.allProcesses().anyMatch(process -> {
            try {
                return Files.readSymbolicLink(Path.of("/proc", Long.toString(process.pid()), "cwd"))
                        .equals(database);
            } catch (IOException | UnsupportedOperationException e) {
                return false;
            }
        });
    }

    private List<String> pidFile() {
        return read(database.resolve("postmaster.pid"))
                .filter(text -> !text.isBlank())
                .map(text -> text.lines().toList())
                .orElse(List.of());
    }

    private int portInPidFile() {
        List<String> lines = pidFile();
        return lines.size() > 3 ? Integer.parseInt(lines.get(3).strip()) : 0;
    }

    private boolean answers() {
        PGSimpleDataSource source = new PGSimpleDataSource();
        source.setUrl(url());
        source.setUser(OWNER);
        source.setPassword(ownerPassword);
        source.setConnectTimeout(5);
        source.setSocketTimeout(5);
        try (Connection connection = source.getConnection()) {
            return connection.isValid(5);
        } catch (SQLException e) {
            LOG.warn("The PostgreSQL running in {} does not answer: {}", folder, e.getMessage());
            return false;
        }
    }

    private static boolean isPostgres(ProcessHandle process) {
        // A process whose program cannot be seen is taken for ours: better a refusal to start than two servers.
        return process.isAlive()
                && !isDeadButUnburied(process)
                && process.info()
                        .command()
                        .map(command ->
                                Path.of(command).getFileName().toString().startsWith("postgres"))
                        .orElse(true);
    }

    private static boolean isDeadButUnburied(ProcessHandle process) {
        // Linux: the state is the letter after the name in parentheses (proc_pid_stat(5)).
        return read(Path.of("/proc", Long.toString(process.pid()), "stat"))
                .filter(stat -> stat.startsWith("Z", stat.lastIndexOf(')') + 2))
                .isPresent();
    }

    private Optional<String> run(List<String> command) {
        try {
            Path output = Files.createTempFile(folder, "output", ".txt");
            try {
                Process process = new ProcessBuilder(unprivileged.command(command))
                        .directory(folder.toFile())
                        .redirectErrorStream(true)
                        .redirectOutput(output.toFile())
                        .start();
                if (!process.waitFor(START_SECONDS + 30, TimeUnit.SECONDS)) {
                    process.destroyForcibly();
                    return Optional.of("no end after " + (START_SECONDS + 30) + " s");
                }
                return process.exitValue() == 0
                        ? Optional.empty()
                        : read(output).map(String::strip);
            } finally {
                Files.deleteIfExists(output);
            }
        } catch (IOException e) {
            return Optional.of(e.toString());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return Optional.of("interrupted");
        }
    }

    private String executable(String name) {
        return program.resolve("bin").resolve(name).toString();
    }

    private String lastLogLines() {
        List<String> lines =
                read(folder.resolve("postgresql.log")).orElse("").lines().toList();
        return String.join(" | ", lines.subList(Math.max(0, lines.size() - 5), lines.size()));
    }

    private static Optional<String> read(Path file) {
        try {
            return Optional.of(Files.readString(file));
        } catch (IOException e) {
            return Optional.empty();
        }
    }

    private static String platform() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        String arch = System.getProperty("os.arch", "").toLowerCase(Locale.ROOT);
        String machine = arch.equals("amd64") || arch.equals("x86_64")
                ? "x86_64"
                : arch.equals("aarch64") || arch.equals("arm64") ? "arm_64" : arch;
        if (os.contains("win")) {
            return os.contains("darwin") ? "darwin-" + machine : "windows-" + machine;
        }
        if (os.contains("mac")) {
            return "darwin-" + machine;
        }
        return "linux-" + machine + (Files.exists(Path.of("/etc/alpine-release")) ? "-alpine_linux" : "");
    }

    private static int freePort() {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        } catch (IOException e) {
            throw new UncheckedIOException("there is no free port on 127.0.0.1", e);
        }
    }

    private static FileChannel lock(Path folder) {
        Path file = folder.resolve("lock");
        try {
            FileChannel channel = FileChannel.open(
                    file, StandardOpenOption.CREATE, StandardOpenOption.WRITE, StandardOpenOption.READ);
            Optional<FileLock> lock = Optional.empty();
            try {
                lock = Optional.ofNullable(channel.tryLock());
            } catch (OverlappingFileLockException e) {
                LOG.debug("{} is locked by this very process", file, e);
            }
            if (lock.isEmpty()) {
                channel.close();
                throw new IllegalStateException("the data folder " + folder
                        + " is in use by another Tenmesh: close that one first, or choose another folder");
            }
            return channel;
        } catch (IOException e) {
            throw new UncheckedIOException("the data folder " + folder + " cannot be locked", e);
        }
    }

    private static void release(FileChannel lockFile) {
        try {
            lockFile.close();
        } catch (IOException e) {
            LOG.warn("The lock on the data folder could not be released", e);
        }
    }

    private static void deleteTree(Path root) throws IOException {
        if (!Files.exists(root)) {
            return;
        }
        List<Path> all = new ArrayList<>();
        try (Stream<Path> walk = Files.walk(root)) {
            walk.forEach(all::add);
        }
        for (int i = all.size() - 1; i >= 0; i--) {
            Files.delete(all.get(i));
        }
    }

    private static void pause(long millis) {
        try {
            Thread.sleep(millis);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted while PostgreSQL was starting", e);
        }
    }
}
