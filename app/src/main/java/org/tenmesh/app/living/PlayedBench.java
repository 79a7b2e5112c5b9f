package org.tenmesh.app.living;

import java.io.IOException;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.intake.LabNumber;

/**
 * The person at the bench with a tablet: signs in by badge, scans, and does the one thing that the page asks for. Knows nothing but what the
 * bench's pages show.
 */
final class PlayedBench {
    private static final Pattern LINE =
            Pattern.compile("<li><a class=\"button\" href=\"([^\"]*/bench/(T[^\"/]+))\"><b>", Pattern.DOTALL);
    private static final Pattern MAIN =
            Pattern.compile("<button class=\"main\" type=\"submit\" name=\"(what|instrument)\" value=\"([^\"]+)\"");
    private static final Pattern WELL =
            Pattern.compile("type=\"radio\" id=\"well-[A-Z0-9]+\" name=\"soil\" value=\"([^\"]+)\"");
    private static final Pattern PARCEL = Pattern.compile("/regulated/parcels/[A-Z0-9-]+");
    private static final Pattern BOX = Pattern.compile("\\bB-[0-9]{6}\\b");
    private static final Pattern BARS = Pattern.compile("Code 128 of ([^<\"]+)");
    /** Chosen at the first scan of the badge; the badge itself is never shown to a visitor. */
    private static final String PIN = "407193";
    /** Trays that are worked on before a vessel tips over. */
    private static final int GOES_WELL = 1;

    private final PlayedPerson person;
    private final Set<String> seen = new LinkedHashSet<>();
    private final Set<String> left = new HashSet<>();
    private final Set<String> begun = new HashSet<>();
    private String badge = "";
    private String last = "";
    private @Nullable String current;
    private boolean spilt;
    /** By portion, of which soils no vessel was filled because there was too little. */
    private final Map<String, Set<String>> unfilled = new ConcurrentHashMap<>();

    private boolean shelved;

    /** A portion of a tray of an earlier day that went to an instrument. */
    record Handed(String day, String method, List<LabNumber> soils) {}

    PlayedBench(PlayedPerson person) {
        this.person = person;
    }

    /** Gets a badge from whoever is in charge, and signs in with it. */
    void begin(PlayedPerson inCharge) throws IOException, InterruptedException {
        PlayedPerson.Form form = inCharge.open("/people")
                .form("/people/badge", "name", person.name())
                .orElseThrow(() -> new IOException("nobody can give " + person.name() + " a badge"));
        Matcher bars = BARS.matcher(inCharge.sent(form).html());
        if (!bars.find()) {
            throw new IOException("the badge of " + person.name() + " has no bars to scan");
        }
        badge = bars.group(1).strip();
        person.signInByBadge(badge, PIN);
    }

    /** The page of what was scanned, signed in anew where the tablet has locked itself. */
    private PlayedPerson.Shown open(String path) throws IOException, InterruptedException {
        PlayedPerson.Shown shown = person.open(path);
        if (shown.form("/badge").isPresent() || shown.form("/sign-in").isPresent()) {
            person.signInByBadge(badge, PIN);
            shown = person.open(path);
        }
        if (shown.status() >= 400) {
            throw new IOException(
                    person.name() + " was refused " + path + " (" + shown.status() + "): " + shown.says());
        }
        return shown;
    }

    private PlayedPerson.Shown scan(String code) throws IOException, InterruptedException {
        return open("/find?q=" + URLEncoder.encode(code, StandardCharsets.UTF_8));
    }

