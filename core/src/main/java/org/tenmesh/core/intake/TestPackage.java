package org.tenmesh.core.intake;

import java.util.List;
import java.util.Optional;

/**
 * A named set of methods that a submission or one of its soils asks for.
 *
 * @param name as on worksheets and in files
 * @param title for people
 * @param asked what it asks for, in the order of the report
 */
public record TestPackage(String name, String title, List<Asked> asked) {
    public TestPackage {
        asked = List.copyOf(asked);
    }

    /**
     * A method asked for.
     *
     * @param method its id
     * @param analytes symbols asked for; empty = everything the method reports
     */
    public record Asked(String method, List<String> analytes) {
        public Asked {
            analytes = List.copyOf(analytes);
        }

        /** Whether this analyte of the method is asked for. */
        public boolean asks(String analyte) {
            return analytes.isEmpty() || analytes.contains(analyte);
        }
    }

    /** What is asked of a method, empty when nothing is. */
    public Optional<Asked> of(String method) {
        return asked.stream().filter(one -> one.method().equals(method)).findFirst();
    }
}
