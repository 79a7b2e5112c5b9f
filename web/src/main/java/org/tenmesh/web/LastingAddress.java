package org.tenmesh.web;

import java.util.Optional;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.DayAddress;

/** Addresses of what is kept for ever. */
final class LastingAddress {
    private LastingAddress() {}

    /** The address that stays, for one without a day: that of the newest day which has what is asked for. */
    static Optional<String> of(LaboratoryStore store, Route route, Visit visit, String path, String query) {
        String[] words = route.path().split("/", -1);
        if (words.length < 3 || !words[2].startsWith("{")) {
            return Optional.empty();
        }
        Optional<LaboratoryStore.Kept> kind = switch (words[1]) {
            case "soils" -> Optional.of(LaboratoryStore.Kept.SOIL);
            case "trays" -> Optional.of(LaboratoryStore.Kept.TRAY);
            case "runs" -> Optional.of(LaboratoryStore.Kept.RUN);
            case "submissions", "release" -> Optional.of(LaboratoryStore.Kept.SUBMISSION);
            case "reports" -> Optional.of(LaboratoryStore.Kept.REPORT);
            default -> Optional.empty();
        };
        String name = visit.part(words[2].substring(1, words[2].length() - 1));
        return kind.flatMap(what -> store.newestDayWith(what, name))
                .map(day -> DayAddress.on(day, path) + (query.isEmpty() ? "" : "?" + query));
    }
}
