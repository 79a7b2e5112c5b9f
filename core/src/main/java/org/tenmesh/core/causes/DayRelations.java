package org.tenmesh.core.causes;

import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.IntFunction;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Assumed;
import org.tenmesh.core.agreement.KnownControls;
import org.tenmesh.core.agreement.SoilTable;
import org.tenmesh.core.agreement.Vessel;
import org.tenmesh.core.judgement.Assumptions;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.WithinLaboratory;
import org.tenmesh.core.methods.Analyte;

/** How the results of each method of a day agree with those of the others: learnt once for each state of the table, and kept under its digest. */
final class DayRelations {
    /**
     * How a method agrees with the others.
     *
     * @param key digest of everything it was learnt from
     */
    record Learnt(String key, Agreement agreement) {}

    private final DaySoils soils;
    private final List<RunStage> runs;
    private final @Nullable String[] materials;
    private final Map<String, References> references;
    private final Policy policy;
    private final Assumed assumed;
    private final Reuse reuse;
    private final Questions questions;
    /** Digest of the materials of control soils. */
    private final String materialsKey;

    /**
     * @param materials for each row the material of a control soil, null for a soil
     */
    DayRelations(
            DaySoils soils,
            List<RunStage> runs,
            @Nullable String[] materials,
            Map<String, References> references,
            Policy policy,
            Reuse reuse,
            Questions questions) {
        this.soils = soils;
        this.runs = runs;
        this.questions = questions;
        this.materials = materials;
        this.references = references;
        this.policy = policy;
        assumed = Assumptions.of(policy);
        this.reuse = reuse;
        materialsKey = reuse.key("materials", materials);
    }

    /** How each method agrees with the others, in the order of {@link DaySoils#methods()}. */
    List<Learnt> learn() {
        soils.settleColumns();
        return soils.methods().parallelStream()
                .map(method -> questions.ask(
                        "its results agree with those of other methods",
                        RunStage.names(runs, method.method),
                        () -> agreement(method),
                        () -> new Learnt(
                                reuse.key("nothing", method.key(reuse)),
                                Agreement.ofNothing(assumed, soils.table(), method.own))))
                .toList();
    }

    /** The same relations, with the readings that were moved since. */
    List<Learnt> again(List<Learnt> learnt) {
        soils.settleColumns();
        return IntStream.range(0, learnt.size())
                .parallel()
                .mapToObj(m -> again(soils.methods().get(m), learnt.get(m)))
                .toList();
    }

    /**
     * A client with enough earlier soils is held against itself, another one against its region.
     *
     * @param everybody the relations of all soils
     */
    Map<BitSet, List<Learnt>> ofTheirOwn(List<Learnt> everybody) {
        Map<BitSet, List<Learnt>> theirs = new LinkedHashMap<>();
        if (soils.earlier().isEmpty()) {
            return theirs;
        }
        BitSet left = new BitSet();
        for (int row = 0; row < soils.size(); row++) {
            left.set(row, soils.client(row) >= 0);
        }
        byName(left, row -> soils.origin(row).client())
                .forEach((client, rows) -> theirOwn(
                                everybody,
                                rows,
                                soils.earlier().of(soil -> soil.client().equals(client)))
                        .ifPresent(known -> {
                            theirs.put(rows, known);
                            left.andNot(rows);
                        }));
        byName(left, row -> soils.origin(row).region())
                .forEach((region, rows) -> theirOwn(
                                everybody,
                                rows,
                                soils.earlier().of(soil -> soil.region().equals(Optional.of(region))))
                        .ifPresent(known -> theirs.put(rows, known)));
        return theirs;
    }

    private static Map<String, BitSet> byName(BitSet rows, IntFunction<String> nameOf) {
        Map<String, BitSet> byName = new TreeMap<>();
        rows.stream().forEach(row -> {
            String name = nameOf.apply(row);
            if (!name.isEmpty()) {
                byName.computeIfAbsent(name, key -> new BitSet()).set(row);
            }
        });
        return byName;
    }

    // Methods of which too little is known go by everybody's relations.
    private Optional<List<Learnt>> theirOwn(List<Learnt> everybody, BitSet rows, int[] kind) {
        List<Optional<Learnt>> found = IntStream.range(0, everybody.size())
                .parallel()
                .mapToObj(m -> agreementOfTheirOwn(soils.methods().get(m), rows, kind))
                .toList();
        if (found.stream().allMatch(Optional::isEmpty)) {
            return Optional.empty();
        }
        return Optional.of(IntStream.range(0, found.size())
                .mapToObj(m -> found.get(m)
                        .filter(its -> its.agreement().isFitted()
                                && everybody.get(m).agreement().isFitted())
                        .map(its -> new Learnt(
                                reuse.key(
                                        "outliers", its.key(), everybody.get(m).key()),
                                its.agreement()
                                        .strayDensityFrom(everybody.get(m).agreement())))
                        .orElse(everybody.get(m)))
                .toList());
    }

