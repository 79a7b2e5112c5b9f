package org.tenmesh.web.http;

import java.util.Set;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.words.DayAddress;

/**
 * One line of the route table.
 *
 * @param path with {@code {name}} for its variable parts
 * @param roles who may; empty = everybody, signed in or not
 * @param takesFile whether its form may carry files
 */
public record Route(Verb verb, String path, Set<PersonRole> roles, Page page, boolean takesFile) {
    /** What the browser asks for. */
    public enum Verb {
        GET,
        POST
    }

    /** What answers. */
    public interface Page {
        Answer answer(Visit visit);
    }

    public Route {
        roles = Set.copyOf(roles);
    }

    public static Route get(String path, Set<PersonRole> roles, Page page) {
        return new Route(Verb.GET, path, roles, page, false);
    }

    public static Route post(String path, Set<PersonRole> roles, Page page) {
        return new Route(Verb.POST, path, roles, page, false);
    }

    /** A form that carries files. */
    public static Route file(String path, Set<PersonRole> roles, Page page) {
        return new Route(Verb.POST, path, roles, page, true);
    }

    /** Whether it shows one laboratory day. */
    public boolean isOfADay() {
        return DayAddress.isOfADay(path);
    }

    /** Whether it answers before anybody has signed in. */
    public boolean open() {
        return roles.isEmpty();
    }
}
