package org.tenmesh.web.http;

import com.password4j.Argon2Function;
import com.password4j.Password;
import com.password4j.types.Argon2;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;

/**
 * Argon2id with 19 MiB, two passes, one lane: the first set of OWASP, Password Storage Cheat Sheet (from memory). The
 * parameters stand in each hash, so that a later change reads the old ones. Few hashes are computed at a time and few
 * wait, so that many sign-ins at once cannot use up the memory.
 */
public final class Passwords {
    /** Fewest characters of a password: NIST SP 800-63B-4 asks for 15 where it is the only factor (from memory). */
    public static final int LEAST = 15;

    /** Most characters of a password. */
    public static final int MOST = 200;

    private static final Argon2Function ARGON2 = Argon2Function.getInstance(19 * 1024, 2, 1, 32, Argon2.ID);

    private static final int AT_ONCE =
            Math.max(1, Math.min(4, Runtime.getRuntime().availableProcessors()));
    private static final int MAY_WAIT = 32;
    private static final int WAIT_SECONDS = 10;
    private static final Semaphore COMPUTING = new Semaphore(AT_ONCE, true);
    private static final Semaphore INSIDE = new Semaphore(AT_ONCE + MAY_WAIT);

    /** Compared with when there is nobody of a name, so that the answer takes as long. */
    private static final String NOBODY = hash("nobody has this password");

    private Passwords() {}

    /** More passwords are being checked than the machine has memory for; try again soon. */
    public static final class Busy extends RuntimeException {
        private static final long serialVersionUID = 1L;
    }

    /** @throws Busy when too many are being computed */
    public static String hash(String password) {
        return inTurn(
                () -> Password.hash(password).addRandomSalt(16).with(ARGON2).getResult());
    }

    /**
     * Whether the password is right; an empty hash has no right one.
     *
     * @throws Busy when too many are being computed
     */
    public static boolean right(String password, String hash) {
        boolean known = !hash.isEmpty();
        String against = known ? hash : NOBODY;
        boolean same =
                inTurn(() -> Password.check(password, against).with(Argon2Function.getInstanceFromHash(against)));
        return same && known;
    }

    private static <T> T inTurn(Supplier<T> work) {
        if (!INSIDE.tryAcquire()) {
            throw new Busy();
        }
        try {
            if (!COMPUTING.tryAcquire(WAIT_SECONDS, TimeUnit.SECONDS)) {
                throw new Busy();
            }
            try {
                return work.get();
            } finally {
                COMPUTING.release();
            }
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new Busy();
        } finally {
            INSIDE.release();
        }
    }
}
