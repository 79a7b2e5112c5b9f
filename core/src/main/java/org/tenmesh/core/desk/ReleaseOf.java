package org.tenmesh.core.desk;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;

/**
 * Of what a release is signed in one act: the whole day, one tray, or what one cause touched. What leaves is always whole submissions that are
 * complete; the others stay and are named.
 *
 * @param name of the tray, or the key of the cause; empty text for the day
 */
public record ReleaseOf(Kind kind, String name) {
    /** Kinds of it. */
    public enum Kind {
        DAY("day"),
        TRAY("tray"),
        CAUSE("cause");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in addresses. */
        public String word() {
            return word;
        }

        /** The kind with this word; the day for any other. */
        public static Kind of(String word) {
            return Arrays.stream(values())
                    .filter(kind -> kind.word.equals(word))
                    .findFirst()
                    .orElse(DAY);
        }
    }

    /** Whether the day has it. */
    public boolean isOn(Desk desk) {
        return switch (kind) {
            case DAY -> true;
            case TRAY -> desk.tray(name).isPresent();
            case CAUSE -> desk.cause(name).isPresent();
        };
    }

    /** The promises of the submissions with a soil of it, in the order of the day. */
    public List<Promise> promises(Desk desk) {
        if (kind == Kind.DAY) {
            return desk.promises();
        }
        Set<String> of = submissions(desk);
        return desk.promises().stream()
                .filter(promise -> of.contains(promise.submission().submission()))
                .toList();
    }

    private Set<String> submissions(Desk desk) {
        return switch (kind) {
            case DAY -> Set.of();
            case TRAY ->
                desk.tray(name).stream()
                        .flatMap(tray -> tray.wells().stream())
                        .map(Tray.Place::labNumber)
                        .flatMap(Optional::stream)
                        .flatMap(number -> desk.soil(number.text()).stream())
                        .map(Soil::submission)
                        .flatMap(Optional::stream)
                        .collect(Collectors.toSet());
            case CAUSE -> desk.cause(name).map(desk::submissionsOf).orElse(Set.of());
        };
    }
}
