package org.tenmesh.core.formula;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.quantity.Dimension;

/** A formula as a tree. It has no loops, no names but those it was given and no way out: it can only calculate. */
public sealed interface Formula {
    /** A number as written; always a plain number, a coefficient with a unit needs a name. */
    record Number(double value) implements Formula {}

    /** A quantity, a constant or an earlier result, by name. */
    record Name(String name) implements Formula {}

    /** An operation on its arguments. */
    record Apply(Operation operation, List<Formula> arguments) implements Formula {
        public Apply {
            arguments = List.copyOf(arguments);
            if (arguments.size() < operation.fewest() || arguments.size() > operation.most()) {
                throw new NoSenseException(operation.sign() + " takes " + operation.fewest()
                        + (operation.most() > operation.fewest() ? " to " + operation.most() : "")
                        + " arguments, found " + arguments.size());
            }
        }

        private Formula at(int i) {
            return arguments.get(i);
        }
    }

    /** A value read from a table, straight lines between its points; outside it there is no value. */
    record Lookup(Table table, Formula argument) implements Formula {}

    /**
     * A table of a formula.
     *
     * @param name as written in the formula, {@code smp_to_7(buffer_ph)}
     * @param x arguments, rising
     * @param y value at each
     */
    record Table(String name, Dimension xDimension, Dimension yDimension, List<Double> x, List<Double> y) {
        public Table {
            x = List.copyOf(x);
            y = List.copyOf(y);
            if (x.size() < 2 || x.size() != y.size()) {
                throw new NoSenseException(
                        "table " + name + " needs two or more points, found " + x.size() + " and " + y.size());
            }
            for (int i = 1; i < x.size(); i++) {
                if (x.get(i) <= x.get(i - 1)) {
                    throw new NoSenseException(
                            "table " + name + ": " + x.get(i) + " does not lie above " + x.get(i - 1));
                }
            }
        }

        private Calculated at(Calculated argument) {
            double at = argument.value();
            if (!(at >= x.get(0) && at <= x.get(x.size() - 1))) {
                return argument.through(Double.NaN, 0);
            }
            int i = 1;
            while (x.get(i) < at) {
                i++;
            }
            double slope = (y.get(i) - y.get(i - 1)) / (x.get(i) - x.get(i - 1));
            return argument.through(y.get(i - 1) + slope * (at - x.get(i - 1)), slope);
        }
    }

    /** Every name in the formula, in the order of reading. */
    default Set<String> names() {
        Set<String> names = new LinkedHashSet<>();
        collect(names);
        return names;
    }

    private void collect(Set<String> names) {
        if (this instanceof Name name) {
            names.add(name.name());
        } else if (this instanceof Apply apply) {
            apply.arguments().forEach(argument -> argument.collect(names));
        } else if (this instanceof Lookup lookup) {
            lookup.argument().collect(names);
        }
    }

    /**
     * The dimension of the result.
     *
     * @param of dimension of every name
     * @throws NoSenseException where units do not go together or a name is not known
     */
    default Dimension dimension(Map<String, Dimension> of) {
        if (this instanceof Number) {
            return Dimension.NUMBER;
        }
        if (this instanceof Name name) {
            Dimension known = of.get(name.name());
            if (known == null) {
                throw new NoSenseException(
                        "nothing is named " + name.name() + "; known: " + String.join(", ", of.keySet()));
            }
            return known;
        }
        if (this instanceof Lookup lookup) {
            demand(lookup.argument(), of, lookup.table().xDimension());
            return lookup.table().yDimension();
        }
        return dimension((Apply) this, of);
    }

