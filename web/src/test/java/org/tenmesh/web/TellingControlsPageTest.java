package org.tenmesh.web;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

/**
 * A program that tries to tell hidden controls from soils by everything the bench is shown: whatever it finds of a lab number becomes a
 * feature, and the feature that parts controls from soils best is compared with what it would part had the same number of soils been drawn by
 * lot. It is told the true key, so a human who has to guess it does no better.
 */
class TellingControlsPageTest {
    private static final int LOTS = 400;
    private static final int AROUND = 80;

    @Test
    void doesNoBetterThanChanceAtTheBench() {
        InventedDay invented = InventedDay.of(330, Ashgrove.METHODS);
        try (Ashgrove ashgrove = Ashgrove.open(invented)) {
            Browser browser = ashgrove.as(PersonRole.BENCH);
            // Something was noted of every kind of soil, so that what is noted is looked at too.
            for (int i : new int[] {0, 7, 13}) {
                Tray tray = invented.day().trays().get(i);
                String soil = tray.wells().stream()
                        .flatMap(place -> place.labNumber().stream())
                        .findFirst()
                        .orElseThrow()
                        .text();
                browser.submit(
                        "/bench/" + tray.tray(),
                        "/bench-acts",
                        Map.of("kind", "tray", "code", tray.tray(), "what", "spilt", "soil", soil));
            }
            Map<String, Map<String, Double>> features = new TreeMap<>();
            Set<String> numbers = new HashSet<>();
            invented.day().soils().forEach(soil -> numbers.add(soil.labNumber().text()));
            numbers.forEach(number -> features.put(number, ofTheNumber(number)));
            for (String place : places(ashgrove)) {
                look(place, Browser.text(browser.get(place)), numbers, features);
            }
            Set<String> controls = new HashSet<>();
            invented.day().controls().keySet().forEach(one -> controls.add(one.text()));
            assertThat(controls).hasSizeGreaterThan(4);
            List<String> all = new ArrayList<>(features.keySet());
            List<double[]> ranks = ranks(features, all);
            double found = best(ranks, places(all, controls));
            List<Integer> drawn =
                    new ArrayList<>(IntStream.range(0, all.size()).boxed().toList());
            Random lots = new Random(14);
            int asGood = 0;
            for (int i = 0; i < LOTS; i++) {
                Collections.shuffle(drawn, lots);
                asGood += best(ranks, drawn.subList(0, controls.size())) >= found ? 1 : 0;
            }
            assertThat((double) asGood / LOTS)
                    .as("share of lots that part as well as the key does (%.3f)", found)
                    .isGreaterThan(0.02);
            // It would find a mark: one more word beside each control and it is certain.
            controls.forEach(one -> requireNonNull(features.get(one)).put("planted", 1.0));
            assertThat(best(ranks(features, all), places(all, controls))).isEqualTo(1.0);
        }
    }

    private static List<String> places(Ashgrove ashgrove) {
        List<String> places = new ArrayList<>();
        for (Route route : ashgrove.server().routes()) {
            boolean bench = route.path().startsWith("/bench") || route.path().startsWith("/trays");
            if (route.verb() == Route.Verb.GET && bench) {
                places.addAll(Places.all(route, ashgrove.invented()));
            }
        }
        return places;
    }

    private static Map<String, Double> ofTheNumber(String number) {
        Map<String, Double> features = new HashMap<>();
        int serial = Integer.parseInt(number.substring(6, 10));
        for (int step = 2; step <= 60; step++) {
            features.put("serial by " + step, (double) (serial % step));
        }
        return features;
    }

    /** How often and where a number stands, and the words around it with all numbers and names of trays and wells taken out. */
    private static void look(
            String place, String text, Set<String> numbers, Map<String, Map<String, Double>> features) {
        String kind = place.replaceAll("[0-9]+(-[0-9A-Z]+)*", "#");
        for (String number : numbers) {
            int at = text.indexOf(number);
            int times = 0;
            while (at >= 0) {
                times++;
                String around = text.substring(Math.max(0, at - AROUND), Math.min(text.length(), at + AROUND))
                        .replaceAll("[0-9]{5}-[0-9]{4}-[0-9A-Z]", "N")
                        .replaceAll("\\b[ABC][1-4]\\b", "W")
                        .replaceAll("T[0-9]{4}", "T")
                        .replaceAll("[0-9]+", "#");
                requireNonNull(features.get(number)).merge(kind + " words " + around.hashCode(), 1.0, Double::sum);
                at = text.indexOf(number, at + 1);
            }
            if (times > 0) {
                requireNonNull(features.get(number)).merge(kind + " times", (double) times, Double::sum);
            }
            if (place.contains(number)) {
                requireNonNull(features.get(number)).put(kind + " own page", (double) text.length());
            }
        }
    }

    private static List<Integer> places(List<String> all, Set<String> marked) {
        return IntStream.range(0, all.size())
                .filter(i -> marked.contains(all.get(i)))
                .boxed()
                .toList();
    }

    /** By feature, the rank of each number from 1 on; what ties has the middle of its ranks. */
    private static List<double[]> ranks(Map<String, Map<String, Double>> features, List<String> all) {
        Set<String> names = new HashSet<>();
        features.values().forEach(one -> names.addAll(one.keySet()));
        List<double[]> ranks = new ArrayList<>();
        for (String name : names) {
            TreeMap<Double, List<Integer>> same = new TreeMap<>();
            for (int i = 0; i < all.size(); i++) {
                double value = requireNonNull(features.get(all.get(i))).getOrDefault(name, 0.0);
                same.computeIfAbsent(value, key -> new ArrayList<>()).add(i);
            }
            double[] rank = new double[all.size()];
            int below = 0;
            for (List<Integer> tied : same.values()) {
                for (int i : tied) {
                    rank[i] = below + (tied.size() + 1) / 2.0;
                }
                below += tied.size();
            }
            ranks.add(rank);
        }
        return ranks;
    }

    /**
     * The best area under the curve of any feature, whichever way it points: 0.5 tells nothing, 1 tells all. From the sum of ranks: H. B.
     * Mann, D. R. Whitney, Annals of Mathematical Statistics 18 (1947), 50-60 (from memory).
     */
    private static double best(List<double[]> ranks, List<Integer> marked) {
        int m = marked.size();
        double best = 0.5;
        for (double[] rank : ranks) {
            double sum = 0;
            for (int i : marked) {
                sum += rank[i];
            }
            double area = (sum - m * (m + 1) / 2.0) / (m * (double) (rank.length - m));
            best = Math.max(best, Math.max(area, 1 - area));
        }
        return best;
    }
}
