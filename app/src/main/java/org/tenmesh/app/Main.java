package org.tenmesh.app;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.tenmesh.app.days.ExplainCommand;
import org.tenmesh.app.days.JudgeCommand;
import org.tenmesh.app.days.LayoutCommand;
import org.tenmesh.app.days.LimitsCommand;
import org.tenmesh.app.days.ReadCommand;
import org.tenmesh.app.days.RoundsCommand;
import org.tenmesh.app.days.SimulateCommand;
import org.tenmesh.app.laboratory.BackupCommand;
import org.tenmesh.app.laboratory.DemoCommand;
import org.tenmesh.app.laboratory.RecordCommand;
import org.tenmesh.app.laboratory.RestoreCommand;
import org.tenmesh.app.laboratory.ServeCommand;
import org.tenmesh.app.laboratory.TokenCommand;
import org.tenmesh.app.laboratory.VerifyCommand;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.FailedInside;
import org.tenmesh.app.line.Nearest;
import org.tenmesh.app.line.ProgramVersion;
import org.tenmesh.app.line.Refused;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.app.reference.CheckCommand;
import org.tenmesh.app.reference.MethodsCommand;
import org.tenmesh.app.reference.PolicyCommand;

/** The program's front door: {@code tenmesh COMMAND …}. */
public final class Main {
    /** What the start script does by itself. */
    private static final List<String> OF_A_CHECKOUT = List.of("test", "power", "coverage", "mutate", "benchmark");

    private Main() {}

    /** The commands, in the order of the help page. */
    private enum Word {
        DEMO(() -> new DemoCommand()),
        SERVE(() -> new ServeCommand()),
        JUDGE(() -> new JudgeCommand()),
        EXPLAIN(() -> new ExplainCommand()),
        READ(() -> new ReadCommand()),
        METHODS(() -> new MethodsCommand()),
        ROUNDS(() -> new RoundsCommand()),
        LIMITS(() -> new LimitsCommand()),
        LAYOUT(() -> new LayoutCommand()),
        POLICY(() -> new PolicyCommand()),
        SIMULATE(() -> new SimulateCommand()),
        CHECK(() -> new CheckCommand()),
        VERIFY(() -> new VerifyCommand()),
        BACKUP(() -> new BackupCommand()),
        RESTORE(() -> new RestoreCommand()),
        RECORD(() -> new RecordCommand()),
        TOKEN(() -> new TokenCommand());

        // A lambda and no reference to a constructor, which would load the command's class at once: short commands are
        // started without
        // the database and the pages, and a class that cannot be found there must not be asked for.
        private final Supplier<Command> command;

        Word(Supplier<Command> command) {
            this.command = command;
        }

        String typed() {
            return name().toLowerCase(Locale.ROOT);
        }

        static Optional<Word> of(String typed) {
            return Arrays.stream(values())
                    .filter(word -> word.typed().equals(typed))
                    .findFirst();
        }
    }

    /** Runs one command and ends the process with its exit status. */
    public static void main(String[] arguments) {
        System.exit(run(Console.ofProcess(), arguments));
    }

    /**
     * Runs one command. Nothing it throws comes through: whatever goes wrong is one sentence and an exit status.
     *
     * @param console where it writes and whether a person is watching
     * @param arguments as typed, the command first
     * @return exit status: 0 done, 1 done but something is held or failed, 2 the input cannot be used, 3 the program
     *     failed inside
     */
    public static int run(Console console, String... arguments) {
        List<String> typed = List.of(arguments);
        return ending(console, typed, () -> named(console, typed));
    }

    /** What a command does. */
    interface Work {
        int run() throws IOException;
    }

    /** Does the work and ends it: whatever it throws becomes one sentence and an exit status. */
    static int ending(Console console, List<String> typed, Work work) {
        try {
            return work.run();
        } catch (CannotUse wrong) {
            return ended(console, String.valueOf(wrong.getMessage()), Status.UNUSABLE);
        } catch (IOException failed) {
            return ended(console, Refused.sentence(failed), Status.UNUSABLE);
        } catch (UncheckedIOException failed) {
            return ended(console, Refused.sentence(failed), Status.UNUSABLE);
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError failed) {
            return ended(console, FailedInside.sentence(failed, typed), Status.FAILED_INSIDE);
        } finally {
            console.out().flush();
            console.err().flush();
        }
    }

    private static int ended(Console console, String sentence, int status) {
        console.progressDone();
        console.err().println("tenmesh: " + sentence);
        return status;
    }

    private static int named(Console console, List<String> typed) throws IOException {
        String first = typed.isEmpty() ? "help" : typed.get(0);
        List<String> rest = typed.isEmpty() ? List.of() : typed.subList(1, typed.size());
        switch (first) {
            case "help", "--help", "-h" -> {
                console.out()
                        .print(
                                rest.isEmpty()
                                        ? help()
                                        : command(rest.get(0)).shape().help());
                return Status.DONE;
            }
            case "--version", "-V", "version" -> {
                console.out().println("tenmesh " + ProgramVersion.text());
                return Status.DONE;
            }
            default -> {
                Command command = command(first);
                if (rest.contains("--help") || rest.contains("-h")) {
                    console.out().print(command.shape().help());
                    return Status.DONE;
                }
                return command.run(command.shape().sort(rest), console);
            }
        }
    }

    private static Command command(String typed) {
        return Word.of(typed)
                .orElseThrow(() -> new CannotUse(
                        OF_A_CHECKOUT.contains(typed)
                                ? typed + " runs in a checkout of the sources only: ./tenmesh " + typed
                                : "there is no command \"" + typed + "\"" + Nearest.perhaps(typed, words())
                                        + "; tenmesh help lists those there are"))
                .command
                .get();
    }

    private static List<String> words() {
        return Stream.concat(
                        Arrays.stream(Word.values()).map(Word::typed),
                        Stream.concat(Stream.of("help", "--help", "--version"), OF_A_CHECKOUT.stream()))
                .toList();
    }

    private static String help() {
        StringBuilder text = new StringBuilder();
        text.append("tenmesh COMMAND …\n\n");
        text.append("All the evidence of a soil laboratory's day in one place, judged while the soil is still in its"
                + " tray.\n\n");
        for (Word word : Word.values()) {
            Shape shape = word.command.get().shape();
            text.append(String.format("  %-10s %s%n", word.typed(), shape.says()));
        }
        text.append('\n');
        text.append(Status.ALL).append('\n');
        text.append("tenmesh help COMMAND tells more. In a checkout of the sources, ./tenmesh test runs every check;"
                + " power, coverage, mutate and benchmark\nmeasure the program (README.md, and the folder proof).\n");
        return text.toString();
    }
}
