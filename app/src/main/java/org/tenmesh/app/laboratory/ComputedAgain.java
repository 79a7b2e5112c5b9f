package org.tenmesh.app.laboratory;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.NoMethodVersion;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.Store;
import org.tenmesh.store.record.LaboratoryRecord;

/**
 * Computes again what was released: measured and calculated values to the last bit, and the words of results without a number
 * (below a limit, above the range, a class, too little soil), each under the version of its method that the release names.
 *
 * <p>A soil that was read more than once has several numbers. A released one must be among them; a calculated one must follow
 * from some choice of them. A submission whose soils are read on several days is on the list of each: a released result must
 * come out the same on one of them. Days come one by one, the oldest first; what is kept between them is what did not yet come
 * out the same.
 */
final class ComputedAgain {
    /** So many choices of readings are tried for one soil. */
    private static final int MOST_CHOICES = 256;

    private record Key(LabNumber labNumber, String method, String analyte) {}

    /** A release, whatever its submission is called on the list of a day. */
    private record Signed(int revision, String signedBy, OffsetDateTime signedAt, int results) {
        static Signed of(Release release) {
            return new Signed(
                    release.revision(),
                    release.signedBy(),
                    release.signedAt(),
                    release.results().hashCode());
        }
    }

    /** A released result that did not come out the same on any day so far. */
    private static final class Open {
        private final ReleasedResult result;
        private List<Result> found = List.of();
        private Optional<String> lacking = Optional.empty();

        Open(ReleasedResult result) {
            this.result = result;
        }
    }

    private static final class Unsettled {
        private final String day;
        private final Release release;
        private final List<Open> open;
        // On the list of a day that could not be read: it may be there that it comes out the same.
        private boolean unread;

        Unsettled(String day, Release release, List<Open> open) {
            this.day = day;
            this.release = release;
            this.open = open;
        }
    }

    private final Store store;
    private final MethodBook book;
    private final List<String> differences = new ArrayList<>();
    private final Set<String> unusable = new LinkedHashSet<>();
    private final Set<Signed> settled = new HashSet<>();
    private final Map<Signed, Unsettled> unsettled = new LinkedHashMap<>();
    private long results;

    ComputedAgain(Store store, MethodBook book) {
        this.store = store;
        this.book = book;
    }

    /** How many released results were computed again. */
    long results() {
        return results;
    }

    /** Those that came out otherwise, one sentence each; complete after {@link #end}. */
    List<String> differences() {
        return differences;
    }

    /** What could not be computed again because a version of a method is not there, one sentence each. */
    List<String> unusable() {
        return List.copyOf(unusable);
    }

    /**
     * Computes again what was released of the submissions on this day's list, as far as it did not come out the same before.
     *
     * @throws RuntimeException when the day cannot be read or judged
     */
    void day(String name) {
        OneDay day = new OneDay(store, name, book);
        Map<Signed, Unsettled> here = new LinkedHashMap<>();
        for (Release release : store.releases(name)) {
            Signed signed = Signed.of(release);
            if (!settled.contains(signed)) {
                here.put(signed, unsettled.computeIfAbsent(signed, key -> begin(name, release)));
            }
        }
        if (here.isEmpty()) {
            return;
        }
        try {
            day.judge();
        } catch (RuntimeException unreadable) {
            here.values().forEach(one -> one.unread = true);
            throw unreadable;
        }
        here.forEach((signed, one) -> {
            Map<String, LocalDate> named = named(one.release);
            day.versions.putAll(named);
            one.open.removeIf(open -> day.gives(open, named));
            if (one.open.isEmpty()) {
                unsettled.remove(signed);
                settled.add(signed);
            }
        });
    }

    private Unsettled begin(String day, Release release) {
        List<Open> open = new ArrayList<>();
        for (ReleasedResult result : release.results()) {
            if (!result.reported().isEmpty()) {
                open.add(new Open(result));
            }
        }
        results += open.size();
        return new Unsettled(day, release, open);
    }

    /** After the last day: what came out otherwise on every day. */
    void end() {
        ReadOnSeveralDays several = new ReadOnSeveralDays();
        for (Unsettled one : unsettled.values()) {
            for (Open open : one.open) {
                if (one.unread || several.gives(one.day, open.result)) {
                    continue;
                }
                open.lacking.ifPresentOrElse(
                        lacking -> unusable.add("day " + one.day + ": what was released by " + open.result.method()
                                + " of " + open.result.methodVersion() + " cannot be computed again: " + lacking
                                + "; name the folder that has it with --methods"),
                        () -> differences.add(sentence(one.day, one.release, open)));
            }
        }
        unsettled.clear();
    }

