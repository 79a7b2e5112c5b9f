package org.tenmesh.core.desk;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.release.Release;

/** What clients were promised and how far it has come: by what their soils ask for, what stands of them and what was released. */
final class Promises {
    private final WhatIsAsked asked;
    private final WhatStands stands;
    private final Map<String, List<Release>> releases = new HashMap<>();
    private final Map<String, Promise> bySubmission = new LinkedHashMap<>();

    /**
     * Counts what there is.
     *
     * @param released every release of the day's submissions
     */
    Promises(WhatOfDay of, WhatIsAsked asked, WhatStands stands, List<Release> released) {
        for (Release release : released) {
            releases.computeIfAbsent(release.submission(), name -> new ArrayList<>())
                    .add(release);
        }
        releases.values().forEach(its -> its.sort(Comparator.comparingInt(Release::revision)));
        this.asked = asked;
        this.stands = stands;
        Map<String, Release> last = lastReleases();
        for (Submission submission : of.submissions()) {
            String name = submission.submission();
            bySubmission.put(name, promise(submission, of.soilsOf(name), Optional.ofNullable(last.get(name))));
        }
    }

    private Promise promise(Submission submission, List<Soil> soils, Optional<Release> released) {
        int[] n = new int[3];
        int unread = 0;
        int accepted = 0;
        for (Soil soil : soils) {
            Set<String> lacking = new LinkedHashSet<>(asked.methodsOf(soil));
            Waiting waiting = waiting(soil);
            for (Result result : stands.of(soil.labNumber())) {
                lacking.remove(result.method());
                if (result.unread() || waiting.waits(result)) {
                    unread++;
                } else {
                    n[result.verdict().ordinal()]++;
                    accepted += result.isAccepted() ? 1 : 0;
                }
            }
            for (String method : lacking) {
                if (!asked.tooLittleFor(soil.labNumber(), method)) {
                    unread += asked.analytes(soil, method);
                }
            }
        }
        return new Promise(submission, soils.size(), n[0], accepted, n[1], n[2], unread, released);
    }

    Waiting waiting(Soil soil) {
        return Waiting.of(asked, soil, stands.of(soil.labNumber()));
    }

    /** The releases of a submission, in the order of their revisions. */
    List<Release> releases(String submission) {
        return List.copyOf(releases.getOrDefault(submission, List.of()));
    }

    /** The last release of each submission that has one. */
    Map<String, Release> lastReleases() {
        Map<String, Release> last = new HashMap<>();
        releases.forEach((submission, its) -> last.put(submission, its.get(its.size() - 1)));
        return last;
    }

    Optional<Promise> of(String submission) {
        return Optional.ofNullable(bySubmission.get(submission));
    }

    /** In the order in which the submissions came. */
    List<Promise> all() {
        return List.copyOf(bySubmission.values());
    }

    /** The first date from this one on for which something is promised; this one when nothing is. */
    LocalDate nextAfter(LocalDate today) {
        return bySubmission.values().stream()
                .flatMap(one -> one.submission().promisedOn().stream())
                .filter(date -> !date.isBefore(today))
                .min(Comparator.naturalOrder())
                .orElse(today);
    }

    /** How far each method has come with clients' soils, in this order of methods. */
    Map<String, Progress> progress(List<Soil> soils, Iterable<String> methods) {
        Map<String, int[]> counts = new LinkedHashMap<>();
        methods.forEach(method -> counts.put(method, new int[2]));
        for (Soil soil : soils) {
            if (soil.submission().isEmpty()) {
                continue;
            }
            Set<String> wanted = new LinkedHashSet<>(asked.methodsOf(soil));
            Set<String> read = new LinkedHashSet<>();
            for (Result result : stands.of(soil.labNumber())) {
                wanted.add(result.method());
                if (!result.unread()) {
                    read.add(result.method());
                }
            }
            wanted.removeIf(method -> !asked.isRead(method) || asked.tooLittleFor(soil.labNumber(), method));
            read.retainAll(wanted);
            wanted.forEach(method -> counts.computeIfAbsent(method, k -> new int[2])[1]++);
            read.forEach(method -> counts.computeIfAbsent(method, k -> new int[2])[0]++);
        }
        Map<String, Progress> progress = new LinkedHashMap<>();
        counts.forEach((method, n) -> {
            if (n[1] > 0) {
                progress.put(method, new Progress(n[0], n[1]));
            }
        });
        return progress;
    }
}
