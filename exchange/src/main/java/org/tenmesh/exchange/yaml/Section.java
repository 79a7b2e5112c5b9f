package org.tenmesh.exchange.yaml;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;

/**
 * One mapping of a YAML file, read key by key. What is missing or of the wrong kind becomes a problem and a stand-in comes
 * back, so that one reading finds everything that is wrong; the caller throws all away when there were problems.
 */
public final class Section {
    private final String file;
    private final String path;
    private final int line;
    private final Map<String, Node> nodes = new LinkedHashMap<>();
    private final Map<String, Integer> lines = new HashMap<>();
    private final Set<String> asked = new HashSet<>();
    private final List<Problem> problems;
    private final String consequence;
    private final int before;

    private Section(String file, String path, MappingNode mapping, List<Problem> problems, String consequence) {
        this.file = file;
        this.path = path;
        this.line = lineOf(mapping);
        this.problems = problems;
        this.before = problems.size();
        this.consequence = consequence;
        for (NodeTuple tuple : mapping.getValue()) {
            if (tuple.getKeyNode() instanceof ScalarNode key) {
                if (nodes.putIfAbsent(key.getValue(), tuple.getValueNode()) != null) {
                    problem(lineOf(key), key.getValue(), "the key twice", "each key once");
                } else {
                    lines.put(key.getValue(), lineOf(key));
                }
            } else {
                problem(lineOf(tuple.getKeyNode()), "", "a key that is not plain text", "plain text");
            }
        }
    }

    static Section of(String file, MappingNode mapping, List<Problem> problems, String consequence) {
        return new Section(file, "", mapping, problems, consequence);
    }

    /** Whether anything was found wrong since the section was begun. */
    public boolean hasProblems() {
        return problems.size() > before;
    }

    /** All that it says: the same text for the same keys and values, whatever their order and layout. */
    public String content() {
        return content(nodes);
    }

    private static String content(Map<String, Node> nodes) {
        StringBuilder text = new StringBuilder("{");
        new TreeMap<>(nodes)
                .forEach((key, node) -> text.append(quoted(key))
                        .append(':')
                        .append(content(node))
                        .append(','));
        return text.append('}').toString();
    }

    private static String content(Node node) {
        if (node instanceof ScalarNode scalar) {
            return quoted(scalar.getValue());
        }
        if (node instanceof SequenceNode list) {
            return list.getValue().stream().map(Section::content).toList().toString();
        }
        Map<String, Node> its = new TreeMap<>();
        if (node instanceof MappingNode mapping) {
            mapping.getValue().forEach(one -> its.put(content(one.getKeyNode()), one.getValueNode()));
        }
        return content(its);
    }

    private static String quoted(String text) {
        return '"' + text.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
    }

    public boolean has(String key) {
        return nodes.containsKey(key);
    }

    /** Required text, not empty. */
    public String text(String key) {
        Optional<String> value = optionalText(key);
        if (value.isEmpty()) {
            missing(key, "text");
        }
        return value.orElse("?");
    }

    /** Text if the key is there and not empty. */
    public Optional<String> optionalText(String key) {
        asked.add(key);
        Node node = nodes.get(key);
        if (node == null) {
            return Optional.empty();
        }
        if (node instanceof ScalarNode scalar) {
            return scalar.getValue().isEmpty() ? Optional.empty() : Optional.of(scalar.getValue());
        }
        problem(lineOf(node), key, "a list or a group of keys", "text");
        return Optional.empty();
    }

    /** Required finite number. */
    public double number(String key) {
        OptionalDouble value = optionalNumber(key);
        if (value.isEmpty() && optionalText(key).isEmpty()) {
            missing(key, "a number");
        }
        return value.orElse(1);
    }

    public double number(String key, double otherwise) {
        return optionalNumber(key).orElse(otherwise);
    }

    public OptionalDouble optionalNumber(String key) {
        Optional<String> text = optionalText(key);
        if (text.isEmpty()) {
            return OptionalDouble.empty();
        }
        OptionalDouble value = Numbers.parse(text.get());
        if (value.isEmpty()) {
            problem(lineAt(key), key, Problem.quoted(text.get()), "a number with . as the decimal mark");
        }
        return value;
    }

    /** A required whole number from {@code least} to {@code most}. */
    public int whole(String key, int least, int most) {
        return wholeOf(key, text(key), least, most);
    }

    public int whole(String key, int least, int most, int otherwise) {
        return optionalText(key).map(text -> wholeOf(key, text, least, most)).orElse(otherwise);
    }

    private int wholeOf(String key, String text, int least, int most) {
        try {
            int value = Integer.parseInt(text);
            if (value >= least && value <= most) {
                return value;
            }
        } catch (NumberFormatException notWhole) {
            // told below
        }
        if (!text.equals("?")) {
            problem(lineAt(key), key, Problem.quoted(text), "a whole number from " + least + " to " + most);
        }
        return least;
    }

    public boolean truth(String key, boolean otherwise) {
        Optional<String> text = optionalText(key);
        if (text.isEmpty()) {
            return otherwise;
        }
        if (text.get().equals("true") || text.get().equals("false")) {
            return text.get().equals("true");
        }
        problem(lineAt(key), key, Problem.quoted(text.get()), "true or false");
        return otherwise;
    }