    /** Calculated results whose inputs were read on several days. */
    private final class ReadOnSeveralDays {
        private final Map<String, Day> days = new HashMap<>();
        private final Map<String, Map<LabNumber, List<Result>>> read = new HashMap<>();
        private final Map<LabNumber, List<Result>> calculated = new HashMap<>();

        boolean gives(String day, ReleasedResult released) {
            return calculated.computeIfAbsent(released.labNumber(), number -> calculate(day, number)).stream()
                    .anyMatch(result -> key(result).equals(key(released)) && same(result, released));
        }

        private List<Result> calculate(String name, LabNumber labNumber) {
            Day day = loaded(name);
            List<String> on = store.record()
                    .soil(day.laboratory().register(), labNumber)
                    .map(LaboratoryRecord.KnownSoil::days)
                    .orElse(List.of());
            if (on.size() < 2) {
                return List.of();
            }
            Readings readings = new Readings();
            for (String one : on) {
                read.computeIfAbsent(one, this::judged)
                        .getOrDefault(labNumber, List.of())
                        .forEach(result -> readings.add(one, result));
            }
            return readings.calculated(day, book);
        }

        private Day loaded(String name) {
            return days.computeIfAbsent(name, key -> load(store, key));
        }

        private Map<LabNumber, List<Result>> judged(String name) {
            Map<LabNumber, List<Result>> bySoil = new HashMap<>();
            for (Result result : DayJudge.judge(loaded(name), book).results()) {
                bySoil.computeIfAbsent(result.labNumber(), k -> new ArrayList<>())
                        .add(result);
            }
            return bySoil;
        }
    }

    private static Day load(Store store, String name) {
        return store.quality()
                .dayWithControls(name)
                .orElseThrow(() -> new IllegalStateException("day " + name + " is not there"));
    }

    private static Map<String, LocalDate> named(Release release) {
        Map<String, LocalDate> named = new TreeMap<>();
        for (ReleasedResult result : release.results()) {
            try {
                named.put(result.method(), LocalDate.parse(result.methodVersion()));
            } catch (DateTimeException noDate) {
                // No version has such a date: the result will not come out the same, and that is said.
                continue;
            }
        }
        return named;
    }

    private static boolean same(Result now, ReleasedResult released) {
        if (!now.methodVersion().toString().equals(released.methodVersion())) {
            return false;
        }
        if (now.amount() instanceof Amount.Measured measured) {
            return released.value().isPresent()
                    && Double.compare(measured.value(), released.value().getAsDouble()) == 0;
        }
        return released.value().isEmpty() && now.reported().equals(released.reported());
    }

    private static String sentence(String day, Release release, Open open) {
        ReleasedResult result = open.result;
        String now = String.join(
                " or ",
                open.found.stream()
                        .map(one -> text(one) + " by the version of " + one.methodVersion())
                        .distinct()
                        .toList());
        return "day " + day + ": release " + release.revision() + " of submission " + release.submission() + ": "
                + result.labNumber() + ", " + result.method() + ", " + result.analyte() + " was released as "
                + (result.value().isPresent() ? result.value().getAsDouble() : "\"" + result.reported() + "\"")
                + " by the version of " + result.methodVersion() + "; computed again it is "
                + (now.isEmpty() ? "not there" : now);
    }

    private static String text(Result result) {
        return result.amount() instanceof Amount.Measured measured
                ? String.valueOf(measured.value())
                : "\"" + result.reported() + "\"";
    }

    private static Key key(Result result) {
        return new Key(result.labNumber(), result.method(), result.analyte());
    }

    private static Key key(ReleasedResult released) {
        return new Key(released.labNumber(), released.method(), released.analyte());
    }

    /** One day, loaded and judged when something on it has to be computed again. */
    private static final class OneDay {
        private final Store store;
        private final String name;
        private final MethodBook book;
        private final Map<String, LocalDate> versions = new TreeMap<>();
        private final Map<Map<String, LocalDate>, Answers> answers = new HashMap<>();
        private Optional<Day> loaded = Optional.empty();

        OneDay(Store store, String name, MethodBook book) {
            this.store = store;
            this.name = name;
            this.book = book;
        }

        void judge() {
            answers(Map.of());
        }

        /** @param named versions that the result's release names */
        boolean gives(Open open, Map<String, LocalDate> named) {
            try {
                // Usually the versions of the day are those of the release. Where another version holds by now, what is
                // calculated needs its inputs by the versions that held then: those that this release names, or an
                // earlier one.
                if (answers(Map.of()).gives(open.result)) {
                    return true;
                }
                Answers then = answers(named);
                if (then.gives(open.result) || answers(versions).gives(open.result)) {
                    return true;
                }
                List<Result> found = then.of(open.result);
                open.found = found.isEmpty() ? open.found : found;
            } catch (NoMethodVersion lacking) {
                open.lacking = Optional.of(String.valueOf(lacking.getMessage()));
            }
            return false;
        }

