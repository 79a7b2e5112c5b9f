package org.tenmesh.exchange.day;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.function.Supplier;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.LostLine;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.day.TablesRead.Taken;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;

/** One reading of a day folder. */
final class DayRead {
    private static final String UNKNOWN_MATERIAL = "not known";

    private final Path folder;
    private final Supplier<MethodBook> methodsLater;
    private final Limits limits;
    private final Known known;
    private String register = Laboratory.OWN_REGISTER;
    private MethodBook methods = MethodBook.shipping();
    private KnownValues values;
    private final List<Problem> problems = new ArrayList<>();
    private final List<Problem> notes = new ArrayList<>();
    private final TablesRead tables;
    private final List<RowsOfFile> readings = new ArrayList<>();

    DayRead(Path folder, Supplier<MethodBook> methods, Limits limits, Known known) {
        this.known = known;
        this.folder = folder;
        this.methodsLater = methods;
        this.limits = limits;
        this.tables = new TablesRead(folder, limits, problems);
        this.values = new KnownValues(tables, this.methods);
    }

    DayReading read() {
        if (DayFiles.FILES.stream().noneMatch(name -> Files.exists(folder.resolve(name)))) {
            problems.add(new Problem(
                    ".",
                    0,
                    "",
                    Files.isDirectory(folder) ? "a folder with none of the day's files" : "no such folder",
                    "a day folder with runs.csv and readings/RUN.csv",
                    "Nothing is judged"));
            return new DayReading(empty(), problems, false, Map.of(), notes, List.of());
        }
        try (RunFiles runFiles = new RunFiles(folder, RunFiles.in(folder, problems), limits)) {
            return read(runFiles);
        }
    }

    private static Day empty() {
        return new Day(
                Laboratory.unnamed(), List.of(), List.of(), List.of(), Map.of(), List.of(), List.of(), List.of());
    }

    private DayReading read(RunFiles runFiles) {
        methods = methodsLater.get();
        values = new KnownValues(tables, methods);
        Laboratory laboratory = LaboratoryFile.read(folder, methods, limits, problems);
        register = laboratory.register();
        Taken<Submission> submissions = submissions();
        Taken<Soil> soils = soils(submissions.keys(), laboratory.policy());
        List<TestPackage> packages = packages();
        Taken<Material> materials = values.materials();
        Optional<Set<String>> materialNames = materials.keys().map(keys -> {
            Set<String> names = new HashSet<>();
            keys.forEach(key -> names.add(key.substring(0, key.indexOf('\n'))));
            return names;
        });
        Map<LabNumber, String> controls = new HashMap<>();
        Taken<DayTable.Control> sealed = controls(materialNames, controls);
        Optional<Set<String>> controlNumbers = sealed.keys();
        Optional<Set<String>> labNumbers = soils.keys().isPresent() && controlNumbers.isPresent()
                ? Optional.of(union(soils.keys().get(), controlNumbers.get()))
                : Optional.empty();
        List<Tray> trays = trays(labNumbers);
        Taken<Standard> standards = values.standards();
        Optional<Map<String, Set<String>>> standardNames = standards.keys().map(keys -> {
            Map<String, Set<String>> names = new HashMap<>();
            for (String key : keys) {
                String[] parts = key.split("\n", -1);
                names.computeIfAbsent(parts[0], method -> new HashSet<>()).add(parts[1]);
            }
            // What tells the carry-over is named by the method, and nobody need know what it holds.
            for (String id : Set.copyOf(names.keySet())) {
                for (Method version : methods.versions(id)) {
                    names.getOrDefault(id, new HashSet<>()).addAll(version.carryOverSolutions());
                }
            }
            return names;
        });
        List<Shortage> shortages = shortages(labNumbers);
        List<Run> runs = runs(
                runFiles,
                new ReadingsFile.References(labNumbers, materialNames, standardNames, known, register),
                standards.rows(),
                laboratory);
        List<LostLine> lost = lost(soils, sealed, materials, standards);
        Function<List<TestPackage>, Day> of = taken -> new Day(
                        laboratory,
                        submissions.rows(),
                        soils.rows(),
                        trays,
                        controls,
                        materials.rows(),
                        standards.rows(),
                        runs,
                        taken,
                        shortages)
                .losing(lost);
        Day all = of.apply(packages);
        List<TestPackage> served = served(packages, methods.on(all.date()));
        Day day = served.size() == packages.size() ? all : of.apply(served);
        new FolderNames(folder).tell(runs.stream().map(Run::run).toList(), problems, notes);
        new DayUse(day, calculated(served), problems, notes).tell();
        List<RowsOfFile> rows = new ArrayList<>(new RowsUsed(day).of(tables.counts()));
        rows.addAll(readings);
        return new DayReading(day, problems, true, tables.extras(), notes, rows);
    }

