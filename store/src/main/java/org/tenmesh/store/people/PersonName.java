package org.tenmesh.store.people;

import java.text.Normalizer;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/** Which names new people may have: none that looks like another name and is not. */
public final class PersonName {
    private static final int MOST = 80;

    /** What the program itself is called in the journal. */
    private static final List<String> PROGRAM =
            List.of("Tenmesh", "Tenmesh demo", "command line", "console of the machine");

    private PersonName() {}

    /** Whether one name is easily taken for the other: by capitals, marks, blanks, punctuation or letters that look alike. */
    public static boolean alike(String one, String other) {
        return one.toLowerCase(Locale.ROOT).equals(other.toLowerCase(Locale.ROOT))
                || NameAsSeen.of(one).equals(NameAsSeen.of(other));
    }

    /** What is wrong with the name, as a sentence; empty when nothing is. */
    public static Optional<String> wrong(String name) {
        if (name.isBlank() || name.length() > MOST) {
            return Optional.of("A person needs a name of 1 to " + MOST + " characters.");
        }
        if (name.codePoints().noneMatch(Character::isLetter)) {
            return Optional.of("A name has at least one letter.");
        }
        if (PROGRAM.stream().anyMatch(own -> alike(own, name))) {
            return Optional.of("The journal calls the program itself so; a person needs another name.");
        }
        if (!name.strip().equals(name) || name.contains("  ")) {
            return Optional.of("A name has no blank at its ends and no two in a row.");
        }
        boolean unseen = name.codePoints()
                .anyMatch(c -> c != ' '
                        && switch (Character.getType(c)) {
                            case Character.CONTROL,
                                    Character.FORMAT,
                                    Character.SPACE_SEPARATOR,
                                    Character.LINE_SEPARATOR,
                                    Character.PARAGRAPH_SEPARATOR,
                                    Character.PRIVATE_USE,
                                    Character.SURROGATE,
                                    Character.UNASSIGNED -> true;
                            default -> false;
                        });
        if (unseen || !Normalizer.isNormalized(name, Normalizer.Form.NFKC)) {
            return Optional.of("The name has a character that cannot be seen or that looks like another one; type it "
                    + "anew with ordinary letters and blanks.");
        }
        Set<Character.UnicodeScript> scripts = name.codePoints()
                .filter(Character::isLetter)
                .mapToObj(Character.UnicodeScript::of)
                .collect(Collectors.toSet());
        // Japanese is written in three scripts together; letters of others are mixed only to deceive.
        scripts.removeAll(Set.of(
                Character.UnicodeScript.COMMON,
                Character.UnicodeScript.INHERITED,
                Character.UnicodeScript.HIRAGANA,
                Character.UnicodeScript.KATAKANA));
        return scripts.size() > 1
                ? Optional.of("The name mixes letters of two alphabets, some of which look alike; use one.")
                : Optional.empty();
    }
}