    private static Dimension dimension(Apply apply, Map<String, Dimension> of) {
        switch (apply.operation()) {
            case MULTIPLY:
                return apply.at(0).dimension(of).times(apply.at(1).dimension(of));
            case DIVIDE:
                return apply.at(0).dimension(of).over(apply.at(1).dimension(of));
            case POWER:
                Dimension base = apply.at(0).dimension(of);
                if (base.isNumber()) {
                    demand(apply.at(1), of, Dimension.NUMBER);
                    return base;
                }
                if (apply.at(1) instanceof Number exponent) {
                    return base.power(exponent.value());
                }
                throw new NoSenseException(
                        "in " + apply.text() + " a quantity with a unit needs a written number as exponent");
            case SQRT:
                return apply.at(0).dimension(of).power(0.5);
            case NEGATE, ABS:
                return apply.at(0).dimension(of);
            case ADD, SUBTRACT, MIN, MAX:
                return alike(apply, of, 0);
            case LESS, AT_MOST, MORE, AT_LEAST, EQUAL, UNEQUAL:
                alike(apply, of, 0);
                return Dimension.NUMBER;
            case IF:
                demand(apply.at(0), of, Dimension.NUMBER);
                return alike(apply, of, 1);
            case EXP, LN, LOG10, AND, OR, NOT:
                apply.arguments().forEach(argument -> demand(argument, of, Dimension.NUMBER));
                return Dimension.NUMBER;
            case PERCENT:
                demand(apply.at(0), of, Dimension.NUMBER);
                return Dimension.of("%");
            case NUMBER:
                apply.at(0).dimension(of);
                return Dimension.NUMBER;
        }
        throw new IllegalStateException("no dimension of " + apply.operation());
    }

    private static Dimension alike(Apply apply, Map<String, Dimension> of, int from) {
        Dimension first = apply.at(from).dimension(of);
        for (int i = from + 1; i < apply.arguments().size(); i++) {
            Dimension other = apply.at(i).dimension(of);
            // A written 0 is zero of anything.
            boolean zero = apply.at(i) instanceof Number number && number.value() == 0;
            boolean firstZero = apply.at(from) instanceof Number number && number.value() == 0;
            if (firstZero) {
                first = other;
            } else if (!zero && !first.same(other)) {
                throw new NoSenseException(
                        "in " + apply.text() + ", " + apply.at(from).text() + " is in " + first + " and "
                                + apply.at(i).text() + " in " + other);
            }
        }
        return first;
    }

    private static void demand(Formula part, Map<String, Dimension> of, Dimension expected) {
        Dimension found = part.dimension(of);
        if (!found.same(expected)) {
            throw new NoSenseException(part.text() + " is in " + found + " and must be in " + expected);
        }
    }

    /**
     * The value and how it moves with the inputs.
     *
     * @param of the value of every name
     * @return NaN where the formula has no value: a root of a negative number, a table that ends, a division by zero
     */
    default Calculated value(Function<String, Calculated> of, int inputs) {
        if (this instanceof Number number) {
            return Calculated.constant(number.value(), inputs);
        }
        if (this instanceof Name name) {
            return of.apply(name.name());
        }
        if (this instanceof Lookup lookup) {
            return lookup.table().at(lookup.argument().value(of, inputs));
        }
        return value((Apply) this, of, inputs);
    }

