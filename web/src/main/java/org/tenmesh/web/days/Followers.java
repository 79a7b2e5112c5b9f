package org.tenmesh.web.days;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Who is told of every change. May be used by several threads. */
final class Followers {
    private static final Logger LOG = LoggerFactory.getLogger(Followers.class);

    private final List<Consumer<String>> all = new CopyOnWriteArrayList<>();

    void add(Consumer<String> follower) {
        all.add(follower);
    }

    void remove(Consumer<String> follower) {
        all.remove(follower);
    }

    void clear() {
        all.clear();
    }

    void tell(String token) {
        all.forEach(follower -> tell(follower, token));
    }

    /** One that left, or was let go meanwhile, is not told; one that cannot be told is left out from then on. */
    void tell(Consumer<String> follower, String token) {
        if (!all.contains(follower)) {
            return;
        }
        try {
            follower.accept(token);
        } catch (RuntimeException e) {
            LOG.debug("a page that listened is gone", e);
            all.remove(follower);
        }
    }
}
