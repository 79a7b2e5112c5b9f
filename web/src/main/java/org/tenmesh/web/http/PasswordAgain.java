package org.tenmesh.web.http;

import java.util.Optional;
import org.tenmesh.store.people.Person;

/** The password typed once more, which is the signature under what is sent with it. */
public final class PasswordAgain {
    private PasswordAgain() {}

    /** Why it is not taken, and with which status. */
    public record Wrong(String says, int status) {}

    /**
     * Checks the field {@code password} of the form; wrong ones are counted as they are at the sign-in.
     *
     * @param nothing the sentence that ends each refusal, such as "Nothing was signed."
     */
    public static Optional<Wrong> wrong(PageContext context, Visit visit, String nothing) {
        if (context.store().failedSignIns(visit.actor(), WrongPasswords.of(visit), WrongPasswords.WAIT)
                >= WrongPasswords.MOST) {
            return Optional.of(new Wrong("Too many wrong passwords. Wait a quarter of an hour. " + nothing, 429));
        }
        String hash =
                context.store().find(visit.actor()).map(Person::passwordHash).orElse("");
        if (!Passwords.right(visit.secret("password"), hash)) {
            context.store().signInFailed(visit.actor(), WrongPasswords.of(visit));
            return Optional.of(new Wrong(
                    hash.isEmpty()
                            ? "You have no password yet, and it is the signature. Choose it under “password” first. "
                                    + nothing
                            : "That is not your password. " + nothing,
                    403));
        }
        context.store().signInSucceeded(visit.actor(), WrongPasswords.of(visit));
        return Optional.empty();
    }
}