    // By relations learnt from the day and from the newest of earlier days. What the method's own columns say without
    // the
    // others is learnt apart: a new reading of another method leaves it as it was.
    private Learnt agreement(MethodSoils method) {
        SoilTable table = soils.table();
        KnownControls known = known(method);
        Vessel vessel = vessel(method);
        int[] others = soils.others(method);
        return learnt(key("agreement", method, others, vessel), () -> {
            String alone = key("alone", method, new int[0], vessel);
            if (soils.earlier().isEmpty()) {
                return Agreement.learn(
                        learnt(
                                        alone,
                                        () -> Agreement.learn(
                                                assumed, table, method.own, new int[0], known, vessel, method.nothing))
                                .agreement(),
                        table,
                        others);
            }
            BitSet all = new BitSet();
            all.set(0, soils.size());
            SoilTable both = soils.earlier().before(table, soils.earlier().newest(), all);
            return Agreement.learn(
                            reuse.piece(
                                    Agreement.class,
                                    alone,
                                    () -> Agreement.learn(assumed, both, method.own, new int[0])),
                            both,
                            others)
                    .appliedTo(table, all, known, vessel, method.nothing);
        });
    }

    /**
     * The same for some soils alone, by relations learnt from these and from earlier ones of their kind; empty where those are too few to
     * say what is usual for them.
     *
     * @param of rows of the day
     * @param kind earlier rows
     */
    private Optional<Learnt> agreementOfTheirOwn(MethodSoils method, BitSet of, int[] kind) {
        int[] others = soils.others(method);
        if (soils.earlier().with(kind, method.own, others)
                < Math.max(
                        policy.whole(Setting.OWN_RELATIONS_LEAST_SOILS),
                        policy.whole(Setting.RELATIONS_ROWS_PER_COEFFICIENT) * (1 + 2 * others.length))) {
            return Optional.empty();
        }
        SoilTable table = soils.table();
        KnownControls known = known(method);
        Vessel vessel = vessel(method);
        String key = reuse.key(key("of their own", method, others, vessel), of, kind);
        return Optional.of(learnt(
                key,
                () -> Agreement.learn(assumed, soils.earlier().before(table, kind, of), method.own, others)
                        .appliedTo(table, of, known, vessel, method.nothing)));
    }

    private Learnt again(MethodSoils method, Learnt before) {
        String key = reuse.keeps()
                ? reuse.key(
                        "again",
                        before.key(),
                        soils.valuesKey(method),
                        soils.columnsKey(others(before)),
                        method.nothing)
                : "";
        return learnt(key, () -> before.agreement().refit(method.nothing));
    }

    private static int[] others(Learnt learnt) {
        return learnt.agreement().others();
    }

    private String key(String what, MethodSoils method, int[] others, Vessel vessel) {
        return reuse.keeps()
                ? reuse.key(
                        what,
                        Engine.VERSION,
                        soils.layoutKey(),
                        method.own,
                        others,
                        soils.valuesKey(method),
                        soils.columnsKey(others),
                        method.nothing,
                        reuse.digestOf(references.get(method.method.id())),
                        materialsKey,
                        vessel,
                        soils.earlierKey())
                : "";
    }

    private Learnt learnt(String key, Supplier<Agreement> learning) {
        return new Learnt(key, reuse.piece(Agreement.class, key, learning).on(soils.table()));
    }

    private KnownControls known(MethodSoils method) {
        int n = soils.size();
        @Nullable double[][] mean = new double[n][];
        @Nullable double[][] sd = new double[n][];
        References known = references.get(method.method.id());
        for (int row = 0; row < n; row++) {
            String material = materials[row];
            if (material != null && known != null) {
                know(method, known, material, row, mean, sd);
            }
        }
        return new KnownControls(mean, sd);
    }

    private Vessel vessel(MethodSoils method) {
        References known = references.get(method.method.id());
        int p = method.own.length;
        double[] emptyMean = new double[p];
        double[] emptySd = new double[p];
        double[] repeatSd = new double[p];
        for (int c = 0; c < p; c++) {
            emptyMean[c] = method.isPh(c) ? policy.number(Setting.EMPTY_PH) : Math.log(method.floor[c]);
            emptySd[c] = method.isPh(c) ? policy.number(Setting.EMPTY_PH_SD) : policy.number(Setting.EMPTY_CONTENT_SD);
            Analyte analyte = method.analytes.get(c);
            WithinLaboratory within =
                    WithinLaboratory.of(analyte, known == null ? List.of() : known.materials(analyte.symbol()));
            double middle = method.unscaled(c, soils.middle(method, c));
            repeatSd[c] = within.sdAt(middle) / (method.isPh(c) ? 1 : middle + method.floor[c]);
        }
        return new Vessel(emptyMean, emptySd, repeatSd);
    }

    private static void know(
            MethodSoils method,
            References known,
            String material,
            int row,
            @Nullable double[][] mean,
            @Nullable double[][] sd) {
        int p = method.own.length;
        double[] m = new double[p];
        double[] s = new double[p];
        for (int c = 0; c < p; c++) {
            Optional<Material> found =
                    known.material(material, method.analytes.get(c).symbol());
            if (found.isEmpty() || !(found.get().sd() > 0)) {
                return;
            }
            m[c] = method.scaled(c, found.get().mean());
            s[c] = method.isPh(c)
                    ? found.get().sd()
                    : found.get().sd() / (found.get().mean() + method.floor[c]);
        }
        mean[row] = m;
        sd[row] = s;
    }
}
