package org.tenmesh.web.methods;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.methods.Method;
import org.tenmesh.web.words.Words;

/**
 * A named set of methods: what it asks for and what soil that takes.
 *
 * @param soilG soil for all portions together, g
 * @param submissions how many of the day ask for it
 */
public record PackageView(
        String name,
        String title,
        String anchor,
        List<AskedLine> measured,
        List<AskedLine> calculated,
        List<AskedLine> advice,
        List<PortionLine> portions,
        double soilG,
        int submissions) {

    /**
     * A method asked for.
     *
     * @param href empty text when the method is not known here
     * @param on false for advice that the laboratory has not switched on: then there is no result
     */
    public record AskedLine(String title, String href, String analytes, boolean on) {}

    /** A portion and what is read from it. */
    public record PortionLine(String name, String soil, String methods) {}

    static List<PackageView> list(Desk desk) {
        return desk.day().packages().stream().map(p -> of(desk, p)).toList();
    }

    private static PackageView of(Desk desk, TestPackage asked) {
        List<AskedLine> measured = new ArrayList<>();
        List<AskedLine> calculated = new ArrayList<>();
        List<AskedLine> advice = new ArrayList<>();
        for (TestPackage.Asked one : asked.asked()) {
            Method method = desk.methods().find(one.method()).orElse(null);
            AskedLine line = new AskedLine(
                    method == null
                            ? one.method() + " (not a method of this laboratory)"
                            : method.head().title(),
                    method == null ? "" : "/methods/" + Words.part(one.method()),
                    one.analytes().isEmpty()
                            ? method == null ? "" : Words.analytes(method)
                            : String.join(", ", one.analytes()),
                    desk.isOn(one.method()));
            if (method == null || !method.isCalculated()) {
                measured.add(line);
            } else {
                (method.regionalAdvice().isPresent() ? advice : calculated).add(line);
            }
        }
        List<Portions.Taken> portions = Portions.of(asked, desk.methods());
        List<PortionLine> lines = new ArrayList<>();
        for (Portions.Taken portion : portions) {
            lines.add(new PortionLine(
                    Words.portion(portion.name()),
                    portion.soilG() > 0 ? Words.plain(portion.soilG()) + " g" : "no soil of its own",
                    String.join(
                            ", ",
                            portion.methods().stream()
                                    .map(m -> m.head().title())
                                    .toList())));
        }
        return new PackageView(
                asked.name(),
                asked.title(),
                Words.anchor(asked.name()),
                measured,
                calculated,
                advice,
                lines,
                Portions.totalG(portions),
                (int) desk.promises().stream()
                        .filter(p -> desk.soilsOf(p.submission().submission()).stream()
                                .anyMatch(s -> desk.packageOf(s)
                                        .filter(asked.name()::equals)
                                        .isPresent()))
                        .count());
    }
}
