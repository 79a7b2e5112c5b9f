package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

/**
 * One dated version of a method. The kind decides how readings become determinations; everything a laboratory may want to
 * set is data.
 *
 * <p>A kind of method is a record that implements this and answers for itself whatever the rest of the program must know of it: what is
 * read, by what its runs are judged, which tolerances hold. Whoever judges, shows or reads a method asks these questions and never which kind
 * it is, so that a further kind needs no change there. A question with a default is one that few kinds answer otherwise.
 */
public interface Method {

    /** What every kind of method has. */
    Head head();

    /** The method's name in files, such as {@code ph-water-1-1}. */
    default String id() {
        return head().id();
    }

    /** The analyte with this symbol, or empty when the method does not report it. */
    default Optional<Analyte> analyte(String symbol) {
        return head().analytes().stream()
                .filter(analyte -> analyte.symbol().equals(symbol))
                .findFirst();
    }

    /** Whose advice its results are; empty when they follow from measurements. */
    default Optional<Advice> regionalAdvice() {
        return Optional.empty();
    }

    /** The word for its kind, in files and on the command line: {@code electrode}. */
    String kind();

    /** How its number is made, for people. */
    MethodDescription description();

    /** Whether its results are calculated from other results of the same soil, and nothing is read for it. */
    default boolean isCalculated() {
        return false;
    }

    // ---- what is read

    /** The quantities it uses and the unit of each; empty where the unit is one that readings cannot have. */
    Map<String, Optional<Unit>> unitsRead();

    /** Whether the quantities are emission lines, which an export may name by a slightly different wavelength. */
    default boolean readsEmissionLines() {
        return false;
    }

    /** The signals that go through a calibration to an analyte; none where results come from the quantities another way. */
    default List<Extraction.Line> lines() {
        return List.of();
    }

    /** The quantity that every signal is corrected by. */
    default Optional<String> internalStandard() {
        return Optional.empty();
    }

    /** Signals that results need and that are not among the quantities read. */
    default List<String> lacking(Collection<String> read) {
        return List.of();
    }

    /** The quantity read raw where a meter may give the result itself instead: its calibration is then the meter's own. */
    default Optional<String> rawSignal() {
        return Optional.empty();
    }

    /**
     * What a worked example may give, and the unit of each for people.
     *
     * @return by name, in the order of the calculation
     */
    Map<String, String> exampleNumbers();

    /** The formulas of its results, where these are data; none where the kind has an arithmetic of its own. */
    default List<Computed> results() {
        return List.of();
    }

    /** How soil becomes an extract that is read through a calibration; empty where none is made. */
    default Optional<Extraction> extract() {
        return Optional.empty();
    }

    /**
     * The measurements that a result follows from, by names of the kind's own. Results that follow from the same ones are one measurement, and
     * one that follows from a part of them is judged with the others.
     */
    default Set<String> measurements(String symbol) {
        return Set.of(symbol);
    }

    // ---- standards and check solutions

    /** The unit in which the content of its standards and check solutions is stated. */
    default Optional<Unit> unitOfStandards(String analyte) {
        return analyte(analyte).map(Analyte::unit);
    }

    /** Whether the content of a standard may be stated under this symbol. */
    default boolean mayBeStated(String symbol) {
        return analyte(symbol).isPresent();
    }

    /** The curve its standards make; empty where there is none that can be refitted without one of them. */
    default Optional<StandardCurve> standardCurve() {
        return Optional.empty();
    }

    /**
     * How far a standard may be off its label by the others.
     *
     * @param label what the label says
     * @param lowestAboveZero label of the lowest standard that holds something
     * @return in the unit of the label
     */
    default double standardTolerance(double label, double lowestAboveZero, Analyte analyte) {
        return Double.POSITIVE_INFINITY;
    }

    /**
     * How far a check solution may be off what it holds.
     *
     * @param known what it holds
     * @return in the unit of {@code known}; empty where the scatter within the laboratory decides
     */
    default OptionalDouble checkTolerance(double known, Analyte analyte) {
        return OptionalDouble.empty();
    }

    /** Whether what drifts is a sensitivity, so that all readings go off by one factor. */
    default boolean sensitivityDrifts() {
        return false;
    }

    /** Solutions that tell the carry-over alone; nobody need know what they hold. */
    default Set<String> carryOverSolutions() {
        return Set.of();
    }

