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
import org.tenmesh.core.reduction.KnownValues;

/** The known values of one method: its standards and check solutions, its control materials. Immutable. */
public final class References implements Digested {
    private final Map<String, Map<String, Standard>> standards = new HashMap<>();
    private final Map<String, Map<String, Material>> materials = new HashMap<>();
    private Map<String, List<Reproducibility.Level>> levels = Map.of();
    private List<BiasStudy> bias = List.of();

    private References() {}

    /** Those of the method among all of a day. */
    public static References of(String method, List<Standard> standards, List<Material> materials) {
        References references = new References();
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

    /** Those of the method, with what earlier days say. */
    public static References of(
            String method, List<Standard> standards, List<Material> materials, ControlHistory history) {
        References references = of(method, standards, materials);
        if (!history.isEmpty()) {
            references.levels = Reproducibility.levels(history, method);
            references.bias = history.bias().stream()
                    .filter(study -> study.method().equals(method))
                    .toList();
        }
        return references;
    }

    /** The uncertainty to expect of one analyte. */
    public WithinLaboratory withinLaboratory(Analyte analyte) {
        String symbol = analyte.symbol();
        return WithinLaboratory.of(
                analyte,
                materials(symbol),
                levels.getOrDefault(symbol, List.of()),
                bias.stream().filter(study -> study.analyte().equals(symbol)).toList());
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
        return Content.digest(standards, List.copyOf(materials.keySet()), materials, levels, bias);
    }

    /** The values alone, as the reduction needs them. */
    public KnownValues values() {
        return (standard, analyte) ->
                standard(standard, analyte).map(Standard::value).orElse(Double.NaN);
    }
}