    public LocalDate date(String key) {
        String text = text(key);
        try {
            return LocalDate.parse(text);
        } catch (DateTimeParseException notDate) {
            if (!text.equals("?")) {
                problem(lineAt(key), key, Problem.quoted(text), "a date, such as 2026-11-01");
            }
            return LocalDate.EPOCH;
        }
    }

    /** One of the words, required. */
    public <T> T choice(String key, Map<String, T> words) {
        String text = text(key);
        T value = words.get(text);
        if (value == null) {
            if (!text.equals("?")) {
                problem(
                        lineAt(key),
                        key,
                        Problem.quoted(text),
                        "one of " + String.join(", ", new TreeSet<>(words.keySet())));
            }
            return words.values().iterator().next();
        }
        return value;
    }

    /** A required group of keys. */
    public Section section(String key) {
        asked.add(key);
        Node node = nodes.get(key);
        if (node instanceof MappingNode mapping) {
            return new Section(file, at(key), mapping, problems, consequence);
        }
        if (node == null) {
            missing(key, "a group of keys");
        } else {
            problem(lineOf(node), key, "something else", "a group of keys");
        }
        return new Section(
                file,
                at(key),
                new MappingNode(
                        org.snakeyaml.engine.v2.nodes.Tag.MAP,
                        List.of(),
                        org.snakeyaml.engine.v2.common.FlowStyle.BLOCK),
                // What is below a missing group is not told a second time.
                new ArrayList<>(),
                consequence);
    }

    /** A list of groups; an absent key is an empty list. */
    public List<Section> sections(String key) {
        List<Section> sections = new ArrayList<>();
        int i = 1;
        for (Node node : items(key)) {
            if (node instanceof MappingNode mapping) {
                sections.add(new Section(file, at(key) + "[" + i + "]", mapping, problems, consequence));
            } else {
                problem(lineOf(node), key + "[" + i + "]", "something else", "a group of keys");
            }
            i++;
        }
        return sections;
    }

    /** A list of texts; an absent key is an empty list. */
    public List<String> texts(String key) {
        List<String> texts = new ArrayList<>();
        int i = 1;
        for (Node node : items(key)) {
            if (node instanceof ScalarNode scalar) {
                texts.add(scalar.getValue());
            } else {
                problem(lineOf(node), key + "[" + i + "]", "a list or a group of keys", "text");
            }
            i++;
        }
        return texts;
    }

    /** A list of finite numbers; an absent key is an empty list. */
    public List<Double> numbers(String key) {
        List<Double> numbers = new ArrayList<>();
        int i = 1;
        for (String text : texts(key)) {
            OptionalDouble value = Numbers.parse(text);
            if (value.isPresent()) {
                numbers.add(value.getAsDouble());
            } else {
                problem(lineAt(key), key + "[" + i + "]", Problem.quoted(text), "a number with . as the decimal mark");
            }
            i++;
        }
        return numbers;
    }

    private List<Node> items(String key) {
        asked.add(key);
        Node node = nodes.get(key);
        if (node == null) {
            return List.of();
        }
        if (node instanceof SequenceNode sequence) {
            return sequence.getValue();
        }
        problem(lineOf(node), key, "a single value", "a list");
        return List.of();
    }

    /** All keys, in the order of the file. */
    public Set<String> keys() {
        return nodes.keySet();
    }

    /** Marks a key as known although nothing of it is read. */
    public void allow(String key) {
        asked.add(key);
    }

    /** Every key that nobody asked for becomes a problem: a misspelt limit must not pass as a default. */
    public void nothingElse() {
        nothingElse(consequence);
    }

    /**
     * As {@link #nothingElse()}.
     *
     * @param itsConsequence what such a key costs
     */
    public void nothingElse(String itsConsequence) {
        for (String key : new TreeSet<>(nodes.keySet())) {
            if (!asked.contains(key)) {
                problems.add(new Problem(
                        file,
                        lineAt(key),
                        at(key),
                        "an unknown key",
                        "one of " + String.join(", ", new TreeSet<>(asked)),
                        itsConsequence));
            }
        }
    }

    /** Keys that nobody asked for, in the order of their names. */
    public List<String> unasked() {
        return nodes.keySet().stream()
                .filter(key -> !asked.contains(key))
                .sorted()
                .toList();
    }

    /** A problem that costs something else than those of the rest of the section. */
    public void told(String key, String found, String expected, String itsConsequence) {
        problems.add(new Problem(file, lineAt(key), at(key), found, expected, itsConsequence));
    }

    public void missing(String key, String kind) {
        problem(line, key, "nothing", kind);
    }

    /** Reports what the caller found wrong with a value. */
    public void wrong(String key, String found, String expected) {
        problem(lineAt(key), key, found, expected);
    }

    private void problem(int atLine, String key, String found, String expected) {
        problems.add(new Problem(file, atLine, at(key), found, expected, consequence));
    }

    private String at(String key) {
        return path.isEmpty() || key.isEmpty() ? path + key : path + "." + key;
    }

    private int lineAt(String key) {
        Integer known = lines.get(key);
        return known == null ? line : known;
    }

    private static int lineOf(Node node) {
        return node.getStartMark().map(mark -> mark.getLine() + 1).orElse(0);
    }
}
