package org.tenmesh.web.bench;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.store.rows.Json;

/**
 * What a tablet keeps for the time without network: of each tray the steps that are still to be done, so that a scan finds the one thing to do
 * all the same. Steps stand once in a list and trays name their numbers.
 */
final class BenchFeed {
    private BenchFeed() {}

    /** JSON text without the moment, which a digest of it tells changes by. */
    static String of(BenchDay day) {
        Map<Step, Integer> numbers = new LinkedHashMap<>();
        List<Object> trays = new ArrayList<>();
        for (Tray tray : day.desk().day().trays()) {
            Map<String, Object> soils = new TreeMap<>();
            tray.wells()
                    .forEach(place -> place.labNumber()
                            .ifPresent(number ->
                                    soils.put(number.text(), place.well().toString())));
            trays.add(Map.of(
                    "code",
                    tray.tray(),
                    "regulated",
                    BenchView.regulated(day.desk(), tray),
                    "todo",
                    todo(numbers, day.of(tray)),
                    "soils",
                    soils));
        }
        List<Object> rack = todo(numbers, day.beforeLayout(Subject.rack("")));
        List<Object> steps = new ArrayList<>();
        numbers.keySet().forEach(step -> steps.add(step(step)));
        List<Object> regulated = new ArrayList<>();
        day.racks().stream().filter(day::regulated).map(Subject::code).forEach(regulated::add);
        return Json.object(
                "day", day.desk().name(), "trays", trays, "rack", rack, "regulatedRacks", regulated, "steps", steps);
    }

    static String digest(String feed) {
        return Content.digest(feed).substring(0, 16);
    }

    /** The open steps, the one to do now first; each a number of the list and when it is over, 0 before it has begun. */
    private static List<Object> todo(Map<Step, Integer> numbers, BenchWork work) {
        List<Object> todo = new ArrayList<>();
        work.now().ifPresent(now -> todo.add(one(numbers, now)));
        for (BenchWork.Line line : work.lines()) {
            boolean open = line.state() == BenchWork.State.WAITS || line.state() == BenchWork.State.RUNS;
            if (open && work.now().filter(line::equals).isEmpty()) {
                todo.add(one(numbers, line));
            }
        }
        return todo;
    }

    private static List<Object> one(Map<Step, Integer> numbers, BenchWork.Line line) {
        int number = numbers.computeIfAbsent(line.step(), step -> numbers.size());
        long over = line.over().map(at -> at.toEpochMilli()).orElse(0L);
        return List.of(number, line.state() == BenchWork.State.RUNS ? 1 : 0, over);
    }

    private static Map<String, Object> step(Step step) {
        return Map.of(
                "key", step.key(),
                "phrase", step.doing().phrase(),
                "big", step.big(),
                "what", step.what(),
                "lasts", step.lasts().toSeconds(),
                "begins", step.waits(),
                "cautions", step.cautions());
    }
}
