package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.derived.WorkedSteps;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.reduction.WorkedLine;

/** Every printed line of a worked example gives the number printed behind it, and the last one what is reported. */
class PrintedExamplesTest {
    record Case(Method method, int number, Example example) {
        @Override
        public String toString() {
            return method.id() + " " + number;
        }
    }

    static Stream<Case> cases() {
        List<Case> cases = new ArrayList<>();
        for (Method method : MethodFiles.allShipped()) {
            int number = 0;
            for (Example example : method.head().examples()) {
                cases.add(new Case(method, ++number, example));
            }
        }
        return cases.stream();
    }

    @ParameterizedTest
    @MethodSource("cases")
    void everyPrintedLineGivesItsNumber(Case one) throws Exception {
        WorkedSteps run = WorkedSteps.of(one.method(), one.example());
        assertThat(run.lines()).isNotEmpty();
        for (WorkedLine line : run.lines()) {
            double evaluated = evaluated(one.method(), line.arithmetic());
            if (line.word().isEmpty()) {
                assertThat(evaluated)
                        .as(line.text())
                        .isCloseTo(line.value(), within(Math.max(1e-9, Math.abs(line.value()) * 1e-5)));
            } else {
                assertThat(evaluated).as(line.text()).isEqualTo(1);
            }
        }
        for (String symbol : one.example().expected().keySet()) {
            WorkedLine last = run.lines().stream()
                    .filter(line -> line.name().equals(symbol))
                    .reduce((a, b) -> b)
                    .orElseThrow();
            assertThat(
                            last.word().isEmpty()
                                    ? rounded(
                                            one.method(),
                                            symbol,
                                            last.value(),
                                            Objects.requireNonNull(run.amounts().get(symbol)))
                                    : last.word())
                    .as(last.text())
                    .isEqualTo(run.reported(one.method(), symbol))
                    .isEqualTo(one.example().expected().get(symbol));
        }
    }

    @Test
    void theSlopeIsCarriedToTheTemperatureOfTheSoil() {
        Method method = MethodFiles.shipped("ph-water-1-1");
        assertThat(WorkedSteps.of(method, method.head().examples().get(1)).lines())
                .extracting(WorkedLine::text)
                .containsExactly(
                        "slope at 20 °C = 58.8629 × (20 + 273.15) / (25 + 273.15) = 57.8758",
                        "pH = 7 − (64 − (−1.8)) / 57.8757643 = 5.86308");
    }

    // The printed line is read again as a formula without names; only the method's tables are known to it.
    private static double evaluated(Method method, String arithmetic) throws Exception {
        String plain = arithmetic
                .replace("−", "-")
                .replace("×", "*")
                .replace("≤", "<=")
                .replace("≥", ">=")
                .replace("≠", "!=")
                .replace(" = ", " == ")
                .replace(" and ", " && ")
                .replace(" or ", " || ");
        Map<String, Formula.Table> tables = new HashMap<>();
        if (method instanceof DerivedMethod derived) {
            derived.tables().forEach(table -> tables.put(table.name(), table));
        }
        return FormulaText.parse(plain, tables)
                .value(
                        name -> {
                            throw new AssertionError("the printed line names " + name);
                        },
                        0)
                .value();
    }

    private static String rounded(Method method, String symbol, double value, Amount got) {
        Amount same = got instanceof Amount.Below below
                ? new Amount.Below(below.limit(), value, below.unit())
                : got instanceof Amount.Above above
                        ? new Amount.Above(above.limit(), value, above.unit())
                        : new Amount.Measured(value, got.unit());
        return method.analyte(symbol).orElseThrow().rounding().text(same);
    }
}
