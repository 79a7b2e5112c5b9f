package org.tenmesh.exchange.day;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.Spelling;

/** Files of a day folder that are not read although their names look as if they should be. */
final class FolderNames {
    /** Beside an invented day lies what is true of it. */
    private static final String TRUTH = "truth";

    private final Path folder;

    FolderNames(Path folder) {
        this.folder = folder;
    }

    /**
     * Tells them. A name close to one that the folder lacks is a problem; of other things beside the readings there is a note.
     *
     * @param runs runs that were taken
     */
    void tell(List<String> runs, List<Problem> problems, List<Problem> notes) {
        List<String> names = names(folder);
        Set<String> present = new HashSet<>(names);
        List<String> absent =
                DayFiles.FILES.stream().filter(name -> !present.contains(name)).toList();
        for (String name : names) {
            if (DayFiles.FILES.contains(name)) {
                continue;
            }
            Optional<String> meant = absent.stream()
                    .filter(known -> stem(known).equalsIgnoreCase(stem(name))
                            || Spelling.closest(name, List.of(known)).isPresent())
                    .findFirst();
            if (meant.isPresent()) {
                problems.add(new Problem(
                        name,
                        0,
                        "",
                        "a file of this name and no " + meant.get(),
                        meant.get() + ", if that is what is meant",
                        "The file is not read"));
            } else if (name.endsWith(".csv") && !name.startsWith(TRUTH)) {
                notes.add(new Problem(
                        name,
                        0,
                        "",
                        "a table that is none of the day's",
                        "one of " + String.join(", ", DayFiles.FILES),
                        "The file is not read"));
            }
        }
        for (String name : names) {
            if (name.equals(DayFiles.READINGS) || !Files.isDirectory(folder.resolve(name))) {
                continue;
            }
            Set<String> inside = new TreeSet<>(names(folder.resolve(name)));
            inside.retainAll(absent);
            inside.forEach(known -> problems.add(new Problem(
                    name + "/" + known,
                    0,
                    "",
                    "a file of this name in a folder of its own and no " + known,
                    known + " in the day folder itself, if that is what is meant",
                    "The file is not read")));
        }
        for (String name : names(folder.resolve(DayFiles.READINGS))) {
            if (name.startsWith(".") || name.endsWith(".csv")) {
                continue;
            }
            boolean meant = name.toLowerCase(Locale.ROOT).endsWith(".csv") || runs.contains(stem(name));
            (meant ? problems : notes)
                    .add(new Problem(
                            DayFiles.READINGS + "/" + name,
                            0,
                            "",
                            Files.isDirectory(folder.resolve(DayFiles.READINGS).resolve(name))
                                    ? "a folder"
                                    : "a file whose name does not end in .csv",
                            "RUN.csv for a run of runs.csv",
                            "It is not read"));
        }
    }

    private static List<String> names(Path folder) {
        if (!Files.isDirectory(folder)) {
            return List.of();
        }
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(path -> String.valueOf(path.getFileName()))
                    .sorted()
                    .toList();
        } catch (IOException unreadable) {
            // Told where the files themselves are opened.
            return List.of();
        }
    }

    private static String stem(String name) {
        int dot = name.lastIndexOf('.');
        return dot > 0 ? name.substring(0, dot) : name;
    }
}
