package org.tenmesh.app.laboratory;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Shape;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonName;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;

/**
 * What whoever runs the machine does about people: names the first person in charge and the first of quality, and gives
 * somebody who forgot their password a way back. All of it goes to the journal.
 */
final class ConsolePeople {
    private static final String CONSOLE = "console of the machine";

    static final List<Shape.Option> OPTIONS = List.of(
            Shape.Option.of("--in-charge", "NAME", "adds this person as in charge and prints a sign-in link"),
            Shape.Option.of("--quality", "NAME", "adds this person to quality and prints a sign-in link"),
            Shape.Option.of(
                    "--reset-password", "NAME", "takes a forgotten password away and prints a link to set a new one"));

    private ConsolePeople() {}

    /**
     * Somebody who gets a one-time link.
     *
     * @param says what it is for
     */
    record Link(String name, String says) {}

    /**
     * Does what the options ask.
     *
     * @throws CannotUse when a name cannot be one, or belongs to somebody of another role
     */
    static List<Link> prepare(Shape.Given given, Store store) {
        List<Link> links = new ArrayList<>();
        for (String name : given.all("--in-charge")) {
            add(store, "--in-charge", name, PersonRole.IN_CHARGE).ifPresent(links::add);
        }
        for (String name : given.all("--quality")) {
            add(store, "--quality", name, PersonRole.QUALITY).ifPresent(links::add);
        }
        for (String name : given.all("--reset-password")) {
            Person person = store.people()
                    .called(name)
                    .filter(Person::active)
                    .orElseThrow(() -> new CannotUse("--reset-password: no active person is called \"" + name + "\""));
            store.people().change(new Person(person.name(), person.role(), ""), CONSOLE);
            links.add(new Link(person.name(), "sets a new password; the old one no longer works"));
        }
        return List.copyOf(links);
    }

    /** Whether somebody in charge can sign in, or has a link to. */
    static boolean someoneInCharge(Store store, List<Link> links) {
        return store.people().all().stream()
                .anyMatch(known -> known.active()
                        && known.role() == PersonRole.IN_CHARGE
                        && (!known.passwordHash().isEmpty()
                                || links.stream().anyMatch(link -> link.name().equals(known.name()))));
    }

    // Asked again for somebody who has a password already it does nothing, so that the options may stay in a script;
    // nor does it for
    // somebody who has another name by now.
    private static Optional<Link> add(Store store, String option, String name, PersonRole role) {
        PersonName.wrong(name).ifPresent(wrong -> {
            throw new CannotUse(option + " \"" + name + "\": " + wrong);
        });
        Optional<Person> known = store.people().called(name);
        if (known.isEmpty()) {
            try {
                store.people().add(new Person(name, role, ""), CONSOLE);
            } catch (Refused refused) {
                throw new CannotUse(option + " \"" + name + "\": " + refused.getMessage());
            }
        } else if (known.get().role() != role || !known.get().active()) {
            throw new CannotUse(option + " \"" + name + "\": there is somebody of this name already, "
                    + known.get().role().phrase() + (known.get().active() ? "" : ", who left") + "; give another name");
        } else if (!known.get().passwordHash().isEmpty()) {
            return Optional.empty();
        }
        return Optional.of(new Link(known.map(Person::name).orElse(name), "signs in once as " + role.phrase()));
    }
}
