package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Each field of the day folder slightly wrong: which mistake, and what the command says of it. */
final class MistakeTable {
    /** Mistakes that a person or an export makes in one field. */
    private static final List<Mistake> OF_A_FIELD = List.of(
            Mistake.EMPTY,
            Mistake.TEXT,
            Mistake.LETTER_LEFT_OUT,
            Mistake.UPPER_CASE,
            Mistake.BLANK_AFTER,
            Mistake.DECIMAL_COMMA,
            Mistake.NEGATIVE,
            Mistake.HUGE,
            Mistake.OTHER_UNIT,
            Mistake.YEAR_1970,
            Mistake.NO_OFFSET,
            Mistake.COLUMN_MISSPELT,
            Mistake.COLUMN_DELETED);

    private static final List<Mistake> OF_A_FILE = List.of(
            Mistake.ROW_TWICE,
            Mistake.ROW_DELETED,
            Mistake.HEADER_ALONE,
            Mistake.FILE_MISSING,
            Mistake.FILE_EMPTY,
            Mistake.SEMICOLONS,
            Mistake.UTF_16,
            Mistake.FOLDER_INSTEAD,
            Mistake.NAME_MISSPELT,
            Mistake.IN_ANOTHER_FOLDER,
            Mistake.A_COPY_BESIDE);

    private MistakeTable() {}

    /** One line of the table. */
    record Line(Mutation mutation, Seen seen) {
        String row() {
            String said = seen.said().isEmpty()
                    ? ""
                    : seen.said().replace("|", "\\|").replaceAll("\\s+", " ").replaceAll("^(.{150}).+$", "$1…");
            String reason = seen.outcome().compareTo(Outcome.VALUES_IN_SILENCE) >= 0
                    ? Unseen.reason(mutation, seen.outcome()).orElse("NO REASON")
                    : "";
            return "| `" + mutation.file() + "` | "
                    + (mutation.field().isEmpty() ? "" : "`" + mutation.field() + "`") + " | "
                    + mutation.mistake().words()
                    + " | " + seen.outcome().words() + " | " + (reason.isEmpty() ? said : said + ". " + reason) + " |";
        }
    }

    /** The mistakes of the table in one day, of which one run of each kind of method is looked at. */
    static List<Mutation> mutations(String day, Folder folder, long seed) {
        List<Mutation> all = new ArrayList<>();
        for (String file : folder.tables()) {
            for (String field : folder.sheet(file).header) {
                OF_A_FIELD.forEach(mistake -> all.add(new Mutation(day, file, field, mistake, seed)));
            }
            OF_A_FILE.forEach(mistake -> all.add(new Mutation(day, file, "", mistake, seed)));
        }
        return all.stream().filter(one -> one.in(folder).isPresent()).toList();
    }

    static List<Line> lines(Trial trial, Trial.Base base, List<Mutation> mutations) throws IOException {
        List<Line> lines = new ArrayList<>();
        for (Mutation mutation : mutations) {
            Optional<Folder> changed = mutation.in(base.folder());
            if (changed.isPresent()) {
                lines.add(new Line(mutation, trial.run(base, changed.get())));
            }
        }
        return lines;
    }

    /** The page: what each field does when it is slightly wrong, and why some changes stay silent. */
    static String page(List<Line> lines) {
        Map<Outcome, Integer> counts = new LinkedHashMap<>();
        lines.forEach(line -> counts.merge(line.seen.outcome(), 1, Integer::sum));
        StringBuilder page = new StringBuilder("# Each field slightly wrong\n\n");
        page.append(
                        "Written by `./tenmesh mutate --table docs/validation/mistakes.md`: one mistake in each field and file of a small invented day of the three")
                .append(
                        " first methods (seed 1, 24 soils), and what the command said first. *refused*: a problem names the place; *told*: a cause, a note or")
                .append(
                        " something set aside; *unchanged*: no result, gate or control value is another one. In all of them the account of what was read adds up.\n\n");
        page.append("Counts: ");
        page.append(String.join(
                ", ",
                counts.entrySet().stream()
                        .map(one -> one.getValue() + " " + one.getKey().words())
                        .toList()));
        page.append(
                ".\n\n## What stays silent, and why\n\n| where | why nobody who has the folder alone could see it |\n| --- | --- |\n");
        Unseen.RULES.forEach(rule -> page.append("| ")
                .append(rule.where())
                .append(" | ")
                .append(rule.reason())
                .append(" |\n"));
        page.append(
                "\n## Field by field\n\n| file | field | mistake | what happens | said first |\n| --- | --- | --- | --- | --- |\n");
        lines.forEach(line -> page.append(line.row()).append('\n'));
        return page.toString();
    }
}
