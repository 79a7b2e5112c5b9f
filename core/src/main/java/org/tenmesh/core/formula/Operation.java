package org.tenmesh.core.formula;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/** What a formula can do: every operator and function there is, and no other. */
public enum Operation {
    ADD("+", 2, 2, 5),
    SUBTRACT("-", 2, 2, 5),
    MULTIPLY("*", 2, 2, 6),
    DIVIDE("/", 2, 2, 6),
    POWER("^", 2, 2, 8),
    NEGATE("-", 1, 1, 7),
    LESS("<", 2, 2, 4),
    AT_MOST("<=", 2, 2, 4),
    MORE(">", 2, 2, 4),
    AT_LEAST(">=", 2, 2, 4),
    EQUAL("==", 2, 2, 3),
    UNEQUAL("!=", 2, 2, 3),
    AND("&&", 2, 2, 2),
    OR("||", 2, 2, 1),
    NOT("!", 1, 1, 7),
    IF("if", 3, 3, 9),
    MIN("min", 2, 9, 9),
    MAX("max", 2, 9, 9),
    ABS("abs", 1, 1, 9),
    SQRT("sqrt", 1, 1, 9),
    EXP("exp", 1, 1, 9),
    LN("ln", 1, 1, 9),
    LOG10("log10", 1, 1, 9),
    /** A share, as a number of per cent. */
    PERCENT("percent", 1, 1, 9),
    /** The plain number a quantity has in the unit it carries: for empirical equations alone. */
    NUMBER("number", 1, 1, 9);

    private static final Map<String, Operation> FUNCTIONS = new HashMap<>();

    static {
        for (Operation operation : values()) {
            if (operation.isFunction()) {
                FUNCTIONS.put(operation.sign, operation);
            }
        }
    }

    private final String sign;
    private final int fewest;
    private final int most;
    private final int binding;

    Operation(String sign, int fewest, int most, int binding) {
        this.sign = sign;
        this.fewest = fewest;
        this.most = most;
        this.binding = binding;
    }

    /** The operator or the function's name, as written. */
    public String sign() {
        return sign;
    }

    /** Fewest arguments. */
    public int fewest() {
        return fewest;
    }

    /** Most arguments. */
    public int most() {
        return most;
    }

    int binding() {
        return binding;
    }

    /** Whether it is written as {@code name(arguments)}. */
    public boolean isFunction() {
        return Character.isLetter(sign.charAt(0));
    }

    /** The function of this name, or empty. */
    public static Optional<Operation> function(String name) {
        return Optional.ofNullable(FUNCTIONS.get(name));
    }
}
