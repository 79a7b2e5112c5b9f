package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** The lists of areas that are in force on a day, and what they say of an origin. Pure. */
public record Areas(LocalDate on, List<Signed<AreaList>> lists) {
    public Areas {
        lists = List.copyOf(lists);
    }

    /** Those of all signed versions that decide on this day. */
    public static Areas inForce(List<Signed<AreaList>> signed, LocalDate on) {
        return new Areas(on, Signed.inForce(signed, on));
    }

    /** A list that names the origin. */
    public record Hit(Signed<AreaList> list, String area, String note) {
        /** "Lee, Alabama, US: fire ant (list Fire ant counties, version 3)". */
        public String words() {
            return area + ": " + list.paper().pest() + " (" + list.name() + ", version " + list.version() + ")"
                    + (note.isEmpty() ? "" : ", " + note);
        }
    }

    /** What the lists say. Only {@link NotListed} lets a soil be ordinary; everything but it and {@link Regulated} is an exception to settle. */
    public sealed interface Answer {
        /** For people. */
        String words();
    }

    /** At least one list names the origin: the soil is regulated. */
    public record Regulated(List<Hit> hits) implements Answer {
        public Regulated {
            hits = List.copyOf(hits);
            if (hits.isEmpty()) {
                throw new IllegalArgumentException("nothing is regulated without a list that says so");
            }
        }

        @Override
        public String words() {
            return "Regulated: "
                    + String.join("; ", hits.stream().map(Hit::words).toList()) + ".";
        }
    }

    /** Lists that know the whole country do not name the origin. */
    public record NotListed(List<Signed<AreaList>> lists) implements Answer {
        public NotListed {
            lists = List.copyOf(lists);
        }

        @Override
        public String words() {
            return "Not regulated by "
                    + String.join(
                            "; ",
                            lists.stream()
                                    .map(one -> one.name() + ", version " + one.version())
                                    .toList())
                    + ".";
        }
    }

    /** A name on the worksheet may be one on a list, or is none that a list knows: somebody has to say which place is meant. */
    public record Ask(List<String> questions) implements Answer {
        public Ask {
            questions = List.copyOf(questions);
        }

        @Override
        public String words() {
            return String.join(" ", questions);
        }
    }

    /** Too little is known of the origin: never a "no". */
    public record Missing(String what) implements Answer {
        @Override
        public String words() {
            return "The origin is missing its " + what + ". Ask the client; until then treat the soil as regulated.";
        }
    }

    /** No list that is in force and reviewed says anything of this country: never a "no". */
    public record NotCovered(String why) implements Answer {
        @Override
        public String words() {
            return why + " Until that is settled treat the soil as regulated.";
        }
    }

    /** What was looked up, and in which lists of which dates: "US, Iowa, Story in Ants, version 1, its source of 2026-10-01". */
    public String lookedUp(Origin origin) {
        return origin.words()
                + (lists.isEmpty()
                        ? ", in no list: none is in force"
                        : " in "
                                + String.join(
                                        "; ",
                                        lists.stream()
                                                .map(one -> one.name() + ", version " + one.version()
                                                        + ", its source of "
                                                        + one.paper().asOf())
                                                .toList()));
    }

    /** What the lists say of an origin on their day. */
    public Answer lookUp(Origin origin) {
        if (lists.isEmpty()) {
            return new NotCovered("No list of areas is in force, so nobody can say whether a soil is regulated.");
        }
        if (origin.country().isEmpty()) {
            return new Missing("country");
        }
        String country = origin.country().get();
        Search search = new Search(country, origin.places());
        lists.forEach(search::look);
        return search.answer();
    }

    private final class Search {
        private final String country;
        private final List<String> places;
        private final Gazetteer gazetteer;
        private final List<Area> counted = new ArrayList<>();
        private final List<Hit> hits = new ArrayList<>();
        private final Set<String> questions = new LinkedHashSet<>();
        private final Set<String> missing = new LinkedHashSet<>();
        private final List<Signed<AreaList>> know = new ArrayList<>();
        private final List<Signed<AreaList>> stale = new ArrayList<>();

        Search(String country, List<String> places) {
            this.country = country;
            this.places = places;
            this.gazetteer = new Gazetteer(country, lists);
        }