    private Set<String> calculated(List<TestPackage> packages) {
        Set<String> calculated = new HashSet<>();
        packages.forEach(one -> one.asked().forEach(asked -> {
            if (methods.versions(asked.method()).stream().anyMatch(DerivedMethod.class::isInstance)) {
                calculated.add(asked.method());
            }
        }));
        return calculated;
    }

    private Taken<Submission> submissions() {
        return tables.table(DayTable.SUBMISSIONS, row -> {
            Optional<String> country = row.optional("origin_country");
            if (country.isPresent() && !country.get().matches("[A-Z]{2}")) {
                row.wrong("origin_country", "two capital letters by ISO 3166-1");
            }
            return Optional.of(new Submission(
                    row.text("submission"),
                    row.text("client"),
                    row.time("received_at"),
                    row.optionalDate("promised_on"),
                    country,
                    row.optional("origin_region"),
                    row.optional("package"),
                    row.optionalYesNo("water_supplied"),
                    row.optional("note")));
        });
    }

    private Taken<Soil> soils(Optional<Set<String>> submissions, Policy policy) {
        double deepestCm = policy.number(Setting.POSSIBLE_DEPTH);
        double thinnestCm = policy.number(Setting.POSSIBLE_LAYER);
        return tables.table(DayTable.SAMPLES, row -> {
            Optional<LabNumber> number = TablesRead.labNumber(row);
            Optional<String> submission = row.optional("submission");
            if (submission.isPresent()
                    && submissions.isPresent()
                    && !submissions.get().contains(submission.get())) {
                row.wrong("submission", "a submission of submissions.csv");
            }
            OptionalDouble top = row.optionalNumber("top_cm");
            OptionalDouble bottom = row.optionalNumber("bottom_cm");
            depth(row, "top_cm", top, deepestCm);
            depth(row, "bottom_cm", bottom, deepestCm);
            if (top.isPresent() && bottom.isPresent() && bottom.getAsDouble() < top.getAsDouble()) {
                row.wrong("bottom_cm", "a lower edge not above top_cm " + row.cell("top_cm"));
            }
            if (bottom.isPresent() && bottom.getAsDouble() > 0 && bottom.getAsDouble() - top.orElse(0) < thinnestCm) {
                row.wrong("bottom_cm", "a layer of at least " + Setting.shortest(thinnestCm) + " cm");
            }
            return number.map(labNumber -> new Soil(
                    labNumber,
                    submission,
                    row.optionalWhole("ordinal", 1),
                    row.optional("client_label"),
                    top,
                    bottom,
                    row.optional("package"),
                    row.optionalYesNo("regulated"),
                    matter(row)));
        });
    }

    private static void depth(CsvFile.Row row, String column, OptionalDouble cm, double deepestCm) {
        if (cm.isPresent() && (cm.getAsDouble() < 0 || cm.getAsDouble() > deepestCm)) {
            row.wrong(column, "a depth from 0 to " + Setting.shortest(deepestCm) + " cm");
        }
    }

    private static Soil.Matter matter(CsvFile.Row row) {
        return switch (row.cell("matter")) {
            case "", "soil" -> Soil.Matter.SOIL;
            case "water" -> Soil.Matter.WATER;
            default -> {
                row.wrong("matter", "soil or water");
                yield Soil.Matter.SOIL;
            }
        };
    }

    private List<TestPackage> packages() {
        Map<String, String> titles = new LinkedHashMap<>();
        Taken<DayTable.Asking> taken = tables.table(DayTable.PACKAGES, row -> {
            String name = row.text("package");
            Optional<String> title = row.optional("title");
            String before = title.map(its -> titles.putIfAbsent(name, its)).orElse(null);
            if (before != null && !before.equals(title.orElse(""))) {
                row.wrong("title", "the title that package " + name + " has already, " + Problem.quoted(before));
            }
            List<Method> versions = values.versions(row);
            List<String> analytes = row.optional("analytes")
                    .map(text -> List.of(text.split(";", -1)))
                    .orElse(List.of());
            for (String analyte : analytes) {
                if (!versions.isEmpty() && !KnownValues.reports(versions, analyte)) {
                    row.wrong(
                            "analytes",
                            "analytes of " + versions.get(0).id() + " with ; between: "
                                    + KnownValues.symbols(versions));
                    break;
                }
            }
            return Optional.of(new DayTable.Asking(name, title, new TestPackage.Asked(row.cell("method"), analytes)));
        });
        Map<String, List<TestPackage.Asked>> asked = new LinkedHashMap<>();
        taken.rows()
                .forEach(one -> asked.computeIfAbsent(one.packageName(), name -> new ArrayList<>())
                        .add(one.asked()));
        List<TestPackage> packages = new ArrayList<>();
        asked.forEach((name, all) -> packages.add(new TestPackage(name, titles.getOrDefault(name, name), all)));
        return packages;
    }

