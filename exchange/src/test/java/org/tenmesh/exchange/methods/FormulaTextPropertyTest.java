package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.formula.Calculated;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.quantity.Dimension;

/** Formula text and formula tree are two forms of one thing. */
class FormulaTextPropertyTest {
    private static final Formula.Table TABLE =
            new Formula.Table("need_at", Dimension.NUMBER, Dimension.NUMBER, List.of(0.0, 1.0), List.of(5.0, 7.0));
    private static final Map<String, Formula.Table> TABLES = Map.of(TABLE.name(), TABLE);
    private static final List<String> NAMES = List.of("a", "Ca", "ca", "soil_g", "blank_titre", "e", "E", "PI", "x2");

    private static Formula random(Random random, int depth) {
        int kind = depth == 0 ? random.nextInt(2) : random.nextInt(12);
        if (kind == 0) {
            return new Formula.Number(random.nextInt(4) == 0 ? random.nextInt(100) : random.nextInt(1 << 30) / 1e6);
        }
        if (kind == 1) {
            return new Formula.Name(NAMES.get(random.nextInt(NAMES.size())));
        }
        if (kind == 2) {
            return new Formula.Lookup(TABLE, random(random, depth - 1));
        }
        Operation operation = Operation.values()[random.nextInt(Operation.values().length)];
        int count = operation.fewest() + random.nextInt(operation.most() - operation.fewest() + 1);
        List<Formula> arguments = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            Formula argument = random(random, depth - 1);
            // Two signs in a row are refused in files.
            arguments.add(
                    isSign(operation) && argument instanceof Formula.Apply inner && isSign(inner.operation())
                            ? new Formula.Name("a")
                            : argument);
        }
        return new Formula.Apply(operation, arguments);
    }

    private static boolean isSign(Operation operation) {
        return operation == Operation.NEGATE || operation == Operation.NOT;
    }

    /** The text people read, in the signs of files. */
    private static String inFiles(Formula formula) {
        return formula.text()
                .replace("×", "*")
                .replace("−", "-")
                .replace("≤", "<=")
                .replace("≥", ">=")
                .replace("≠", "!=")
                .replace(" = ", " == ")
                .replace(" and ", " && ")
                .replace(" or ", " || ")
                .replace("not ", "!");
    }

    @Test
    void whatIsPrintedReadsAsTheSameTree() throws FormulaText.NotRead {
        long seed = new Random().nextLong();
        Random random = new Random(seed);
        for (int i = 0; i < 3000; i++) {
            Formula formula = random(random, 1 + random.nextInt(4));
            String text = inFiles(formula);
            if (text.length() <= 1000) {
                assertThat(FormulaText.parse(text, TABLES))
                        .as("seed " + seed + ": " + text)
                        .isEqualTo(formula);
            }
        }
    }

    @Test
    void randomTextIsAFormulaOrRefusedButNeverBreaks() {
        long seed = new Random().nextLong();
        Random random = new Random(seed);
        String[] parts = {
            "a",
            "soil_g",
            "1",
            "2.5",
            "1e3",
            "0x1F",
            ".",
            "(",
            ")",
            "+",
            "-",
            "*",
            "/",
            "^",
            "%",
            "&&",
            "||",
            "!",
            "==",
            "=",
            "<",
            ",",
            "if",
            "min(",
            "need_at(",
            "\"",
            "'",
            "[",
            "]",
            " ",
            "é",
            "\n",
            "@",
            "{",
            "}",
            ";",
            ":",
            "5.5.5"
        };
        for (int i = 0; i < 20_000; i++) {
            StringBuilder text = new StringBuilder();
            for (int j = random.nextInt(12); j >= 0; j--) {
                text.append(parts[random.nextInt(parts.length)]);
            }
            try {
                Formula formula = FormulaText.parse(text.toString(), TABLES);
                assertThat(FormulaText.parse(inFiles(formula), TABLES))
                        .as("seed " + seed + ": " + text)
                        .isEqualTo(formula);
            } catch (FormulaText.NotRead refused) {
                assertThat(refused.found()).as("seed " + seed + ": " + text).isNotBlank();
                assertThat(refused.expected()).isNotBlank();
            } catch (RuntimeException broken) {
                throw new AssertionError("seed " + seed + ": " + text, broken);
            }
        }
    }

    @Test
    void unitsThatDoNotAgreeAreRefusedWhereverTheyStand() throws FormulaText.NotRead {
        List<String> units = List.of("mg/kg", "%", "cmol/kg", "mg/L", "g", "mL", "dS/m", "1", "cm", "[lb_av]/[acr_us]");
        List<String> alike =
                List.of("x + y", "x - y", "x < y", "x >= y", "x == y", "min(x, y)", "max(y, x)", "if(1 < 2, x, y)");
        for (String x : units) {
            for (String y : units) {
                Map<String, Dimension> of = Map.of("x", Dimension.of(x), "y", Dimension.of(y));
                for (String text : alike) {
                    Formula formula = FormulaText.parse(text, Map.of());
                    if (x.equals(y)) {
                        assertThat(formula.dimension(of)).isNotNull();
                    } else {
                        assertThatThrownBy(() -> formula.dimension(of))
                                .as(text + " with " + x + " and " + y)
                                .isInstanceOf(NoSenseException.class);
                    }
                }
            }
        }
    }

    // Order of operations as in ISO 80000-2:2019, 7.5 (from memory); values calculated by hand.
    @ParameterizedTest
    @CsvSource(
            delimiter = '¦',
            quoteCharacter = '~',
            value = {
                "1 + 2 * 3¦7",
                "(1 + 2) * 3¦9",
                "2 ^ 3 ^ 2¦512",
                "-2 ^ 2¦-4",
                "(-2) ^ 2¦4",
                "2 ^ (-1)¦0.5",
                "8 / 4 / 2¦1",
                "8 - 4 - 2¦2",
                "1 < 2 && 3 > 2¦1",
                "!(1 < 2) || 2 == 2¦1",
                "if(1 > 2, 10, 20)¦20",
                "min(3, 1, 2)¦1",
                "max(3, 1, 2)¦3",
                "sqrt(16)¦4",
                "exp(0)¦1",
                "ln(exp(2))¦2",
                "log10(1000)¦3",
                "abs(-3)¦3",
                "percent(0.25)¦25",
                "1e3 + .5¦1000.5",
                "+3¦3",
                "1 - -3¦4",
                "-(-3)¦3",
                "2 * -3 ^ 2¦-18",
                "0.1 + 0.2 != 0.3¦1",
                "!1 == 0¦1"
            })
    void bindsAsOnPaper(String text, double value) throws FormulaText.NotRead {
        assertThat(FormulaText.parse(text, Map.of())
                        .value(name -> Calculated.constant(Double.NaN, 0), 0)
                        .value())
                .isEqualTo(value);
    }

    @Test
    void aDeepFormulaNeitherBreaksNorHangs() {
        String deep = "(".repeat(499) + "1" + ")".repeat(499);
        assertThat(formulaOrRefusal(deep)).isEqualTo("1");
        assertThat(formulaOrRefusal("1+".repeat(499) + "1")).endsWith(" + 1");
        assertThat(formulaOrRefusal("-(".repeat(333) + "1" + ")".repeat(333))).startsWith("−");
        assertThat(formulaOrRefusal("--1")).isEqualTo("a second sign at column 2");
        assertThat(formulaOrRefusal("a * b ^ -c")).isEqualTo("an exponent with a sign at column 9");
        assertThat(formulaOrRefusal("a b +")).isEqualTo("\"b\" with no sign before it at column 3");
        assertThat(formulaOrRefusal("(a, b)")).isEqualTo("\",\" at column 3");
        assertThat(formulaOrRefusal("")).isEqualTo("\"\", which ends too early");
        assertThat(formulaOrRefusal("min()")).isEqualTo("\")\" at column 5");
        assertThat(formulaOrRefusal("a && !!b")).isEqualTo("a second sign at column 7");
        assertThat(formulaOrRefusal("1+".repeat(500) + "1")).isEqualTo("a formula of 1001 characters");
    }

    private static String formulaOrRefusal(String text) {
        try {
            return FormulaText.parse(text, Map.of()).text();
        } catch (FormulaText.NotRead refused) {
            return refused.found();
        }
    }
}
