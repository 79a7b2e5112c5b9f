package org.tenmesh.core.judgement;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.charts.BiasStudy;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.Reproducibility;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.digest.Digested;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Follows;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.KnownValues;

/** The known values of one method: its standards and check solutions, its control materials. Immutable. */
public final class References implements Digested {
    private final Map<String, Map<String, Standard>> standards = new HashMap<>();
    private final Map<String, Map<String, Material>> materials = new HashMap<>();
    private Map<String, List<Reproducibility.Level>> levels = Map.of();
    private List<BiasStudy> bias = List.of();
    private List<LostLine> lost = List.of();
    private int assumedRuns;

    private References() {}

    /** Those of the method among all of a day. */
    public static References of(String method, List<Standard> standards, List<Material> materials) {
        References references = new References();
        references.assumedRuns = Policy.defaults().whole(Setting.CONTROL_TREND_ASSIGNED_RUNS);
        for (Standard standard : standards) {
            if (standard.method().equals(method)) {
                references
                        .standards
                        .computeIfAbsent(standard.standard(), name -> new HashMap<>())
                        .put(standard.analyte(), standard);
            }
        }
        for (Material material : materials) {
            if (material.method().equals(method)) {
                references
                        .materials
                        .computeIfAbsent(material.material(), name -> new HashMap<>())
                        .put(material.analyte(), material);
            }
        }
        return references;
    }

    /**
     * Those of the method, with what earlier days say.
     *
     * @param policy how many results are assumed behind a material of which no number is stated
     */
    public static References of(
            String method, List<Standard> standards, List<Material> materials, ControlHistory history, Policy policy) {
        References references = of(method, standards, materials);
        references.assumedRuns = policy.whole(Setting.CONTROL_TREND_ASSIGNED_RUNS);
        if (!history.isEmpty()) {
            references.levels = Reproducibility.levels(history, method);
            references.bias = history.bias().stream()
                    .filter(study -> study.method().equals(method))
                    .toList();
        }
        return references;
    }

    /** The same, of which these lines of the day could not be taken. */
    public References losing(List<LostLine> lines, String method) {
        lost = lines.stream().filter(line -> line.mayConcern(method)).toList();
        return this;
    }

    /** Lines of the day that could not be taken and may say something of this method. */
    List<LostLine> lost() {
        return lost;
    }

    /**
     * The uncertainty to expect of one analyte. One that the method calculates from another, and of which no material is known, is known as well
     * as that other.
     */
    public WithinLaboratory withinLaboratory(Method method, Analyte analyte) {
        String symbol = analyte.symbol();
        Optional<Follows> follows = method.follows(symbol);
        boolean own = !materials(symbol).isEmpty() || levels.containsKey(symbol);
        if (follows.isEmpty() || own) {
            return WithinLaboratory.of(
                    analyte, materials(symbol), levels.getOrDefault(symbol, List.of()), bias(symbol), assumedRuns);
        }
        Follows line = follows.get();
        return WithinLaboratory.of(
                analyte,
                materials(line.symbol()).stream().map(one -> along(line, one)).toList(),
                levels.getOrDefault(line.symbol(), List.of()).stream()
                        .map(level -> along(line, level))
                        .toList(),
                bias(line.symbol()).stream()
                        .filter(study -> line.of(study.assigned()) != 0)
                        .map(study -> along(line, study))
                        .toList(),
                assumedRuns);
    }

    private List<BiasStudy> bias(String symbol) {
        return bias.stream().filter(study -> study.analyte().equals(symbol)).toList();
    }

    private static Material along(Follows line, Material one) {
        return new Material(
                one.material(),
                one.method(),
                one.analyte(),
                line.of(one.mean()),
                Math.abs(line.slope()) * one.sd(),
                one.unit(),
                one.n());
    }

    private static Reproducibility.Level along(Follows line, Reproducibility.Level level) {
        return new Reproducibility.Level(
                level.material(),
                line.of(level.mean()),
                Math.abs(line.slope()) * level.sd(),
                level.n(),
                level.runs(),
                level.days(),
                level.lots(),
                level.degrees());
    }

    private static BiasStudy along(Follows line, BiasStudy study) {
        double size = Math.abs(line.slope());
        return new BiasStudy(
                study.method(),
                study.analyte(),
                study.name(),
                line.of(study.found()),
                size * study.sd(),
                study.n(),
                line.of(study.assigned()),
                size * study.assignedU());
    }

    /** What a standard or check solution holds of an analyte. */
    public Optional<Standard> standard(String name, String analyte) {
        Map<String, Standard> found = standards.get(name);
        return found == null ? Optional.empty() : Optional.ofNullable(found.get(analyte));
    }

    /** What a control material is known to give. */
    public Optional<Material> material(String name, String analyte) {
        Map<String, Material> found = materials.get(name);
        return found == null ? Optional.empty() : Optional.ofNullable(found.get(analyte));
    }

    /** The names of all control materials, in alphabetical order. */
    public List<String> materialNames() {
        return materials.keySet().stream().sorted().toList();
    }

    /** Every material known for an analyte. */
    public List<Material> materials(String analyte) {
        return materials.values().stream()
                .flatMap(byAnalyte -> Optional.ofNullable(byAnalyte.get(analyte)).stream())
                .toList();
    }

    @Override
    public String digest() {
        // The order in which materials are asked for is the map's own.
        String known = Content.digest(standards, List.copyOf(materials.keySet()), materials, levels, bias, assumedRuns);
        return lost.isEmpty() ? known : Content.digest(known, lost);
    }

    /** The values alone, as the reduction needs them. */
    public KnownValues values() {
        return (standard, analyte) ->
                standard(standard, analyte).map(Standard::value).orElse(Double.NaN);
    }
}
