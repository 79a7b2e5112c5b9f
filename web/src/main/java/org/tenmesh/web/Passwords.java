package org.tenmesh.web;

import com.password4j.Argon2Function;
import com.password4j.Password;
import com.password4j.types.Argon2;

/**
 * Argon2id with 19 MiB, two passes, one lane: the first set of OWASP, Password Storage Cheat Sheet (from memory). The
 * parameters stand in each hash, so that a later change reads the old ones.
 */
final class Passwords {
    /** Fewest characters of a password: NIST SP 800-63B-4 asks for 15 where it is the only factor (from memory). */
    static final int LEAST = 15;

    private static final Argon2Function ARGON2 = Argon2Function.getInstance(19 * 1024, 2, 1, 32, Argon2.ID);

    /** Compared with when there is nobody of a name, so that the answer takes as long. */
    private static final String NOBODY = hash("nobody has this password");

    private Passwords() {}

    static String hash(String password) {
        return Password.hash(password).addRandomSalt(16).with(ARGON2).getResult();
    }

    /** Whether the password is right; an empty hash has no right one. */
    static boolean right(String password, String hash) {
        boolean known = !hash.isEmpty();
        String against = known ? hash : NOBODY;
        boolean same = Password.check(password, against).with(Argon2Function.getInstanceFromHash(against));
        return same && known;
    }
}
