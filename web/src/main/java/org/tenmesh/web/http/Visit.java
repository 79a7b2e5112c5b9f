package org.tenmesh.web.http;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.days.NotJudged;

/**
 * One request, as pages see it.
 *
 * @param person who asks; empty before sign-in
 * @param desk the day that is asked for, as it stood when the request came: the newest where none is; empty when there is none
 * @param newest whether it is the newest day
 * @param version grows whenever anything that pages show has changed
 * @param open earlier days on which something is still to be done
 * @param notJudged the days that are stored and could not be judged
 * @param token the session's token; empty text before sign-in
 * @param from the address it came from
 * @param linkIssuer who issued the one-time link by which the session began not long ago; empty otherwise
 * @param locksAfter after how long without use the sign-in locks, where it began with a badge; empty otherwise
 * @param files that came with the form, by field
 * @param site scheme, host and port as the visitor wrote them, by which the same server is reached from there
 */
public record Visit(
        Optional<Person> person,
        Optional<Desk> desk,
        boolean newest,
        String version,
        List<OpenDay> open,
        List<NotJudged> notJudged,
        String token,
        String from,
        Optional<String> linkIssuer,
        Optional<Duration> locksAfter,
        String site,
        Map<String, String> parts,
        Map<String, String> query,
        Map<String, String> form,
        Map<String, Upload> files) {

    /** A file that came with a form, under the name of its field. */
    public record Upload(String name, byte[] bytes) {}

    public PersonRole role() {
        return person.orElseThrow().role();
    }

    /** Who is written into the journal. */
    public String actor() {
        return person.orElseThrow().name();
    }

    public boolean seesControls() {
        return person.filter(p -> Rights.SEALED.contains(p.role())).isPresent();
    }

    public boolean may(java.util.Set<PersonRole> roles) {
        return person.filter(p -> roles.contains(p.role())).isPresent();
    }

    public String part(String name) {
        return parts.getOrDefault(name, "");
    }

    public String query(String name) {
        return query.getOrDefault(name, "");
    }

    public String form(String name) {
        return form.getOrDefault(name, "").strip();
    }

    /** A form field as typed, blanks and all: for passwords. */
    public String secret(String name) {
        return form.getOrDefault(name, "");
    }
}