    private static Calculated value(Apply apply, Function<String, Calculated> of, int inputs) {
        Calculated a = apply.at(0).value(of, inputs);
        double x = a.value();
        switch (apply.operation()) {
            case NEGATE:
                return a.through(-x, -1);
            case ABS:
                return a.through(Math.abs(x), Math.signum(x));
            case SQRT:
                return a.through(Math.sqrt(x), x == 0 ? 0 : 0.5 / Math.sqrt(x));
            case EXP:
                return a.through(Math.exp(x), Math.exp(x));
            case LN:
                return a.through(Math.log(x), 1 / x);
            case LOG10:
                return a.through(Math.log10(x), 1 / (x * Math.log(10)));
            case PERCENT:
                return a.through(100 * x, 100);
            case NUMBER:
                return a;
            case NOT:
                return Double.isNaN(x) ? a : a.truth(!a.isTrue());
            case IF:
                // Only the branch that is taken is calculated, so that the other may have no value.
                return Double.isNaN(x)
                        ? a.through(Double.NaN, 0)
                        : apply.at(a.isTrue() ? 1 : 2).value(of, inputs);
            case AND:
                return Double.isNaN(x) || !a.isTrue()
                        ? told(a)
                        : told(apply.at(1).value(of, inputs));
            case OR:
                return Double.isNaN(x) || a.isTrue()
                        ? told(a)
                        : told(apply.at(1).value(of, inputs));
            default:
                break;
        }
        Calculated b = apply.at(1).value(of, inputs);
        double y = b.value();
        switch (apply.operation()) {
            case ADD:
                return a.with(b, x + y, 1, 1);
            case SUBTRACT:
                return a.with(b, x - y, 1, -1);
            case MULTIPLY:
                return a.with(b, x * y, y, x);
            case DIVIDE:
                return y == 0 ? a.with(b, Double.NaN, 0, 0) : a.with(b, x / y, 1 / y, -x / (y * y));
            case POWER:
                return power(a, b);
            case MIN, MAX:
                Calculated best = a;
                for (int i = 1; i < apply.arguments().size(); i++) {
                    Calculated next = apply.at(i).value(of, inputs);
                    boolean takes = apply.operation() == Operation.MIN
                            ? next.value() < best.value()
                            : next.value() > best.value();
                    best = takes || Double.isNaN(next.value()) ? next : best;
                }
                return best;
            case LESS:
                return compared(a, b, x < y);
            case AT_MOST:
                return compared(a, b, x <= y);
            case MORE:
                return compared(a, b, x > y);
            case AT_LEAST:
                return compared(a, b, x >= y);
            case EQUAL:
                return compared(a, b, x == y);
            case UNEQUAL:
                return compared(a, b, x != y);
            default:
                throw new IllegalStateException("no value of " + apply.operation());
        }
    }

    // What is not known is neither true nor false.
    private static Calculated told(Calculated a) {
        return Double.isNaN(a.value()) ? a : a.truth(a.isTrue());
    }

    // A comparison with what has no value has none.
    private static Calculated compared(Calculated a, Calculated b, boolean truth) {
        return Double.isNaN(a.value()) || Double.isNaN(b.value()) ? a.through(Double.NaN, 0) : a.truth(truth);
    }

    private static Calculated power(Calculated a, Calculated b) {
        double x = a.value();
        double y = b.value();
        double result = Math.pow(x, y);
        double slope = y == 0 ? 0 : y * Math.pow(x, y - 1);
        return a.with(b, result, slope, x > 0 ? result * Math.log(x) : 0);
    }

    /** The formula as text, with names. */
    default String text() {
        return text(name -> name);
    }

    /** The formula as text, with what stands for each name: its number, to show how a result was calculated. */
    default String text(Function<String, String> of) {
        if (this instanceof Number number) {
            return java.math.BigDecimal.valueOf(number.value())
                    .stripTrailingZeros()
                    .toPlainString();
        }
        if (this instanceof Name name) {
            return of.apply(name.name());
        }
        if (this instanceof Lookup lookup) {
            return lookup.table().name() + "(" + lookup.argument().text(of) + ")";
        }
        Apply apply = (Apply) this;
        Operation operation = apply.operation();
        if (operation.isFunction()) {
            List<String> arguments = new ArrayList<>();
            apply.arguments().forEach(argument -> arguments.add(argument.text(of)));
            return operation.sign() + "(" + String.join(", ", arguments) + ")";
        }
        if (apply.arguments().size() == 1) {
            return sign(operation) + inner(apply.at(0), operation.binding(), of);
        }
        // Operators of one rank are read from the left; a power from the right.
        boolean fromRight = operation == Operation.POWER;
        return inner(apply.at(0), operation.binding() + (fromRight ? 1 : 0), of) + " " + sign(operation) + " "
                + inner(apply.at(1), operation.binding() + (fromRight ? 0 : 1), of);
    }

    private static String inner(Formula part, int binding, Function<String, String> of) {
        boolean loose = part instanceof Apply apply && apply.operation().binding() < binding;
        return loose ? "(" + part.text(of) + ")" : part.text(of);
    }

    private static String sign(Operation operation) {
        return switch (operation) {
            case MULTIPLY -> "×";
            case SUBTRACT, NEGATE -> "−";
            case AT_MOST -> "≤";
            case AT_LEAST -> "≥";
            case EQUAL -> "=";
            case UNEQUAL -> "≠";
            case AND -> "and";
            case OR -> "or";
            case NOT -> "not ";
            default -> operation.sign();
        };
    }
}
