package org.tenmesh.proof.power;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

/** The study as a page with pictures. */
final class Page {
    private static final double[] RATES = {0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01};

    private final StringBuilder page = new StringBuilder(1 << 16);
    private final Measured measured;
    private final Map<String, String> pictures;

    /** @param pictures that the page's pictures are put into, by file name */
    Page(Measured measured, Map<String, String> pictures) {
        this.measured = measured;
        this.pictures = pictures;
    }

    String text() {
        opening();
        definitions();
        part(
                Rows.EXCHANGES,
                "Nothing is wrong with the readings; each stands under another soil's number. What shows it is that a soil's results by several "
                        + "methods, and those of its neighbours from one field, agree with each other. Without key wells that is all there is; a key "
                        + "well is an empty well whose place shows that a tray was turned.");
        pairs();
        limits();
        part(
                Rows.PORTIONS,
                "Every element of one extract is wrong by one factor. A portion 40 % too large is told by it, one 10 % too large drowns in what soils of one field "
                        + "differ by. A second, diluted reading is held against the first one where both are in range.");
        part(
                Rows.INSTRUMENTS,
                "Here whole runs, probes or balances are a little off, by less than any control soil can see; many ordinary soils together see it. "
                        + "Days of probes and balances hold "
                        + "1,870 soils, on which each probe of the first pH head and each balance of the first furnace reads 240 soils and control "
                        + "soils and about six duplicates. What drifts is touched by the truth in its later half, where more than half of it "
                        + "has come.");
        part(
                Rows.CONTROLS,
                "The days come without history: a shift of control soils is planted within one day and judged by that day alone, and what creeps over "
                        + "weeks is not measured here. Carry-over is counted on soils that it changes by more than 20 %; held says which share of them did not leave.");
        part(
                Rows.OTHERS,
                "Rules of calibration, blank, control soil and range; each at the simulator's usual size, which is plain.");
        part(
                Rows.TWO,
                "Each of the two is one that is found nearly always when it is alone: turned and exchanged trays, shifted runs, a portion 40 % too small, a dilution "
                        + "five times off, a probe 0.1 or a balance 5 mg off, a standard 10 % wrong, a drift of 10 %, 1 % of water. A line "
                        + "counts each of the two; the last column counts days.");
        cleanDays();
        part(
                Rows.GROUNDS,
                "The same exchanges with fewer repeats where the invented clients send other soils, and where soils of clients and fields are "
                        + "more alike (0.8/0.16/0.04: shares of the variance between clients, fields of a client, soils of a field) or less (0.5/0.3/0.2) than "
                        + "usual (0.7/0.22/0.08).");
        real();
        closing();
        return page.toString();
    }

    private void say(String text) {
        page.append(text).append("\n\n");
    }

    private void opening() {
        Policy policy = Policy.defaults();
        say("# What the judge finds, and what it misses");
        say(
                "Faults are planted into days of an invented laboratory, whose instruments, soils and clients are models "
                        + "([simulator](../simulator.md)); each day is judged as it comes, with nobody's help, and what the judge says is held against what was planted. "
                        + "So the figures say what this judge does in that laboratory. A real one differs; its own soils decide.");
        say("| | |\n|---|---|\n"
                + "| program | " + measured.program() + ", " + measured.date() + " |\n"
                + "| policy | " + policy.version() + ", as shipped: one control soil in "
                + Math.round(1 / policy.number(Setting.CONTROL_FALSE_ALARM))
                + " fails for nothing; weighed from likelihood ratios of 10^"
                + policy.number(Setting.TRAY_EVIDENCE)
                + " (trays; shifted runs 10^" + policy.number(Setting.SHIFT_MARGIN)
                + " and charges not dry 10^1 more), 10^"
                + policy.number(Setting.NEIGHBOUR_EVIDENCE) + " (neighbours), 10^"
                + policy.number(Setting.SOIL_EVIDENCE)
                + " (single soils), told from odds of " + policy.number(Setting.CARD_ODDS)
                + " : 1 that it happened; made again from 10^" + policy.number(Setting.REDO_MARGIN) + " more |\n"
                + "| days | "
                + String.format(Locale.ROOT, "%,d", measured.study().soils())
                + " soils and about one hidden control in fifty, three methods: pH, organic matter, plasma with twelve elements; seeds from "
                + measured.study().seed() + " on |\n"
                + "| repeats | " + measured.study().repeats()
                + " of each row; half as many of real soils, a quarter for points of curves and other ground |\n"
                + (measured.only().isEmpty() ? "" : "| rows | those that were asked for; the whole study has more |\n")
                + "| again | `./tenmesh power --repeats " + measured.study().repeats() + " --soils "
                + measured.study().soils()
                + " --seed "
                + measured.study().seed()
                + (measured.only().isEmpty()
                        ? ""
                        : " --only '" + measured.only().replace("|", "\\|") + "'")
                + "` |\n"
                + "| all numbers | [power.csv](power.csv) |");
        say(
                "Every mistake in every other method: [every-method.md](every-method.md). What the judge says where nothing went wrong: [clean-days.md](clean-days.md). Each field of a day "
                        + "slightly wrong: [mistakes.md](mistakes.md). What the tests notice of changes in the code: [mutation.md](mutation.md). What is missed, and why: [limits.md](limits.md).");
    }