    /**
     * Does one thing: scans the first tray of the list, or notes the step that its page asks for.
     *
     * @return what of an earlier day went to an instrument with it
     */
    Optional<Handed> turn() throws IOException, InterruptedException {
        String path = current;
        if (path == null) {
            next();
            return Optional.empty();
        }
        // Whatever goes wrong with this tray, the next one is taken.
        current = null;
        PlayedPerson.Shown shown = open(path);
        Optional<PlayedPerson.Form> form =
                shown.form("/bench-acts").filter(one -> one.fields().containsKey("step"));
        if (form.isEmpty()) {
            left.add(path);
            return Optional.empty();
        }
        String step = form.get().fields().getOrDefault("step", "");
        List<LabNumber> soils = soils(shown);
        if (!soils.isEmpty() && !path.startsWith("/days/")) {
            if (unfilled.isEmpty() && step.endsWith(".scoop") && !step.startsWith("again.")) {
                LabNumber soil = soils.get(soils.size() - 1);
                // The vessel stays empty whether the note is kept or not.
                unfilled.put(BenchWork.portion(step), Set.of(soil.text()));
                person.sent(form.get().with("what", "too-little").with("soil", soil.text()));
                current = path;
                return Optional.empty();
            }
            if (!spilt && begun.size() > GOES_WELL && !step.endsWith(".scoop") && !step.endsWith(".weigh-empty")) {
                spilt = true;
                String soil = soils.get(0).text();
                person.sent(form.get().with("what", "spilt").with("soil", soil));
                current = "/bench/soil/" + soil;
                return Optional.empty();
            }
        }
        Optional<PlayedPerson.Form> said = main(shown, form.get());
        if (said.isEmpty() || !noted(said.get())) {
            // Every instrument of the step has its gate shut: the tray waits.
            left.add(path);
            return Optional.empty();
        }
        begun.add(path);
        current = path;
        return path.startsWith("/days/") && step.endsWith(".read")
                ? Optional.of(new Handed(path.split("/", -1)[2], method(step), soils))
                : Optional.empty();
    }

    /** Lab numbers of which no vessel of a portion was filled; may be asked by another thread. */
    Set<String> unfilled(String portion) {
        return unfilled.getOrDefault(portion, Set.of());
    }

    /** Trays that waited for an instrument are looked at again. */
    void lookAgain() {
        left.clear();
    }

    /**
     * Chooses the next tray: one of an earlier day first, else the next after the last one. The first trays stand at the instruments when the day
     * begins, so the first choice is a third of the way down the list, ahead of them.
     */
    private void next() throws IOException, InterruptedException {
        List<String> paths = new ArrayList<>();
        Matcher line = LINE.matcher(open("/bench").html());
        while (line.find()) {
            String path = line.group(1);
            if (left.contains(path)) {
                continue;
            }
            if (path.startsWith("/days/")) {
                // It may bear the name of one of today: then its line is tapped, not its label scanned.
                current = path;
                return;
            }
            seen.add(line.group(2));
            paths.add(path);
        }
        if (!paths.isEmpty()) {
            String after = last.isEmpty() ? paths.get(paths.size() / 3) : last;
            last = paths.stream()
                    .filter(path -> path.compareTo(after) > 0)
                    .findFirst()
                    .orElse(paths.get(0));
            current = scan(last.substring(last.lastIndexOf('/') + 1)).path();
        }
    }

    /** The form with its large button pressed; what goes on by itself is noted when it is over. */
    private static Optional<PlayedPerson.Form> main(PlayedPerson.Shown shown, PlayedPerson.Form form) {
        Matcher main = MAIN.matcher(shown.html());
        if (!main.find()) {
            return Optional.empty();
        }
        return Optional.of(
                main.group(1).equals("instrument")
                        ? form.with("instrument", main.group(2))
                        : form.with("what", "done"));
    }

    /** Whether it was kept; a gate that is shut is a reason to wait. */
    private boolean noted(PlayedPerson.Form form) throws IOException, InterruptedException {
        PlayedPerson.Shown answer = person.sent(form);
        if (answer.form("/bench-acts", "confirmed", "yes").isEmpty()) {
            return true;
        }
        if (answer.says().contains("Gate shut")) {
            return false;
        }
        throw new IOException(person.name() + " was asked and did not expect it: " + answer.says());
    }

    private static List<LabNumber> soils(PlayedPerson.Shown shown) {
        List<LabNumber> soils = new ArrayList<>();
        Matcher well = WELL.matcher(shown.html());
        while (well.find()) {
            if (!well.group(1).equals("all")) {
                soils.add(new LabNumber(well.group(1)));
            }
        }
        return soils;
    }

    /** The method of a step that reads, such as {@code again.loi.om-loi-360.read}. */
    private static String method(String step) {
        String[] parts = step.split("\\.", -1);
        return parts[parts.length - 2];
    }

    // Racks

    /** A rack that came from the dock goes to dry. */
    void rackIn(String rack) throws IOException, InterruptedException {
        PlayedPerson.Form form = rackStep(rack, "rack.dry");
        if (!noted(form.with("what", "begun").with("temperature-c", "38"))) {
            throw new IOException("rack " + rack + " did not begin to dry");
        }
    }

