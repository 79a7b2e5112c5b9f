package org.tenmesh.web.people;

import java.util.List;
import org.tenmesh.store.journal.JournalQuestion;

/**
 * A part of the journal, as its page shows it.
 *
 * @param count of all entries asked for
 * @param day that was asked for, as typed into the form; empty for all
 * @param older address of the next part; empty after the last
 * @param self who looks
 * @param wrong what could not be understood; empty when nothing
 * @param inAFile so many entries a file holds
 */
public record JournalView(
        List<Line> lines,
        long count,
        List<String> actors,
        List<String> kinds,
        JournalQuestion asked,
        String day,
        String older,
        String self,
        String wrong,
        int inAFile) {

    /** One entry in words. */
    public record Line(long seq, String when, String who, String what, String about, String says, String sha256) {}

    public boolean actor(String name) {
        return asked.actor().filter(name::equals).isPresent();
    }

    public boolean kind(String word) {
        return asked.what().filter(word::equals).isPresent();
    }

    public boolean narrowed() {
        return !asked.equals(JournalQuestion.ALL);
    }
}