    private void definitions() {
        say("## How to read it");
        say("Every figure is a percentage of planted faults, with the 95 % interval of Wilson (1927) in brackets.");
        say(
                "- **found**: one cause or more touches at least a tenth of the determinations that the fault changed, or, where it changed a standard or a control soil, "
                        + "stands where that was.\n"
                        + "- **named**: a cause of the right kind stands at the right place: it touches four in five of the soils and no more than a quarter besides; for what "
                        + "creeps along a run or lies in its standards: in the right run, on an element that it changed.\n"
                        + "- **named or inseparable**: named, or a cause of another kind stands there and says itself that the planted kind is within 10:1.\n"
                        + "- **extent**: it touches exactly the soils that the fault touched; of what creeps, all of them.\n"
                        + "- **at 1 in 1,000**: the planted exchange's odds exceed those that one in a thousand trays (or pairs of neighbours) of clean days exceed: power at a fixed rate of false "
                        + "alarms, whatever the policy says.\n"
                        + "- **plain regression at 1 in 1,000**: what a robust linear regression of each analyte on the other methods' results finds on the same days at the same rate, "
                        + "with nothing known of clients, fields and neighbours.\n"
                        + "- **held**: share of the changed determinations that did not leave as fit, for whatever cause; what is not named may still be held. Empty where only control soils were changed.\n"
                        + "- **asked**: the rate asked for, where there is one.");
    }

    private void part(String part, String words) {
        List<Study.Counted> here = measured.rows().stream()
                .filter(counted -> counted.row().part().equals(part))
                .toList();
        if (here.isEmpty()) {
            return;
        }
        say("## " + part);
        if (!words.isEmpty()) {
            say(words);
        }
        table(here.stream().filter(counted -> counted.row().curve().isEmpty()).toList());
        Map<String, List<Study.Counted>> curves = new LinkedHashMap<>();
        here.stream()
                .filter(counted -> !counted.row().curve().isEmpty())
                .forEach(counted -> curves.computeIfAbsent(counted.row().curve(), name -> new ArrayList<>())
                        .add(counted));
        curves.forEach(this::curve);
    }

    private void table(List<Study.Counted> of) {
        if (of.isEmpty()) {
            return;
        }
        boolean rates = of.stream().anyMatch(counted -> counted.atRate().isPresent());
        boolean regression =
                of.stream().anyMatch(counted -> counted.regressionAtRate().isPresent());
        boolean further = of.stream().anyMatch(counted -> counted.further().isPresent());
        boolean two = of.stream().anyMatch(counted -> counted.row().part().equals(Rows.TWO));
        page.append("| planted | n | found | named | named or inseparable | extent |")
                .append(rates ? " at 1 in 1,000 |" : "")
                .append(regression ? " plain regression at 1 in 1,000 |" : "")
                .append(further ? " besides |" : "")
                .append(two ? " days with both named |" : "")
                .append(" held | where not named, said |\n|---|---|---|---|---|---|")
                .append(rates ? "---|" : "")
                .append(regression ? "---|" : "")
                .append(further ? "---|" : "")
                .append(two ? "---|" : "")
                .append("---|---|\n");
        for (Study.Counted counted : of) {
            page.append("| ")
                    .append(counted.row().name())
                    .append(" | ")
                    .append(counted.outcomes().size());
            for (String measure : List.of("found", "named", "told", "extent")) {
                page.append(" | ").append(Figures.cell(counted, measure));
            }
            if (rates) {
                page.append(" | ").append(Figures.cell(counted, "atRate"));
            }
            if (regression) {
                page.append(" | ").append(Figures.cell(counted, "byRegression"));
            }
            if (further) {
                page.append(" | ")
                        .append(
                                counted.further().isPresent()
                                        ? counted.row().further().words() + ": "
                                        : "")
                        .append(Figures.cell(counted, "further"));
            }
            if (two) {
                page.append(" | ").append(Figures.cell(counted.allNamed()));
            }
            page.append(" | ")
                    .append(
                            Double.isNaN(counted.held())
                                    ? ""
                                    : String.format(Locale.ROOT, "%.1f", 100 * counted.held()))
                    .append(" | ")
                    .append(Figures.said(counted))
                    .append(" |\n");
        }
        page.append('\n');
    }

