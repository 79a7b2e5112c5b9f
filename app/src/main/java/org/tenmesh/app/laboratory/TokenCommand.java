package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.app.line.UsualFolder;
import org.tenmesh.store.Store;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.programs.Tokens;
import org.tenmesh.store.rows.Refused;

/** {@code tenmesh token}: makes, lists and withdraws tokens of other programs. */
public final class TokenCommand implements Command {
    private static final String ACTOR = "command line";

    @Override
    public Shape shape() {
        return new Shape(
                "token",
                "Make, list or withdraw a token of another program.",
                List.of(new Shape.Place("WHAT", "make, list or withdraw")),
                List.of(
                        Shape.Option.of("--program", "NAME", "make: which program"),
                        Shape.Option.of(
                                "--may", "SCOPES", "make: of capture, feed, register, results, a comma between them"),
                        Shape.Option.of(
                                "--sees", "WHICH", "make: own, the submissions that it registered, or register, all"),
                        Shape.Option.of(
                                "--days", "N", "make: for how many days it opens, 1 to " + Tokens.LONGEST.toDays()),
                        Shape.Option.of("--token", "N", "withdraw: its number in the list"),
                        Shape.Option.of("--reason", "TEXT", "withdraw: why, for the journal"),
                        Shape.Option.of("--data", "FOLDER", "the data folder of a server that is stopped"),
                        Shape.Option.of("--database", "URL", "a PostgreSQL of your own instead of the built-in one"),
                        Shape.Option.of("--database-user", "NAME", "its user")),
                List.of(
                        "While the server of a built-in database runs, tokens are made on its page Programs.",
                        "A token is printed once and kept nowhere; whoever has it may do what it may."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path data = UsualFolder.of(given.text("--data"), "laboratory");
        String what = given.place(0);
        if (!List.of("make", "list", "withdraw").contains(what)) {
            throw new CannotUse("token takes make, list or withdraw, found \"" + what + "\"");
        }
        if (given.text("--database").isEmpty() && !Files.isDirectory(data.resolve("database"))) {
            throw new CannotUse("there is no database in " + data + "; name the data folder with --data");
        }
        // What is asked is checked before a database is started for it.
        Set<Scope> scopes = what.equals("make") ? scopes(needed(given, "--may")) : Set.of();
        if (what.equals("make")) {
            needed(given, "--program");
            needed(given, "--days");
            if (!List.of("own", "register").contains(needed(given, "--sees"))) {
                throw new CannotUse("--sees takes own or register, found \"" + needed(given, "--sees") + "\"");
            }
        } else if (what.equals("withdraw")) {
            needed(given, "--token");
            needed(given, "--reason");
        }
        Clock clock = Clock.systemUTC();
        try (Store store =
                console.during("Starting the database in " + data, () -> Databases.open(given, data, clock))) {
            switch (what) {
                case "make" -> {
                    long days = given.number("--days", 0, 1, Tokens.LONGEST.toDays());
                    String token = store.tokens()
                            .make(
                                    needed(given, "--program"),
                                    scopes,
                                    needed(given, "--sees").equals("own"),
                                    clock.instant().plus(Duration.ofDays(days)),
                                    ACTOR);
                    console.out().println(token);
                }
                case "withdraw" -> {
                    int number = (int) given.number("--token", 0, 1, Integer.MAX_VALUE);
                    store.tokens().withdraw(number, needed(given, "--reason"), ACTOR);
                    console.out().println("Token " + number + " opens nothing any more.");
                }
                default -> list(store, clock.instant(), console);
            }
            return Status.DONE;
        } catch (Refused refused) {
            throw new CannotUse(String.valueOf(refused.getMessage()));
        }
    }

    private static void list(Store store, Instant now, Console console) {
        List<ProgramToken> all = store.tokens().all();
        if (all.isEmpty()) {
            console.out().println("No token has been made yet.");
        }
        for (ProgramToken one : all) {
            console.out()
                    .printf(
                            "%d  %s: %s; sees %s; %s; last used %s; made %s by %s%n",
                            one.id(),
                            one.program(),
                            one.scopeWords(),
                            one.ownOnly() ? "what it registered" : "register " + one.register(),
                            one.withdrawn()
                                    .map(gone ->
                                            "withdrawn " + gone.at() + " by " + gone.actor() + ": " + gone.reason())
                                    .orElseGet(() -> (one.opens(now) ? "opens until " : "ended ") + one.expiresAt()),
                            one.lastUsedAt().map(Instant::toString).orElse("never"),
                            one.madeAt(),
                            one.madeBy());
        }
    }

    private static String needed(Shape.Given given, String option) {
        return given.text(option).orElseThrow(() -> new CannotUse("token " + given.place(0) + " needs " + option));
    }

    private static Set<Scope> scopes(String typed) {
        Set<Scope> scopes = EnumSet.noneOf(Scope.class);
        for (String word : typed.split(",", -1)) {
            scopes.add(Scope.of(word.strip())
                    .orElseThrow(() -> new CannotUse("--may takes capture, feed, register, results with a comma between"
                            + " them, found \"" + word.strip() + "\"")));
        }
        return scopes;
    }
}
