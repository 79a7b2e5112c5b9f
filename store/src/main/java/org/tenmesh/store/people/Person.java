package org.tenmesh.store.people;

/**
 * Somebody who may sign in.
 *
 * @param name unique, 1 to 80 characters, compared without regard to case
 * @param passwordHash as the web module makes it; empty text = cannot sign in with a password
 * @param active a person who left is kept, for what they signed, but cannot sign in
 */
public record Person(String name, PersonRole role, String passwordHash, boolean active) {
    public Person {
        if (name.isBlank() || name.length() > 80) {
            throw new IllegalArgumentException("a person's name has 1 to 80 characters, found \"" + name + "\"");
        }
    }

    public Person(String name, PersonRole role, String passwordHash) {
        this(name, role, passwordHash, true);
    }

    @Override
    public String toString() {
        return "Person[" + name + ", " + role.word() + (active ? "]" : ", left]");
    }
}
