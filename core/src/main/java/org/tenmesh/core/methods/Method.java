package org.tenmesh.core.methods;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;

/**
 * One dated version of a method. The kind decides how readings become determinations; everything a laboratory may want to
 * set is data.
 */
public sealed interface Method
        permits ElectrodeMethod, IgnitionMethod, ExtractionMethod, ConductivityMethod, FormulaMethod, DerivedMethod {

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
     * @param examples worked examples, each a test
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
            List<Example> examples) {
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
            this(id, version, title, summary, sources, analytes, cautions, note, "", Optional.empty(), List.of());
        }

        public Head {
            sources = List.copyOf(sources);
            analytes = List.copyOf(analytes);
            cautions = List.copyOf(cautions);
            examples = List.copyOf(examples);
        }
    }
}