    private void curve(String name, List<Study.Counted> points) {
        double[] at = points.stream().mapToDouble(one -> one.row().size()).toArray();
        List<Curve.Line> lines = new ArrayList<>();
        lines.add(line("named", 0, at, points.stream().map(Study.Counted::named).toList()));
        lines.add(line("found", 1, at, points.stream().map(Study.Counted::found).toList()));
        if (points.stream().allMatch(one -> one.further().isPresent())) {
            boolean interval = points.get(0).row().further() == Row.Further.INTERVAL;
            lines.add(line(
                    interval ? "interval holds it" : "named at nine tenths",
                    2,
                    at,
                    points.stream().map(one -> one.further().orElseThrow()).toList()));
        } else if (points.stream()
                .anyMatch(one -> one.told().count() > one.named().count())) {
            lines.add(line(
                    "or inseparable",
                    2,
                    at,
                    points.stream().map(Study.Counted::told).toList()));
        }
        int comma = name.lastIndexOf(", ");
        if (points.size() > 1) {
            picture(
                    name.substring(0, comma),
                    new Curve(name.substring(0, comma), name.substring(comma + 2), false, lines));
        } else {
            say(name.substring(0, comma) + ":");
        }
        page.append("| ").append(name.substring(comma + 2));
        points.forEach(one -> page.append(" | ").append(Row.plain(one.row().size())));
        page.append(" |\n|---").append("|---".repeat(points.size())).append("|\n");
        for (String measure : List.of("found", "named", "told", "further")) {
            if (points.stream().allMatch(one -> one.measure(measure).of() > 0)) {
                page.append("| ")
                        .append(
                                measure.equals("told")
                                        ? "named or inseparable"
                                        : measure.equals("further")
                                                ? points.get(0).row().further().words()
                                                : measure);
                points.forEach(one -> page.append(" | ").append(Figures.cell(one.measure(measure))));
                page.append(" |\n");
            }
        }
        page.append('\n');
    }

    private Curve.Line line(String words, int style, double[] at, List<Rate> rates) {
        boolean bars = style == 0;
        return new Curve.Line(
                words,
                style,
                at,
                rates.stream().mapToDouble(Rate::share).toArray(),
                bars ? rates.stream().mapToDouble(Rate::low).toArray() : new double[0],
                bars ? rates.stream().mapToDouble(Rate::high).toArray() : new double[0]);
    }

    private void picture(String name, Curve curve) {
        String file =
                name.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-").replaceAll("^-|-$", "") + ".svg";
        pictures.put(file, curve.svg());
        say("![" + name + "](" + file + ")");
    }

