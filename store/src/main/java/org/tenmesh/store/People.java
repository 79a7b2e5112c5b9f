package org.tenmesh.store;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * Who may sign in, and their sessions. Tokens are 256 random bits in URL-safe text; only their SHA-256 is stored.
 *
 * <p>Changes of people go to the journal, without password hashes; sessions do not.
 */
public final class People {
    People() {}

    /**
     * Adds somebody.
     *
     * @param actor who adds
     * @throws Refused when the name is there already
     */
    public void add(Person person, String actor) {
        throw new IllegalStateException("not landed yet");
    }

    /**
     * Changes role, password hash or whether the person is active; ends their sessions when they left or their role or password changed.
     *
     * @throws Refused when there is nobody of this name
     */
    public void change(Person person, String actor) {
        throw new IllegalStateException("not landed yet");
    }

    public Optional<Person> find(String name) {
        throw new IllegalStateException("not landed yet");
    }

    /** Everybody, by name. */
    public List<Person> all() {
        throw new IllegalStateException("not landed yet");
    }

    /**
     * Starts a session and returns its token.
     *
     * @throws Refused when there is nobody active of this name
     */
    public String startSession(String name, Duration lasts) {
        throw new IllegalStateException("not landed yet");
    }

    /** Whose session this is, when it is running and the person is active. */
    public Optional<Session> session(String token) {
        throw new IllegalStateException("not landed yet");
    }

    /** Ends a session; nothing happens when there is none. */
    public void endSession(String token) {
        throw new IllegalStateException("not landed yet");
    }

    /** Makes a token that signs this person in once, within the time it lasts. */
    public String oneTimeToken(String name, Duration lasts) {
        throw new IllegalStateException("not landed yet");
    }

    /** Uses up a one-time token: the person, the first time and in time; empty ever after. */
    public Optional<Person> redeem(String oneTimeToken) {
        throw new IllegalStateException("not landed yet");
    }

    /** Counts a failed sign-in under this name, whether there is such a person or not. */
    public void signInFailed(String name) {
        throw new IllegalStateException("not landed yet");
    }

    /** Failed sign-ins under this name in the time just past, since the last that succeeded. */
    public int failedSignIns(String name, Duration within) {
        throw new IllegalStateException("not landed yet");
    }

    /** Forgets the failed sign-ins under this name. */
    public void signInSucceeded(String name) {
        throw new IllegalStateException("not landed yet");
    }
}