        /** What the day gives when these methods go by these versions and all others by the day's. */
        private Answers answers(Map<String, LocalDate> which) {
            if (loaded.isEmpty()) {
                loaded = Optional.of(load(store, name));
            }
            Day day = loaded.get();
            Map<String, LocalDate> others = new TreeMap<>(which);
            others.entrySet()
                    .removeIf(one -> book.find(one.getKey(), day.date())
                            .filter(method -> method.head().version().equals(one.getValue()))
                            .isPresent());
            return answers.computeIfAbsent(others, v -> new Answers(name, day, v.isEmpty() ? book : with(day, v)));
        }

        private MethodBook with(Day day, Map<String, LocalDate> others) {
            Map<String, Method> methods = new LinkedHashMap<>();
            book.on(day.date()).all().forEach(method -> methods.put(method.id(), method));
            others.forEach((id, version) -> methods.put(id, book.version(id, version)));
            return MethodBook.shipping(methods.values().toArray(Method[]::new));
        }
    }

    /** What was read of one soil, by method and run. */
    private static final class Readings {
        private final Map<String, Map<String, List<Result>>> byMethodAndRun = new TreeMap<>();

        void add(String day, Result result) {
            byMethodAndRun
                    .computeIfAbsent(result.method(), k -> new TreeMap<>())
                    .computeIfAbsent(day + "/" + result.run(), k -> new ArrayList<>())
                    .add(result);
        }

        /** What follows from each choice of one run for each method. */
        List<Result> calculated(Day day, MethodBook book) {
            List<List<Result>> choices = List.of(List.of());
            for (Map<String, List<Result>> byRun : byMethodAndRun.values()) {
                List<List<Result>> longer = new ArrayList<>();
                for (List<Result> choice : choices) {
                    for (List<Result> ofRun : byRun.values()) {
                        List<Result> both = new ArrayList<>(choice);
                        both.addAll(ofRun);
                        longer.add(both);
                    }
                }
                choices = longer.subList(0, Math.min(MOST_CHOICES, longer.size()));
            }
            List<Result> all = new ArrayList<>();
            choices.forEach(choice -> all.addAll(Deriving.of(day, choice, book)));
            return all;
        }

        boolean severalRuns() {
            return byMethodAndRun.values().stream().anyMatch(byRun -> byRun.size() > 1);
        }
    }

    /** Every result of a judged day, by what a release calls it. */
    private static final class Answers {
        private final String name;
        private final Day day;
        private final MethodBook book;
        private final Desk desk;
        private final Map<Key, List<Result>> measured = new HashMap<>();
        private final Map<LabNumber, List<Result>> bySoil = new HashMap<>();
        private final Map<LabNumber, List<Result>> byOtherReadings = new HashMap<>();

        Answers(String name, Day day, MethodBook book) {
            this.name = name;
            this.day = day;
            this.book = book;
            JudgedDay judged = DayJudge.judge(day, book);
            this.desk = new Desk(
                    name,
                    0,
                    day,
                    judged,
                    book,
                    List.of(),
                    List.of(),
                    day.date(),
                    List.of(),
                    List.of(),
                    new DerivedSoils());
            for (Result result : judged.results()) {
                measured.computeIfAbsent(key(result), k -> new ArrayList<>()).add(result);
                bySoil.computeIfAbsent(result.labNumber(), k -> new ArrayList<>())
                        .add(result);
            }
        }

        boolean gives(ReleasedResult released) {
            return of(released).stream().anyMatch(one -> same(one, released))
                    || byOtherReadings.computeIfAbsent(released.labNumber(), this::byOtherReadings).stream()
                            .anyMatch(one -> key(one).equals(key(released)) && same(one, released));
        }

        List<Result> of(ReleasedResult released) {
            Key key = key(released);
            List<Result> found = new ArrayList<>(measured.getOrDefault(key, List.of()));
            for (Result result : desk.standing(released.labNumber())) {
                if (result.run().isEmpty() && key(result).equals(key)) {
                    found.add(result);
                }
            }
            return found;
        }

        /** What else can be calculated of a soil that was read more than once: which reading stood may be another by now. */
        private List<Result> byOtherReadings(LabNumber labNumber) {
            Readings readings = new Readings();
            bySoil.getOrDefault(labNumber, List.of()).forEach(result -> readings.add(name, result));
            return readings.severalRuns() ? readings.calculated(day, book) : List.of();
        }
    }
}
