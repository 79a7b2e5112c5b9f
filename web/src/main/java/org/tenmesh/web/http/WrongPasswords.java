package org.tenmesh.web.http;

import java.time.Duration;

/** How many wrong passwords may be typed before one must wait. */
public final class WrongPasswords {
    /** Under one name from one address within {@link #WAIT}: common practice. */
    public static final int MOST = 5;

    /** The same from one address under all names: more than a laboratory behind one address mistypes. */
    public static final int MOST_FROM_ADDRESS = 40;

    public static final Duration WAIT = Duration.ofMinutes(15);

    private WrongPasswords() {}

    /** Under what wrong passwords of a running session are counted: nobody outside it can make it wait. */
    public static String of(Visit visit) {
        return "session " + Assets.hash(visit.token());
    }
}
