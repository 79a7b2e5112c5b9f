package org.tenmesh.web;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.words.Words;

/** Addresses of the pages of a day, made from the route table. */
final class Places {
    private static final String DAY = "2026-11-25";

    private Places() {}

    /** One address for each route that is read, its variable parts filled with something that exists. */
    static String one(Route route, Ashgrove ashgrove) {
        InventedDay invented = ashgrove.invented();
        Map<String, String> parts = Map.ofEntries(
                Map.entry("labNumber", soil(invented).text()),
                Map.entry("tray", invented.day().trays().get(0).tray()),
                Map.entry("run", "mehlich-1"),
                Map.entry("cause", Words.part(InventedDay.DRIFT)),
                Map.entry("submission", "SUB-2201"),
                Map.entry("revision", "1"),
                Map.entry("method", "ph-water-1-1"),
                Map.entry("token", "nothing"),
                Map.entry("paper", "a4"),
                Map.entry("layout", "table"),
                Map.entry("rack", "R-017"),
                Map.entry("mill", "Mill-1"),
                Map.entry("lot", Ashgrove.LOT),
                Map.entry("equipment", Ashgrove.PIPETTE),
                Map.entry("hold", "1"),
                Map.entry("box", "B-000001"),
                Map.entry("list", "D-261125-1"),
                Map.entry("parcel", "R1"),
                Map.entry("charge", "C1"),
                Map.entry("day", DAY));
        String path = route.path().replace("{format}", "csv").replace("{order}", "order-1");
        for (Map.Entry<String, String> part : parts.entrySet()) {
            path = path.replace("{" + part.getKey() + "}", part.getValue());
        }
        return route.path().equals("/find") ? path + "?q=" + soil(invented).text() : path;
    }

    /** Every address of a route: each tray, each lab number, each run. */
    static List<String> all(Route route, InventedDay invented) {
        return all(route.path(), invented).stream()
                .map(place -> place.replace("{day}", DAY)
                        .replace("{rack}", "R-017")
                        .replace("{mill}", "Mill-1")
                        .replace("{lot}", Ashgrove.LOT)
                        .replace("{equipment}", Ashgrove.PIPETTE)
                        .replace("{hold}", "1")
                        .replace("{box}", "B-000001")
                        .replace("{list}", "D-261125-1")
                        .replace("{format}", "csv")
                        .replace("{parcel}", "R1")
                        .replace("{charge}", "C1"))
                .toList();
    }

    private static List<String> all(String path, InventedDay invented) {
        List<String> out = new ArrayList<>();
        if (path.contains("{labNumber}")) {
            invented.day()
                    .soils()
                    .forEach(s ->
                            out.add(path.replace("{labNumber}", s.labNumber().text())));
        } else if (path.contains("{tray}")) {
            invented.day().trays().forEach(t -> out.add(path.replace("{tray}", t.tray())));
        } else if (path.contains("{run}")) {
            invented.day().runs().forEach(r -> out.add(path.replace("{run}", r.run())));
        } else if (path.contains("{cause}")) {
            out.add(path.replace("{cause}", Words.part(InventedDay.DRIFT)));
        } else if (path.contains("{method}")) {
            Ashgrove.METHODS.ids().forEach(m -> out.add(path.replace("{method}", m)));
        } else if (path.contains("{submission}")) {
            invented.day()
                    .submissions()
                    .forEach(s -> out.add(path.replace("{submission}", s.submission())
                            .replace("{revision}", "1")
                            .replace("{paper}", "a4")
                            .replace("{layout}", "table")
                            .replace("{format}", "csv")));
        } else if (path.equals("/find")) {
            invented.day()
                    .soils()
                    .forEach(s -> out.add("/find?q=" + s.labNumber().text()));
            invented.day().trays().forEach(t -> out.add("/find?q=" + t.tray()));
            out.add("/find?q=26329-9999-X");
            out.add("/find?q=26329-00");
            out.add("/find?q=263290");
            out.add("/find?q=SUB-2201");
        } else {
            out.add(path.replace("{token}", "nothing").replace("{order}", "order-1"));
        }
        return out;
    }

    /** A client's soil outside every cause, read by all methods. */
    static LabNumber soil(InventedDay invented) {
        return invented.day().soils().stream()
                .filter(s -> s.submission().isPresent())
                .map(Soil::labNumber)
                .filter(l -> clear(invented, l))
                .findFirst()
                .orElseThrow();
    }

    /** A hidden control outside every cause. */
    static LabNumber control(InventedDay invented) {
        return invented.day().controls().keySet().stream()
                .sorted()
                .filter(l -> clear(invented, l))
                .findFirst()
                .orElseThrow();
    }

    private static boolean clear(InventedDay invented, LabNumber labNumber) {
        return invented.judged().results().stream()
                        .anyMatch(
                                r -> r.labNumber().equals(labNumber) && r.run().equals("mehlich-1"))
                && invented.judged().results().stream()
                        .filter(r -> r.labNumber().equals(labNumber))
                        .allMatch(r -> r.causes().isEmpty());
    }
}
