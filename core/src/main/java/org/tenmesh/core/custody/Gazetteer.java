package org.tenmesh.core.custody;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * The regions and counties of one country that any list names, whether as regulated or as free. A place that one list calls by its full name and
 * another by an abbreviation is one place.
 */
final class Gazetteer {
    private final Map<String, Region> regions = new HashMap<>();

    /**
     * A region under all its names.
     *
     * @param counties every name of a county, with all names of that county
     */
    record Region(Set<String> names, Map<String, Set<String>> counties) {
        boolean knows(String county) {
            return counties.containsKey(Names.plain(county));
        }

        /** All names of a county that one list calls so. */
        List<String> county(List<String> names) {
            Set<String> all = plain(names);
            names.forEach(name -> all.addAll(counties.getOrDefault(Names.plain(name), Set.of())));
            return List.copyOf(all);
        }

        private void add(List<String> county) {
            Set<String> merged = plain(county);
            for (String name : plain(county)) {
                merged.addAll(counties.getOrDefault(name, Set.of()));
            }
            merged.forEach(name -> counties.put(name, merged));
        }
    }

    Gazetteer(String country, List<Signed<AreaList>> lists) {
        for (Signed<AreaList> list : lists) {
            list.paper().areas().forEach(area -> add(country, area));
            list.paper().free().forEach(area -> add(country, area));
        }
    }

    private void add(String country, Area area) {
        if (!area.country().equals(country) || area.region().isEmpty()) {
            return;
        }
        Set<String> names = plain(area.region());
        Set<Region> before = names.stream()
                .flatMap(name -> Optional.ofNullable(regions.get(name)).stream())
                .collect(Collectors.toSet());
        Region region;
        if (before.size() == 1 && before.iterator().next().names().containsAll(names)) {
            region = before.iterator().next();
        } else {
            Set<String> all = new HashSet<>(names);
            Region merged = new Region(all, new HashMap<>());
            for (Region one : before) {
                all.addAll(one.names());
                one.counties().values().forEach(county -> merged.add(List.copyOf(county)));
            }
            all.forEach(name -> regions.put(name, merged));
            region = merged;
        }
        if (!area.county().isEmpty()) {
            region.add(area.county());
        }
    }

    /** The region that is called so exactly; empty where no list knows it. */
    Optional<Region> region(String place) {
        return Optional.ofNullable(regions.get(Names.plain(place)));
    }

    /** Each written place that is a region, by where it stands. */
    Map<Integer, Region> regions(List<String> places) {
        Map<Integer, Region> found = new HashMap<>();
        for (int i = 0; i < places.size(); i++) {
            int at = i;
            region(places.get(i)).ifPresent(region -> found.put(at, region));
        }
        return found;
    }

    /** Whether a region and a county of it are both written, each in a place of its own. */
    boolean complete(List<String> places) {
        return regions(places).entrySet().stream().anyMatch(region -> {
            List<String> rest = new ArrayList<>(places);
            rest.remove(region.getKey().intValue());
            return rest.stream().anyMatch(region.getValue()::knows);
        });
    }

    private static Set<String> plain(List<String> names) {
        return names.stream().map(Names::plain).collect(Collectors.toCollection(HashSet::new));
    }
}