    /** Neighbours at every rate of false alarms. */
    private void pairs() {
        Map<String, Map<String, Study.Counted>> byMethod = new TreeMap<>();
        measured.rows().stream()
                .filter(counted -> counted.row().part().equals(Rows.EXCHANGES))
                .filter(counted -> counted.row().name().contains("neighbours"))
                .filter(counted ->
                        !counted.outcomes().isEmpty() && counted.atRate().isPresent())
                .forEach(counted -> {
                    String key =
                            Study.key(counted.row(), counted.outcomes().get(0)).orElseThrow();
                    byMethod.computeIfAbsent(key, any -> new TreeMap<>())
                            .put(counted.row().name().contains("two fields") ? "two fields" : "one field", counted);
                });
        if (byMethod.isEmpty()) {
            return;
        }
        say("### Exchanged neighbours at a fixed rate of false alarms");
        say(
                "False alarms are counted a pair of neighbours: a day of a thousand soils has about a thousand pairs for each method. The figure in the table above is the one at 1 in 1,000. "
                        + "Dotted: what nobody can do better for one field, see below.");
        byMethod.forEach((key, kinds) -> {
            String method = key.substring(key.indexOf(", ") + 2);
            List<Curve.Line> lines = new ArrayList<>();
            Optional<CleanDays> same = kinds.values().stream()
                    .findFirst()
                    .flatMap(one -> Optional.ofNullable(measured.cleanWhere()
                            .get(Study.Where.of(one.row(), measured.study().soils()))));
            if (same.isEmpty()) {
                return;
            }
            page.append("| ").append(Rows.plain(method)).append(", one false alarm in");
            for (double rate : RATES) {
                page.append(" | ").append(String.format(Locale.ROOT, "%,d", Math.round(1 / rate)));
            }
            page.append(" |\n|---").append("|---".repeat(RATES.length)).append("|\n");
            kinds.forEach((fields, counted) -> {
                List<Rate> rates = Arrays.stream(RATES)
                        .mapToObj(rate -> Study.exceeding(
                                counted.outcomes(),
                                Outcome::log10Odds,
                                same.get().threshold(key, rate)))
                        .toList();
                lines.add(line(fields, fields.startsWith("one") ? 0 : 1, RATES, rates));
                page.append("| neighbours of ").append(fields);
                rates.forEach(rate -> page.append(" | ").append(Figures.cell(rate)));
                page.append(" |\n");
            });
            Optional.ofNullable(measured.limit().get(method)).ifPresent(known -> {
                double[] best = Arrays.stream(RATES)
                        .map(rate -> known.neighbours(true, rate))
                        .toArray();
                lines.add(new Curve.Line("limit, one field", 2, RATES, best, new double[0], new double[0]));
            });
            page.append('\n');
            picture(
                    Rows.plain(method) + ", neighbours exchanged",
                    new Curve(
                            Rows.plain(method) + ", neighbours exchanged: found at a rate of false alarms",
                            "false alarms among pairs",
                            true,
                            lines));
        });
    }

    private void limits() {
        if (measured.limit().isEmpty()) {
            return;
        }
        say("### Limit with everything known");
        say(
                "Nobody can find more than the likelihood ratio of the true model finds (Neyman and Pearson 1933), and only who made the soils knows that model. "
                        + "Here it is known: the correlation of all results and the shares of client, field and soil that the invented soils are drawn with, each client's and field's soils around the "
                        + "tray, and the noise of the instruments. Power is calculated by drawing soils from it. Trays hold twelve clients' soils, "
                        + "no control and no key well; beside it stand the planted trays that are so.");
        page.append(
                "| at 1 false alarm in 1,000 | limit with everything known, % | the judge's odds, % | n |\n|---|---|---|---|\n");
        for (String method : DayTable.METHODS) {
            Limit.Known known = measured.limit().get(method);
            if (known == null) {
                continue;
            }
            limit(method, "tray turned, no key wells", known.turned(Study.ONE_IN_A_THOUSAND), true);
            limit(
                    method,
                    "neighbours of two fields exchanged",
                    known.neighbours(false, Study.ONE_IN_A_THOUSAND),
                    false);
            limit(method, "neighbours of one field exchanged", known.neighbours(true, Study.ONE_IN_A_THOUSAND), false);
        }
        page.append('\n');
        say(
                "Where a shift begins cannot be seen better than this either; here the hidden controls of the run, which help, are left out.");
        page.append(
                "| run shifted by one, start placed within one soil | limit with everything known, % | the judge, % | n |\n|---|---|---|---|\n");
        for (String method : DayTable.METHODS) {
            Optional.ofNullable(measured.limit().get(method))
                    .ifPresent(known -> page.append(beside(
                            Rows.plain(method),
                            known.start(),
                            row(Rows.plain(method) + ", run shifted by one").flatMap(Study.Counted::further))));
        }
        page.append('\n');
    }

    private Optional<Study.Counted> row(String name) {
        return measured.rows().stream()
                .filter(counted -> counted.row().part().equals(Rows.EXCHANGES)
                        && counted.row().name().equals(name))
                .findFirst();
    }

    private void limit(String method, String what, double known, boolean plain) {
        String name = Rows.plain(method) + ", " + what;
        page.append(
                beside(name, known, row(name).flatMap(counted -> plain ? counted.plainAtRate() : counted.atRate())));
    }

    private static String beside(String name, double known, Optional<Rate> ours) {
        return String.format(
                Locale.ROOT,
                "| %s | %.1f | %s | %s |%n",
                name,
                100 * known,
                ours.map(Figures::cell).orElse(""),
                ours.map(rate -> Integer.toString(rate.of())).orElse(""));
    }

