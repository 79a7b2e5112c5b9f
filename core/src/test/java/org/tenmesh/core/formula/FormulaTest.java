package org.tenmesh.core.formula;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.quantity.Dimension;

class FormulaTest {
    private static final Formula DRY = new Formula.Name("dry");
    private static final Formula ASH = new Formula.Name("ash");
    private static final Formula TARE = new Formula.Name("tare");
    private static final Formula LOSS = apply(
            Operation.PERCENT,
            apply(Operation.DIVIDE, apply(Operation.SUBTRACT, DRY, ASH), apply(Operation.SUBTRACT, DRY, TARE)));

    private static Formula apply(Operation operation, Formula... arguments) {
        return new Formula.Apply(operation, List.of(arguments));
    }

    private static Formula number(double value) {
        return new Formula.Number(value);
    }

    private static double value(Formula formula, Map<String, Double> of) {
        return formula.value(name -> Calculated.constant(of.getOrDefault(name, Double.NaN), 0), 0)
                .value();
    }

    @Test
    void calculatesWithTheNumbersPutIn() {
        assertThat(value(LOSS, Map.of("dry", 3.0, "ash", 2.5, "tare", 1.0))).isEqualTo(25);
        assertThat(LOSS.text()).isEqualTo("percent((dry − ash) / (dry − tare))");
        assertThat(LOSS.text(name -> name.equals("dry") ? "3" : "1")).isEqualTo("percent((3 − 1) / (3 − 1))");
        assertThat(LOSS.names()).containsExactly("dry", "ash", "tare");
    }

    @Test
    void writesOnlyTheBracketsThatAreNeeded() {
        Formula a = new Formula.Name("a");
        Formula b = new Formula.Name("b");
        Formula c = new Formula.Name("c");
        assertThat(apply(Operation.SUBTRACT, a, apply(Operation.SUBTRACT, b, c)).text())
                .isEqualTo("a − (b − c)");
        assertThat(apply(Operation.SUBTRACT, apply(Operation.SUBTRACT, a, b), c).text())
                .isEqualTo("a − b − c");
        assertThat(apply(Operation.POWER, apply(Operation.POWER, a, b), c).text())
                .isEqualTo("(a ^ b) ^ c");
        assertThat(apply(Operation.NEGATE, apply(Operation.ADD, a, b)).text()).isEqualTo("−(a + b)");
        assertThat(apply(Operation.AND, apply(Operation.LESS, a, b), apply(Operation.AT_LEAST, b, c))
                        .text())
                .isEqualTo("a < b and b ≥ c");
    }

    @Test
    void takesOnlyTheBranchThatHolds() {
        Formula rule = apply(
                Operation.IF,
                apply(Operation.AT_LEAST, new Formula.Name("ph"), number(7)),
                number(0),
                apply(Operation.SUBTRACT, number(7), new Formula.Name("buffer_ph")));
        assertThat(value(rule, Map.of("ph", 7.2))).isEqualTo(0);
        assertThat(value(rule, Map.of("ph", 6.0, "buffer_ph", 6.5))).isEqualTo(0.5);
        assertThat(value(rule, Map.of("ph", 6.0))).isNaN();
        assertThat(value(rule, Map.of("buffer_ph", 6.5))).isNaN();
    }

    @Test
    void hasNoValueWhereThereIsNone() {
        assertThat(value(apply(Operation.DIVIDE, number(1), number(0)), Map.of()))
                .isNaN();
        assertThat(value(apply(Operation.SQRT, number(-1)), Map.of())).isNaN();
        Formula.Table table = new Formula.Table(
                "steps", Dimension.NUMBER, Dimension.NUMBER, List.of(1.0, 2.0, 4.0), List.of(10.0, 20.0, 0.0));
        assertThat(value(new Formula.Lookup(table, number(3)), Map.of())).isEqualTo(10);
        assertThat(value(new Formula.Lookup(table, number(4)), Map.of())).isEqualTo(0);
        assertThat(value(new Formula.Lookup(table, number(4.1)), Map.of())).isNaN();
    }

    @Test
    void refusesUnitsThatDoNotGoTogether() {
        Map<String, Dimension> units = Map.of(
                "ca", Dimension.of("mg/kg"),
                "per_charge", Dimension.of("mg/cmol"),
                "moisture", Dimension.of("%"),
                "na", Dimension.of("mmol/L"));
        Formula charge = apply(Operation.DIVIDE, new Formula.Name("ca"), new Formula.Name("per_charge"));
        assertThat(charge.dimension(units)).isEqualTo(Dimension.of("cmol/kg"));
        assertThat(apply(Operation.MULTIPLY, charge, number(2)).dimension(units))
                .isEqualTo(Dimension.of("cmol/kg"));
        assertThatThrownBy(() ->
                        apply(Operation.ADD, new Formula.Name("ca"), charge).dimension(units))
                .isInstanceOf(NoSenseException.class)
                .hasMessageContaining("ca + ca / per_charge");
        assertThatThrownBy(() -> apply(Operation.ADD, new Formula.Name("ca"), new Formula.Name("moisture"))
                        .dimension(units))
                .hasMessageContaining("ca is in mg/kg and moisture in %");
        assertThatThrownBy(() -> apply(Operation.LOG10, new Formula.Name("na")).dimension(units))
                .hasMessageContaining("na is in");
        assertThat(apply(Operation.LOG10, apply(Operation.NUMBER, new Formula.Name("na")))
                        .dimension(units)
                        .isNumber())
                .isTrue();
        assertThatThrownBy(() -> new Formula.Name("k").dimension(units)).hasMessageContaining("nothing is named k");
    }

    @Test
    void slopesAreThoseOfFiniteDifferences() {
        Formula a = new Formula.Name("a");
        Formula b = new Formula.Name("b");
        Formula mixed = apply(
                Operation.ADD,
                apply(Operation.DIVIDE, apply(Operation.SQRT, a), apply(Operation.POWER, b, number(3))),
                apply(
                        Operation.MULTIPLY,
                        apply(Operation.EXP, apply(Operation.NEGATE, a)),
                        apply(Operation.LOG10, apply(Operation.MAX, b, number(1.1)))));
        double x = 2.3;
        double y = 1.7;
        Calculated result =
                mixed.value(name -> Calculated.input(name.equals("a") ? x : y, name.equals("a") ? 0 : 1, 2), 2);
        double h = 1e-6;
        double byA = (value(mixed, Map.of("a", x + h, "b", y)) - value(mixed, Map.of("a", x - h, "b", y))) / (2 * h);
        double byB = (value(mixed, Map.of("a", x, "b", y + h)) - value(mixed, Map.of("a", x, "b", y - h))) / (2 * h);
        assertThat(result.slopes()[0]).isCloseTo(byA, within(1e-8));
        assertThat(result.slopes()[1]).isCloseTo(byB, within(1e-8));
    }

    /** Joint Committee for Guides in Metrology, JCGM 100:2008 (GUM), 5.1.6: relative variances of a product add up. */
    @Test
    void carriesVariancesLikeAProduct() {
        Formula product = apply(Operation.MULTIPLY, new Formula.Name("a"), new Formula.Name("b"));
        Calculated result =
                product.value(name -> Calculated.input(name.equals("a") ? 10 : 4, name.equals("a") ? 0 : 1, 2), 2);
        double relative = Math.sqrt(result.variance(new double[] {0.3, 0.2})) / result.value();
        assertThat(relative).isCloseTo(Math.hypot(0.03, 0.05), within(1e-15));
    }
}