    // How much soil a package takes follows from the method versions of the day, so the day must be known first.
    private List<TestPackage> served(List<TestPackage> packages, MethodsOfDay ofDay) {
        List<TestPackage> served = new ArrayList<>();
        for (TestPackage wanted : packages) {
            Optional<String> refusal = Portions.refusal(wanted, ofDay);
            if (refusal.isEmpty()) {
                served.add(wanted);
            } else {
                problems.add(new Problem(
                        DayFiles.PACKAGES,
                        0,
                        "method",
                        "package " + wanted.name() + " with " + refusal.get(),
                        "1 to 10 portions of each soil",
                        "The package is left out, the other packages are taken"));
            }
        }
        return served;
    }

    private List<Shortage> shortages(Optional<Set<String>> labNumbers) {
        return tables.table(DayTable.SHORTAGES, row -> {
                    Optional<LabNumber> number = TablesRead.labNumber(row);
                    if (number.isPresent() && !isKnown(labNumbers, number.get())) {
                        row.wrong("lab_number", "a lab number of samples.csv or controls.csv");
                    }
                    values.versions(row);
                    return number.map(labNumber -> new Shortage(labNumber, row.cell("method")));
                })
                .rows();
    }

    /** @param here of this folder; empty when a file of them could not be taken */
    private boolean isKnown(Optional<Set<String>> here, LabNumber number) {
        return here.isEmpty() || here.get().contains(number.text()) || known.labNumber(register, number);
    }

    private List<Tray> trays(Optional<Set<String>> labNumbers) {
        Map<String, Integer> linesInTray = new HashMap<>();
        Taken<DayTable.InTray> taken = tables.table(DayTable.TRAYS, row -> {
            String tray = row.text("tray");
            Optional<Well> well = Well.of(row.text("well"));
            if (well.isEmpty() && !row.cell("well").isEmpty()) {
                row.wrong("well", "a well from A1 to C4");
            }
            Optional<LabNumber> number =
                    row.cell("lab_number").isEmpty() ? Optional.empty() : TablesRead.labNumber(row);
            if (number.isPresent()) {
                String text = number.get().text();
                if (!isKnown(labNumbers, number.get())) {
                    row.wrong("lab_number", "a lab number of samples.csv or controls.csv");
                }
                Integer before = linesInTray.putIfAbsent(tray + "\n" + text, row.line());
                if (before != null) {
                    row.wrong(
                            "lab_number",
                            "one well of tray " + tray + " for it; it stands on line " + before + " already");
                }
            }
            String word = row.optional("purpose").orElse("soil");
            Tray.Purpose purpose = word.equals("key") ? Tray.Purpose.KEY : Tray.Purpose.SOIL;
            if (!purpose.word().equals(word)) {
                row.wrong("purpose", "soil or key");
            }
            return well.map(its -> new DayTable.InTray(tray, new Tray.Place(its, number, purpose)));
        });
        Map<String, List<Tray.Place>> places = new LinkedHashMap<>();
        for (DayTable.InTray one : taken.rows()) {
            places.computeIfAbsent(one.tray(), tray -> new ArrayList<>()).add(one.place());
        }
        List<Tray> trays = new ArrayList<>();
        places.forEach((tray, wells) -> {
            wells.sort(Comparator.comparing(Tray.Place::well));
            trays.add(new Tray(tray, wells));
        });
        return trays;
    }

    private Taken<DayTable.Control> controls(Optional<Set<String>> materials, Map<LabNumber, String> controls) {
        Taken<DayTable.Control> taken = tables.table(DayTable.CONTROLS, row -> {
            String material = row.text("material");
            if (!material.isEmpty() && materials.isPresent() && !materials.get().contains(material)) {
                row.wrong("material", "a material of materials.csv");
            }
            return TablesRead.labNumber(row).map(number -> new DayTable.Control(number, material));
        });
        taken.rows().forEach(control -> controls.put(control.labNumber(), control.material()));
        // It is a control soil, whatever of.
        taken.lost()
                .forEach(line -> line.part(0)
                        .filter(TablesRead::mayBeALabNumber)
                        .ifPresent(number -> controls.putIfAbsent(new LabNumber(number), UNKNOWN_MATERIAL)));
        return taken;
    }

