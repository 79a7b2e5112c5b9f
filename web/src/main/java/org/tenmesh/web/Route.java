package org.tenmesh.web;

import java.util.EnumSet;
import java.util.Set;
import org.tenmesh.store.PersonRole;

/**
 * One line of the route table.
 *
 * @param path with {@code {name}} for its variable parts
 * @param roles who may; empty = everybody, signed in or not
 */
record Route(Verb verb, String path, Set<PersonRole> roles, Page page) {
    /** What the browser asks for. */
    enum Verb {
        GET,
        POST
    }

    /** What answers. */
    interface Page {
        Answer answer(Visit visit);
    }

    Route {
        roles = Set.copyOf(roles);
    }

    static Route get(String path, Set<PersonRole> roles, Page page) {
        return new Route(Verb.GET, path, roles, page);
    }

    static Route post(String path, Set<PersonRole> roles, Page page) {
        return new Route(Verb.POST, path, roles, page);
    }

    /** Whether it shows one laboratory day. */
    boolean isOfADay() {
        return DayAddress.isOfADay(path);
    }

    /** Whether it answers before anybody has signed in. */
    boolean open() {
        return roles.isEmpty();
    }

    /** Everybody who has signed in. */
    static final Set<PersonRole> ALL = Set.copyOf(EnumSet.allOf(PersonRole.class));

    /** Those who see verdicts. */
    static final Set<PersonRole> FLOOR = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR);

    /** Those who see which lab numbers are hidden controls. */
    static final Set<PersonRole> SEALED = Set.of(PersonRole.QUALITY, PersonRole.AUDITOR);

    /** Those who act on causes. */
    static final Set<PersonRole> ACT = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);

    /** Those who see submissions, releases and reports. */
    static final Set<PersonRole> CLIENTS =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.CLIENT_SERVICE, PersonRole.AUDITOR);

    /** Those who see trays. */
    static final Set<PersonRole> TRAYS =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH, PersonRole.AUDITOR);
}
