package org.tenmesh.core.release;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.Askings;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Stated;

/** What of a submission may leave. */
public final class Releasing {
    private Releasing() {}

    /**
     * Every result that a submission's soils ask for as it would leave now: with its text where the verdict is fit, held back with the
     * reason where it is not. One that is fit only because somebody accepted a failed check says which. What is not there yet is held back as "not read yet"; too little soil is an answer and leaves. A soil
     * whose package is known has what that asks for and nothing else; of another every standing result counts as asked for.
     *
     * @param day for the packages
     * @param soils the submission's soils, in the order of the client's sheet
     * @param standing results that stand, of the whole day or of these soils
     * @param judged for the causes
     * @param book what is there leaves with the version that gave it; what is asked for and not there is named by the version of the
     *     day
     */
    public static List<ReleasedResult> draft(
            Day day, List<Soil> soils, List<Result> standing, JudgedDay judged, MethodBook book) {
        MethodsOfDay methods = book.on(day.date());
        Map<LabNumber, List<Result>> byLabNumber = new HashMap<>();
        soils.forEach(soil -> byLabNumber.put(soil.labNumber(), new ArrayList<>()));
        for (Result result : standing) {
            List<Result> own = byLabNumber.get(result.labNumber());
            if (own != null) {
                own.add(result);
            }
        }
        Map<String, Cause> causes = new HashMap<>();
        judged.causes().forEach(cause -> causes.put(cause.id(), cause));
        List<ReleasedResult> draft = new ArrayList<>();
        Askings askings = Askings.of(day, book);
        for (Soil soil : soils) {
            List<Result> own = byLabNumber.getOrDefault(soil.labNumber(), List.of());
            Optional<TestPackage> wanted = askings.of(soil.labNumber());
            if (wanted.isPresent()) {
                asked(day, soil, wanted.get(), own, methods, book, causes, draft);
            } else {
                own.stream().map(result -> released(result, causes, book)).forEach(draft::add);
            }
        }
        return draft;
    }

    private static void asked(
            Day day,
            Soil soil,
            TestPackage wanted,
            List<Result> own,
            MethodsOfDay methods,
            MethodBook book,
            Map<String, Cause> causes,
            List<ReleasedResult> draft) {
        for (TestPackage.Asked asked : wanted.asked()) {
            Method method = methods.find(asked.method()).orElse(null);
            if (method == null) {
                continue;
            }
            for (Analyte analyte : method.head().analytes()) {
                if (asked.asks(analyte.symbol())) {
                    draft.add(own.stream()
                            .filter(result -> result.method().equals(method.id())
                                    && result.analyte().equals(analyte.symbol()))
                            .findFirst()
                            .map(result -> released(result, causes, book))
                            .orElseGet(() -> notThere(day, soil, method, analyte)));
                }
            }
        }
    }

    private static ReleasedResult notThere(Day day, Soil soil, Method method, Analyte analyte) {
        boolean off = !Deriving.isOn(day, method);
        return new ReleasedResult(
                soil.labNumber(),
                method.id(),
                method.head().version().toString(),
                analyte.symbol(),
                ReleasedCase.HELD,
                OptionalDouble.empty(),
                analyte.unit().ucum(),
                "",
                "",
                off ? "advice of this region is not given by this laboratory" : "not read yet");
    }

    private static ReleasedResult released(Result result, Map<String, Cause> causes, MethodBook book) {
        Method method = book.version(result.method(), result.methodVersion());
        Analyte analyte = method.analyte(result.analyte())
                .orElseThrow(() -> new IllegalArgumentException("method " + result.method() + " reports no "
                        + result.analyte() + " (" + result.labNumber() + ")"));
        boolean leaves = result.verdict() == Verdict.FIT && !result.reported().isEmpty();
        Stated stated = Stated.of(result.amount(), analyte.rounding(), result.expandedUncertainty());
        return new ReleasedResult(
                result.labNumber(),
                result.method(),
                method.head().version().toString(),
                result.analyte(),
                leaves ? ReleasedCase.of(result.amount(), stated) : ReleasedCase.HELD,
                leaves && result.amount() instanceof Amount.Measured measured
                        ? OptionalDouble.of(measured.value())
                        : OptionalDouble.empty(),
                analyte.unit().ucum(),
                leaves ? stated.text() : "",
                leaves ? stated.uncertainty() : "",
                leaves ? "" : reason(result, causes),
                leaves && result.isAccepted() ? despite(result) : "");
    }

    /** The checks that failed, in words. The key says which, also of a cause of another day. */
    private static String despite(Result result) {
        return result.causes().stream()
                .map(key -> CauseKey.of(key).map(its -> its.kind().phrase()).orElse(key))
                .distinct()
                .collect(Collectors.joining("; "));
    }

    private static String reason(Result result, Map<String, Cause> causes) {
        if (result.causes().isEmpty()) {
            return result.amount() instanceof Amount.Missing missing ? missing.reason() : HeldWords.NOT_FIT;
        }
        String first = result.causes().get(0);
        if (Grounds.instrumentOf(first).isPresent()) {
            return HeldWords.INSTRUMENT_OUT_OF_USE;
        }
        if (Thing.ofKey(first).isPresent()) {
            return HeldWords.THING_IN_DOUBT;
        }
        if (Hold.isKey(first)) {
            return HeldWords.LOOKED_BACK;
        }
        // a cause of another day is known by its key alone
        Optional<CauseKind> kind = Optional.ofNullable(causes.get(first))
                .map(Cause::kind)
                .or(() -> CauseKey.of(first).map(CauseKey::kind));
        return kind.map(HeldWords::of).orElse(HeldWords.NOT_FIT)
                + (result.verdict() == Verdict.REDO ? "; it will be repeated" : "; under review");
    }
}