    private List<LostLine> lost(
            Taken<Soil> soils, Taken<DayTable.Control> key, Taken<Material> materials, Taken<Standard> standards) {
        List<LostLine> lost = new ArrayList<>();
        // Without samples.csv every soil is without its line, and nothing is known of any.
        soils.lost().stream()
                .filter(line -> line.line() > 0)
                .forEach(line -> lost.add(lost(line, LostLine.Kind.SOIL, line.part(0))));
        key.lost().forEach(line -> lost.add(lost(line, LostLine.Kind.HIDDEN_CONTROL, line.part(0))));
        materials
                .lost()
                .forEach(line -> lost.add(new LostLine(
                        line.file(),
                        line.line(),
                        LostLine.Kind.MATERIAL,
                        line.part(0),
                        method(line, 1),
                        analyte(line))));
        standards
                .lost()
                .forEach(line -> lost.add(new LostLine(
                        line.file(),
                        line.line(),
                        LostLine.Kind.STANDARD,
                        line.part(1),
                        method(line, 0),
                        analyte(line))));
        return lost;
    }

    private static LostLine lost(TablesRead.Lost line, LostLine.Kind kind, Optional<String> name) {
        return new LostLine(line.file(), line.line(), kind, name, Optional.empty(), Optional.empty());
    }

    private Optional<String> method(TablesRead.Lost line, int at) {
        return line.part(at).filter(id -> !methods.versions(id).isEmpty());
    }

    // Materials and standards alike have it in the third place.
    private Optional<String> analyte(TablesRead.Lost line) {
        return line.part(2)
                .filter(symbol -> methods.ids().stream()
                        .flatMap(id -> methods.versions(id).stream())
                        .anyMatch(version -> version.mayBeStated(symbol)));
    }

    private record RunLine(
            String run, String method, String instrument, Optional<String> operator, java.time.OffsetDateTime at) {}

    private List<Run> runs(
            RunFiles runFiles, ReadingsFile.References known, List<Standard> standards, Laboratory laboratory) {
        Map<String, Integer> lines = new HashMap<>();
        Taken<RunLine> taken = tables.table(DayTable.RUNS, row -> {
            String run = row.text("run");
            if (!run.isEmpty() && !DayFiles.namesARun(run)) {
                row.wrong("run", "a name that can be a file name");
            }
            values.versions(row);
            lines.put(run, row.line());
            return Optional.of(new RunLine(
                    run, row.cell("method"), row.text("instrument"), row.optional("operator"), row.time("started_at")));
        });
        Map<String, ReadingsFile> files = new TreeMap<>(runFiles.all());
        Set<String> left = new HashSet<>(files.keySet());
        Set<String> judged = new HashSet<>();
        List<Run> runs = new ArrayList<>();
        for (RunLine one : taken.rows()) {
            String name = DayFiles.READINGS + "/" + one.run() + ".csv";
            ReadingsFile file = files.get(name);
            if (file == null) {
                problems.add(new Problem(
                        DayFiles.RUNS,
                        lines.getOrDefault(one.run(), 0),
                        "run",
                        Problem.quoted(one.run()) + " without a file",
                        name,
                        "The run is left out, the other runs are judged"));
                continue;
            }
            left.remove(name);
            LocalDate startedOn =
                    one.at().atZoneSameInstant(ZoneId.of(laboratory.zone())).toLocalDate();
            Optional<Method> method = methods.find(one.method(), startedOn);
            if (method.isEmpty()) {
                problems.add(new Problem(
                        DayFiles.RUNS,
                        lines.getOrDefault(one.run(), 0),
                        "method",
                        "run " + one.run() + " of " + startedOn + ", but " + methods.lacking(one.method(), startedOn),
                        "a run from the first version of its method on",
                        "The run is left out, the other runs are judged"));
                continue;
            }
            file.checkReferences(known, one.method());
            file.checkUnits(method.get());
            file.readings().ifPresent(readings -> {
                Run run = new Run(one.run(), one.method(), one.instrument(), one.operator(), one.at(), readings);
                runs.add(run);
                judged.add(name);
                new RunUse(name, run, method.get(), problems, notes).tell(file::line, standards);
                new RunRows(name, run, laboratory.policy(), notes, file::line).tell(method.get());
            });
        }
        files.forEach((name, file) -> {
            boolean unknown = taken.keys()
                    .filter(keys -> keys.stream().noneMatch(run -> name.equals(DayFiles.READINGS + "/" + run + ".csv")))
                    .isPresent();
            if (left.contains(name) && unknown) {
                problems.add(new Problem(
                        name,
                        0,
                        "",
                        "readings of a run that is not in runs.csv",
                        "a run of runs.csv with this name",
                        "The file is left out" + DayFiles.REST));
            }
            problems.addAll(file.problems());
            problems.addAll(file.asides());
            file.extras().ifPresent(extra -> tables.extras().put(name, extra));
        });
        readings.addAll(RowsUsed.ofReadings(files, judged));
        return runs;
    }

    private static Set<String> union(Set<String> a, Set<String> b) {
        Set<String> union = new HashSet<>(a);
        union.addAll(b);
        return union;
    }
}
