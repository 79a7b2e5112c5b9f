package org.tenmesh.exchange.yaml;

import java.util.List;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.events.CollectionEndEvent;
import org.snakeyaml.engine.v2.events.CollectionStartEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.tenmesh.exchange.file.Problem;

/** Reads YAML text into a {@link Section}; nothing is built from tags. */
public final class YamlText {
    private static final LoadSettings SETTINGS =
            LoadSettings.builder().setMaxAliasesForCollections(20).build();

    private static final int MOST_LEVELS = 50;

    private YamlText() {}

    // Shipped methods, which are flat, are not parsed twice: every level takes a bracket or, in block style, a column.
    private static boolean mayBeDeep(String text) {
        int brackets = 0;
        int columns = 0;
        int most = 0;
        boolean leading = true;
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            brackets += c == '[' || c == '{' ? 1 : 0;
            leading = c == '\n' || leading && (c == ' ' || c == '-' || c == '?');
            columns = c == '\n' ? 0 : leading ? columns + 1 : columns;
            most = Math.max(most, columns);
        }
        return brackets > MOST_LEVELS || most > MOST_LEVELS;
    }

    // The line where the levels become too many, 0 when they never do. Nodes are composed by a method that calls itself
    // and would
    // end the thread; events come one after the other.
    private static int tooDeep(String text) {
        int levels = 0;
        for (Event event : new Parse(SETTINGS).parseString(text)) {
            if (event instanceof CollectionStartEvent) {
                levels++;
                if (levels > MOST_LEVELS) {
                    return event.getStartMark().map(mark -> mark.getLine() + 1).orElse(1);
                }
            } else if (event instanceof CollectionEndEvent) {
                levels--;
            }
        }
        return 0;
    }

    /** The top section of a file, or empty when the text is not a YAML mapping, which is then a problem. */
    public static Optional<Section> read(String file, String text, List<Problem> problems, String consequence) {
        try {
            int tooDeep = mayBeDeep(text) ? tooDeep(text) : 0;
            if (tooDeep > 0) {
                problems.add(new Problem(
                        file,
                        tooDeep,
                        "",
                        "YAML of more than " + MOST_LEVELS + " levels",
                        "a few levels of keys and lists",
                        consequence));
                return Optional.empty();
            }
            Optional<Node> root = new Compose(SETTINGS).composeString(text);
            if (root.isPresent() && root.get() instanceof MappingNode mapping) {
                return Optional.of(Section.of(file, mapping, problems, consequence));
            }
            problems.add(new Problem(
                    file,
                    root.isEmpty() ? 0 : 1,
                    "",
                    root.isEmpty() ? "an empty file" : "YAML that is not a list of keys",
                    "keys and values, such as name: value",
                    consequence));
        } catch (MarkedYamlEngineException broken) {
            int line = broken.getProblemMark().map(mark -> mark.getLine() + 1).orElse(0);
            problems.add(new Problem(file, line, "", "broken YAML: " + broken.getProblem(), "YAML 1.2", consequence));
        } catch (YamlEngineException broken) {
            problems.add(new Problem(file, 0, "", "broken YAML: " + broken.getMessage(), "YAML 1.2", consequence));
        }
        return Optional.empty();
    }
}