    private void cleanDays() {
        if (measured.clean().isEmpty()) {
            return;
        }
        say("## Days on which nothing went wrong");
        say(
                "What is said of them is false, every word. A cause that asks to make soils again costs work; a held determination costs a look.");
        page.append(
                "| days | n | with a false redo, % of days | redo causes a day | not fit, % of determinations | probes and balances distinguished |\n"
                        + "|---|---|---|---|---|---|\n");
        measured.clean()
                .forEach((where, days) -> page.append(String.format(
                        Locale.ROOT,
                        "| %s | %d | %s | %.3f | %.4f (%.4f to %.4f) | %d of %d |%n",
                        where,
                        days.days(),
                        Figures.cell(new Rate(days.redoDays(), days.days())),
                        days.redoCauses() / (double) days.days(),
                        100 * new Rate(days.unfit(), days.determinations()).share(),
                        100 * new Rate(days.unfit(), days.determinations()).low(),
                        100 * new Rate(days.unfit(), days.determinations()).high(),
                        days.toldChannels(),
                        days.channels())));
        page.append('\n');
        measured.clean().forEach((where, days) -> {
            if (days.causes().isEmpty()) {
                return;
            }
            say("**" + where + "**, " + days.days() + " days:");
            page.append("| said | days with it, % | in all, a day |\n|---|---|---|\n");
            days.causes()
                    .forEach((kind, sum) -> page.append(String.format(
                            Locale.ROOT,
                            "| %s | %s | %.3f |%n",
                            kind.substring(0, kind.indexOf(' ')) + ": "
                                    + Study.plain(kind.substring(kind.indexOf(' ') + 1)),
                            Figures.cell(new Rate(sum[0], days.days())),
                            sum[1] / (double) days.days())));
            page.append('\n');
        });
        say("**Trays and pairs of the first two lines that would be called at the policy's odds:**");
        page.append(
                "| | clean ones | odds exceeded by 1 in 1,000, log10 | above the policy's odds, % |\n|---|---|---|---|\n");
        measured.clean().entrySet().stream()
                .limit(2)
                .forEach(entry -> entry.getValue().odds().forEach((key, odds) -> {
                    double policy = key.startsWith(CleanDays.NEIGHBOURS)
                            ? Policy.defaults().number(Setting.NEIGHBOUR_EVIDENCE)
                            : Policy.defaults().number(Setting.TRAY_EVIDENCE);
                    Rate above = new Rate(
                            (int) Arrays.stream(odds)
                                    .filter(one -> one >= policy)
                                    .count(),
                            odds.length);
                    page.append(String.format(
                            Locale.ROOT,
                            "| %s: %s | %,d | %.2f | %.4f (%.4f to %.4f) |%n",
                            entry.getKey(),
                            key,
                            odds.length,
                            entry.getValue().threshold(key, Study.ONE_IN_A_THOUSAND),
                            100 * above.share(),
                            100 * above.low(),
                            100 * above.high()));
                }));
        page.append('\n');
    }

    private void real() {
        part(
                Rows.REAL,
                "Contents are real, instruments are not: soils of open tables go through the invented instruments. Each repeat has other noise, another layout, "
                        + "another order of the boxes and another place of the fault; the soils are the same. Clients are what the table tells of place or date, in boxes of sixty at the most; fields are not known, so "
                        + "that neighbours are as likely of one field as of two. What a table does not give is drawn apart from the rest, and helps less than a real content would.");
        if (!measured.tables().isEmpty()) {
            page.append("| table | soils | source | licence | taken |\n|---|---|---|---|---|\n");
            measured.tables()
                    .forEach(table -> page.append("| ")
                            .append(table.what())
                            .append(" (")
                            .append(table.day())
                            .append(") | ")
                            .append(table.soils())
                            .append(" | ")
                            .append(table.source())
                            .append(" | ")
                            .append(table.licence())
                            .append(" | ")
                            .append(table.taken())
                            .append(" |\n"));
            page.append('\n');
            say("Only figures derived from these tables are shown here; no row of them is.");
        }
    }

    private void closing() {
        int refused = measured.rows().stream().mapToInt(Study.Counted::refused).sum();
        say("## What these figures cannot say");
        say(
                "The invented soils are Gaussian on a logarithmic scale and agree with each other in one way over a whole day; real ones do not quite. Faults are planted one way, real ones have many. "
                        + "Each row plants one fault (two where said) into a day on which nothing else is wrong. "
                        + (refused == 0
                                ? ""
                                : "In all, " + refused
                                        + " days held no place for the fault asked for (as no soil read again diluted) and another day was taken."));
    }
}
