package org.tenmesh.store.server;

import com.zaxxer.hikari.HikariConfig;
import com.zaxxer.hikari.HikariDataSource;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javax.sql.DataSource;
import org.flywaydb.core.Flyway;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.postgres.PostgresPlugin;
import org.postgresql.ds.PGSimpleDataSource;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** The open database: its server where it is ours, the schema brought up to date, and one pool a database user. */
public final class Connections implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Connections.class);
    private static final String APP = "tenmesh_app";
    private static final String QUALITY = "tenmesh_quality";
    private static final String BENCH = "tenmesh_bench";

    private final Optional<EmbeddedServer> server;
    private final PGSimpleDataSource owner;
    private final PGSimpleDataSource listening;
    private final HikariDataSource appPool;
    private final HikariDataSource qualityPool;
    private final HikariDataSource benchPool;
    private final Jdbi app;
    private final Jdbi quality;
    private final Jdbi bench;

    public static Connections open(StoreSettings settings, SecureRandom random) {
        if (settings instanceof StoreSettings.Embedded embedded) {
            Secrets.makeFolder(embedded.folder());
            Secrets secrets = new Secrets(embedded.folder().resolve("secrets"), random);
            EmbeddedServer server = EmbeddedServer.start(embedded.folder(), embedded.port(), secrets);
            try {
                return new Connections(
                        Optional.of(server),
                        server.url(),
                        EmbeddedServer.OWNER,
                        secrets.password(EmbeddedServer.OWNER),
                        secrets);
            } catch (RuntimeException e) {
                server.close();
                throw e;
            }
        }
        StoreSettings.ByUrl byUrl = (StoreSettings.ByUrl) settings;
        return new Connections(
                Optional.empty(), byUrl.url(), byUrl.user(), byUrl.password(), new Secrets(byUrl.secrets(), random));
    }

    private Connections(Optional<EmbeddedServer> server, String url, String user, String password, Secrets secrets) {
        this.server = server;
        owner = source(url, user, password);
        bringUpToDate(owner);
        setPasswords(url, secrets);
        listening = source(url, APP, secrets.password(APP));
        listening.setApplicationName("tenmesh listening");
        // A connection that died without a word is found by this, not in hours.
        listening.setTcpKeepAlive(true);
        appPool = pool(url, APP, secrets.password(APP), 12);
        qualityPool = pool(url, QUALITY, secrets.password(QUALITY), 4);
        benchPool = pool(url, BENCH, secrets.password(BENCH), 4);
        app = Jdbi.create(appPool).installPlugin(new PostgresPlugin());
        quality = Jdbi.create(qualityPool).installPlugin(new PostgresPlugin());
        bench = Jdbi.create(benchPool).installPlugin(new PostgresPlugin());
    }

    public Jdbi app() {
        return app;
    }

    public Jdbi quality() {
        return quality;
    }

    public Jdbi bench() {
        return bench;
    }

    /** A connection of the program's, outside any pool, on which the database tells of changes. */
    public Connection listening() throws SQLException {
        return listening.getConnection();
    }

    /** A connection of the schema's owner, outside any pool. */
    public Connection owner() throws SQLException {
        return owner.getConnection();
    }

    public Optional<EmbeddedServer> server() {
        return server;
    }

    /**
     * Applies every migration that a database does not have yet, in the order of their numbers; also one with a lower number than what it has:
     * what lands first is not always what was begun first.
     *
     * @param owner connections of the schema's owner
     * @throws org.flywaydb.core.api.FlywayException when a migration that was applied is not the one of this program; then nothing is changed
     */
    public static void bringUpToDate(DataSource owner) {
        Flyway.configure(Connections.class.getClassLoader())
                .dataSource(owner)
                .locations("classpath:org/tenmesh/store/migration")
                .defaultSchema("migration")
                .createSchemas(true)
                .outOfOrder(true)
                .loggers("slf4j")
                .load()
                .migrate();
    }

    private void setPasswords(String url, Secrets secrets) {
        List<String> users = Stream.of(APP, QUALITY, BENCH)
                .filter(user -> server.isPresent() || !letsIn(url, user, secrets.password(user)))
                .toList();
        if (users.isEmpty()) {
            return;
        }
        try (Connection connection = owner.getConnection();
                Statement statement = connection.createStatement()) {
            // One server after the other; the lock goes with the connection.
            statement.execute("select pg_advisory_lock(75, 1)");
            if (server.isEmpty() && othersAreOpen(statement)) {
                throw new IllegalStateException(
                        "another server is open on this database, and the passwords in its folder of secrets are not those of this"
                                + " one: copy that folder (secrets, in the data folder) to this server, then start it again");
            }
            for (String user : users) {
                // The password is URL-safe text of our own making: nothing in it needs quoting.
                statement.execute("alter role " + user + " password '" + secrets.password(user) + "'");
            }
        } catch (SQLException e) {
            throw new IllegalStateException(
                    "the passwords of the database users " + users + " could not be set: " + e.getMessage()
                            + ": let an administrator give them the passwords in the folder of secrets",
                    e);
        }
    }

    private static boolean othersAreOpen(Statement statement) throws SQLException {
        try (ResultSet others = statement.executeQuery("select exists (select from pg_stat_activity where usename in ('"
                + APP + "', '" + QUALITY + "', '" + BENCH + "'))")) {
            return others.next() && others.getBoolean(1);
        }
    }

    private static boolean letsIn(String url, String user, String password) {
        PGSimpleDataSource source = source(url, user, password);
        try (Connection connection = source.getConnection()) {
            return connection.isValid(5);
        } catch (SQLException e) {
            LOG.debug("Database user {} is not let in with the password that is kept", user, e);
            return false;
        }
    }

    private static PGSimpleDataSource source(String url, String user, String password) {
        PGSimpleDataSource source = new PGSimpleDataSource();
        source.setUrl(url);
        source.setUser(user);
        source.setPassword(password);
        source.setApplicationName("tenmesh");
        return source;
    }

    private static HikariDataSource pool(String url, String user, String password, int most) {
        HikariConfig config = new HikariConfig();
        config.setJdbcUrl(url);
        config.setUsername(user);
        config.setPassword(password);
        config.setPoolName(user);
        config.setMaximumPoolSize(most);
        config.setMinimumIdle(0);
        config.setInitializationFailTimeout(-1);
        // Long enough for a killed server to be started again while a request waits.
        config.setConnectionTimeout(20_000);
        config.addDataSourceProperty("ApplicationName", "tenmesh");
        config.addDataSourceProperty("reWriteBatchedInserts", "true");
        return new HikariDataSource(config);
    }

    @Override
    public void close() {
        benchPool.close();
        qualityPool.close();
        appPool.close();
        server.ifPresent(EmbeddedServer::close);
    }
}