    /** The analyte of the same method that this one is calculated from along a straight line; empty when it is measured by itself. */
    default Optional<Follows> follows(String symbol) {
        return Optional.empty();
    }

    // ---- how its runs are judged

    /**
     * The gates that a run must have been judged by before its first soil.
     *
     * <p>Sources. Calibration every day, a check solution that made no part of it, and a blank: US EPA SW-846 method 6010D, July 2018, sections
     * 10.7, 10.8.1, 10.8.4 and 9.7.1 for plasma; the same for flow analysis, electrodes and conductivity cells by common practice, without a
     * blank for the last two, which subtract none. A baseline and the carry-over, because a flow method names a limit for each (common
     * practice). An open control soil in every run (common practice). A formula that needs a blank or a standard has no result without one, so
     * that none is asked for there.
     */
    Set<Gate> requiredGates();

    /** What reads soils side by side, each calibrated by itself; empty where one calibration holds for a run. */
    default Optional<Channel> channel() {
        return Optional.empty();
    }

    /**
     * The largest difference of two portions of one soil.
     *
     * @param mean of the two, in the analyte's unit
     * @return in the same unit
     */
    double duplicateLimit(Analyte analyte, double mean);

    /** Whether a failure shifts its results instead of multiplying them: those of a logarithm, pH. */
    default boolean isLogarithm() {
        return false;
    }

    // ---- at the bench

    /** What is taken from a well for one vessel, as short as the hand needs it: "7 g soil"; empty where nothing is. */
    default String soilTaken() {
        double soilG = head().portion().map(Portion::soilG).orElse(0.0);
        return soilG > 0 ? MethodDescription.Text.number(soilG) + " g soil" : "";
    }

    /** What is poured onto it before anything else, mL; 0 where nothing is. */
    default double pouredMl() {
        return 0;
    }

    /** The steps between the well and the instrument that are not the scoop and the liquid, in their order. */
    default List<BenchStep> benchSteps() {
        return head().bench();
    }

    /** What a portion is weighed or read in. */
    default String vessel() {
        return "vessel";
    }

    /**
     * What every kind of method has.
     *
     * @param id its name in files
     * @param version the date from which this version holds
     * @param title for people: "pH in water, 1:1"
     * @param summary one sentence for the client's report: ratio, extractant, finish
     * @param sources where it comes from, the main one first
     * @param analytes what it reports, in the order of the report
     * @param cautions what can hurt someone, and what to do
     * @param note what a reader of the report must know to use the numbers
     * @param answers the question it answers, one sentence for a person who has never heard of it; may be empty
     * @param portion what it takes from a well; empty when it takes nothing of its own
     * @param liquid what is poured onto the soil, as the bottle says it; empty when nothing is, or the file does not say
     * @param examples worked examples, each a test
     * @param bench steps between the liquid and the instrument, in their order; those the kind of method knows by itself are not among them
     * @param stored for how long stored soil may be read again and compared; empty where no limit is stated
     */
    record Head(
            String id,
            LocalDate version,
            String title,
            String summary,
            List<Source> sources,
            List<Analyte> analytes,
            List<String> cautions,
            String note,
            String answers,
            Optional<Portion> portion,
            String liquid,
            List<Example> examples,
            List<BenchStep> bench,
            Optional<StoredSoil> stored) {
        /** A method that says nothing of its steps at the bench and of stored soil. */
        public Head(
                String id,
                LocalDate version,
                String title,
                String summary,
                List<Source> sources,
                List<Analyte> analytes,
                List<String> cautions,
                String note,
                String answers,
                Optional<Portion> portion,
                String liquid,
                List<Example> examples) {
            this(
                    id,
                    version,
                    title,
                    summary,
                    sources,
                    analytes,
                    cautions,
                    note,
                    answers,
                    portion,
                    liquid,
                    examples,
                    List.of(),
                    Optional.empty());
        }

        /** A method of which nothing more is said. */
        public Head(
                String id,
                LocalDate version,
                String title,
                String summary,
                List<Source> sources,
                List<Analyte> analytes,
                List<String> cautions,
                String note) {
            this(id, version, title, summary, sources, analytes, cautions, note, "", Optional.empty(), "", List.of());
        }

        public Head {
            sources = List.copyOf(sources);
            analytes = List.copyOf(analytes);
            cautions = List.copyOf(cautions);
            examples = List.copyOf(examples);
            bench = List.copyOf(bench);
        }
    }
}
