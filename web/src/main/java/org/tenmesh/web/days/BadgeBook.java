package org.tenmesh.web.days;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.store.people.Badge;

/** Badges of bench accounts, as pages issue, use and withdraw them. */
public interface BadgeBook {
    /** Issues a badge in place of the one the person had; its code, which is kept nowhere. */
    String issue(String name, String actor);

    Optional<Badge> find(String code);

    void choosePin(String code, String pinHash);

    boolean withdraw(String name, String actor);

    /** Since when each person has the badge that is in use. */
    Map<String, Instant> inUse();

    /** Starts a session that ends after a shorter time without use. */
    String startSession(String name, Duration lasts, Duration locksAfter);
}