        void look(Signed<AreaList> list) {
            AreaList paper = list.paper();
            boolean covered = paper.covers().contains(country);
            if (covered) {
                (paper.reviewBy().isBefore(on) ? stale : know).add(list);
            } else if (paper.everywhereElse()) {
                hits.add(new Hit(
                        list,
                        country,
                        "every country but "
                                + String.join(
                                        ", ", paper.covers().stream().sorted().toList())));
            }
            for (Area area : paper.areas()) {
                if (area.country().equals(country) && area.counts(on)) {
                    counted.add(area);
                    compare(list, area);
                }
            }
        }

        private void compare(Signed<AreaList> list, Area area) {
            if (area.region().isEmpty()) {
                hits.add(new Hit(list, area.words(), area.note()));
                return;
            }
            if (places.isEmpty()) {
                missing.add("region");
                return;
            }
            Gazetteer.Region known = gazetteer.region(area.region().get(0)).orElseThrow();
            List<String> regionNames = List.copyOf(known.names());
            List<String> countyNames = known.county(area.county());
            int region = Names.index(places, regionNames);
            if (region < 0) {
                ask(
                        list,
                        area,
                        area.region(),
                        places.stream()
                                .filter(place -> gazetteer.region(place).isEmpty())
                                .toList());
                if (Names.index(places, countyNames) >= 0 && !gazetteer.complete(places)) {
                    questions.add("Is it " + area.words() + ", on the list " + list.name()
                            + "? That county was written without its region, or with another one.");
                }
                return;
            }
            if (area.county().isEmpty()) {
                hits.add(new Hit(list, area.words(), area.note()));
                return;
            }
            if (places.size() == 1) {
                missing.add("county");
            } else if (Names.bothIn(places, regionNames, countyNames)) {
                hits.add(new Hit(list, area.words(), area.note()));
            } else {
                List<String> rest = new ArrayList<>(places);
                rest.remove(region);
                rest.removeIf(known::knows);
                ask(list, area, area.county(), rest);
            }
        }

        private void ask(Signed<AreaList> list, Area area, List<String> names, List<String> written) {
            for (String place : written) {
                if (names.stream().anyMatch(name -> Names.near(place, name))) {
                    questions.add("Is \"" + place + "\" " + names.get(0) + " (" + area.words() + "), on the list "
                            + list.name() + "?");
                }
            }
        }

        Answer answer() {
            if (!hits.isEmpty()) {
                return new Regulated(hits);
            }
            if (!missing.isEmpty()) {
                return new Missing(String.join(" and ", missing));
            }
            if (!questions.isEmpty()) {
                return new Ask(List.copyOf(questions));
            }
            if (!stale.isEmpty()) {
                return new NotCovered("The list " + stale.get(0).name() + " was to be compared with its source by "
                        + stale.get(0).paper().reviewBy()
                        + " and was not, so it no longer says that a soil is not regulated.");
            }
            if (know.isEmpty()) {
                return new NotCovered("No list of areas in force says anything of soil from " + country + ".");
            }
            return unknown().<Answer>map(what -> new Ask(List.of(what))).orElseGet(() -> new NotListed(know));
        }

        /** Which place no list knows, where the answer hangs on it: it may be a listed one under another name. */
        private Optional<String> unknown() {
            if (counted.isEmpty() || gazetteer.complete(places)) {
                return Optional.empty();
            }
            Map<Integer, Gazetteer.Region> regions = gazetteer.regions(places);
            if (regions.isEmpty()) {
                return Optional.of("No list knows a region of " + country + " called "
                        + String.join(
                                " or ",
                                places.stream().map(one -> "\"" + one + "\"").toList())
                        + ". Ask where it is; until then keep the soil apart as if it were regulated.");
            }
            for (Gazetteer.Region region : regions.values()) {
                Optional<Area> inPart = counted.stream()
                        .filter(area -> region.names()
                                .contains(Names.plain(area.region().get(0))))
                        .findFirst();
                if (inPart.isPresent()) {
                    return Optional.of("Counties of " + inPart.get().region().get(0)
                            + " are regulated, and no list knows the county among "
                            + String.join(
                                    ", ",
                                    places.stream()
                                            .map(one -> "\"" + one + "\"")
                                            .toList())
                            + ". Ask where it is; until then keep the soil apart as if it were regulated.");
                }
            }
            return Optional.empty();
        }
    }
}
