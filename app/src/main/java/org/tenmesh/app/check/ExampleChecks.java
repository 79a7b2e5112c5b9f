package org.tenmesh.app.check;

import java.util.Locale;
import java.util.Set;
import org.tenmesh.app.methods.Worked;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.methods.MethodFiles;

/** The worked examples in the files of the methods that ship, those with a source that was read and that no other group checks. */
final class ExampleChecks {
    private ExampleChecks() {}

    static void onto(Sheet sheet) {
        Set<String> checked = WorkedChecks.keys();
        for (Method method : MethodFiles.allShipped()) {
            for (Worked worked : Worked.of(method)) {
                Source source = worked.example().source();
                if (source.standing() == Source.Standing.READ) {
                    example(sheet, worked, source, checked);
                }
            }
        }
    }

    private static void example(Sheet sheet, Worked worked, Source source, Set<String> checked) {
        boolean computed = source.text().toLowerCase(Locale.ROOT).startsWith("computed");
        Sheet.From from = sheet.from(
                "Worked examples: " + worked.method().head().title(),
                Work.METHOD_FILES,
                source.text(),
                computed ? Standing.COMPUTED : Standing.READ);
        boolean several = worked.example().expected().size() > 1;
        worked.example().expected().forEach((symbol, expected) -> {
            String key = WorkedChecks.key(
                    worked.method().id(), symbol, worked.example().given());
            if (!checked.contains(key)) {
                from.word(
                        worked.id() + (several ? "-" + symbol : ""),
                        worked.given() + ": " + symbol,
                        expected,
                        () -> worked.got().getOrDefault(symbol, "nothing"));
            }
        });
    }
}
