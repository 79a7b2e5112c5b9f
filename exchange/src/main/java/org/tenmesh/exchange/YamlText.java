package org.tenmesh.exchange;

import java.util.List;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;

/** Reads YAML text into a {@link Section}; nothing is built from tags. */
final class YamlText {
    private static final LoadSettings SETTINGS =
            LoadSettings.builder().setMaxAliasesForCollections(20).build();

    private YamlText() {}

    /** The top section of a file, or empty when the text is not a YAML mapping, which is then a problem. */
    static Optional<Section> read(String file, String text, List<Problem> problems, String consequence) {
        try {
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