    /** A rack that lay overnight is weighed once more, taken out, sieved and ground. */
    void rackOut(String rack, String mill, Map<Integer, Double> massesG) throws IOException, InterruptedException {
        for (Map.Entry<Integer, Double> one : massesG.entrySet()) {
            number(
                    rack,
                    "weighed",
                    Map.of(
                            "place",
                            one.getKey().toString(),
                            "mass-g",
                            one.getValue().toString()));
        }
        String place = massesG.keySet().iterator().next().toString();
        number(rack, "coarse", Map.of("place", place, "mass-g", "212.4", "coarse-g", "9.3"));
        noted(rackStep(rack, "rack.dry").with("what", "done"));
        noted(rackStep(rack, "rack.grind").with("what", "done").with("instrument", mill));
        person.sent(open("/bench/mill/" + mill)
                .form("/bench-acts")
                .orElseThrow(() -> new IOException("the page of mill " + mill + " has no form"))
                .with("what", "cleaned"));
    }

    private PlayedPerson.Form rackStep(String rack, String step) throws IOException, InterruptedException {
        return scan(rack)
                .form("/bench-acts", "step", step)
                .orElseThrow(() -> new IOException("rack " + rack + " is not to be worked on by " + step + " now"));
    }

    private void number(String rack, String what, Map<String, String> numbers)
            throws IOException, InterruptedException {
        PlayedPerson.Form form = scan(rack).forms().stream()
                .filter(one -> one.action().equals("/bench-acts")
                        && one.fields().keySet().containsAll(numbers.keySet())
                        && one.fields().containsKey("coarse-g") == numbers.containsKey("coarse-g"))
                .findFirst()
                .orElseThrow(() -> new IOException("rack " + rack + " has no form to note what was " + what))
                .with("what", what);
        for (Map.Entry<String, String> one : new LinkedHashMap<>(numbers).entrySet()) {
            form = form.with(one.getKey(), one.getValue());
        }
        person.sent(form);
    }

    // Regulated soil

    /** Enters into the account of regulated soil every portion that must exist and that nobody entered. */
    void enter(String place) throws IOException, InterruptedException {
        Matcher parcel = PARCEL.matcher(open("/regulated").html());
        Set<String> parcels = new LinkedHashSet<>();
        while (parcel.find()) {
            parcels.add(parcel.group());
        }
        for (String one : parcels) {
            Optional<PlayedPerson.Form> form = open(one).form("/regulated/enter");
            if (form.isPresent()) {
                person.sent(form.get().with("kind", "all").with("place", place));
            }
        }
    }

    // The shelf

    /** Puts the soils of a tray of which everything is released into a new box, the box on the shelf, and dumps the tray; once. */
    void shelve(String place) throws IOException, InterruptedException {
        for (String tray : seen) {
            if (shelved) {
                return;
            }
            PlayedPerson.Shown shown = open("/shelf/trays/" + tray);
            boolean free = shown.form("/shelf/dump").isPresent()
                    && !shown.html().contains("Not everything of it is released")
                    && !shown.html().contains("is ordered to be made again");
            if (free) {
                shelve(tray, place);
                shelved = true;
            }
        }
    }

    private void shelve(String tray, String place) throws IOException, InterruptedException {
        String soils = String.join(
                "\n",
                soils(open("/bench/" + tray)).stream().map(LabNumber::text).toList());
        PlayedPerson.Shown made = person.sent(open("/shelf")
                .form("/shelf/make", "what", "box")
                .orElseThrow(() -> new IOException("no box can be made"))
                .with("kind", "ordinary"));
        Matcher code = BOX.matcher(made.path());
        if (!code.find()) {
            throw new IOException("found page " + made.path() + ", expected that of a new box");
        }
        PlayedPerson.Shown filled = person.sent(made.form("/shelf/put")
                .orElseThrow(() -> new IOException("nothing can be put into box " + code.group()))
                .with("soils", soils));
        person.sent(filled.form("/shelf/place-box")
                .orElseThrow(() -> new IOException("box " + code.group() + " cannot be placed"))
                .with("place", place));
        person.sent(open("/shelf/trays/" + tray)
                .form("/shelf/dump")
                .orElseThrow(() -> new IOException("tray " + tray + " cannot be dumped")));
    }
}
