package org.tenmesh.exchange;

import com.ezylang.evalex.EvaluationException;
import com.ezylang.evalex.Expression;
import com.ezylang.evalex.config.ExpressionConfiguration;
import com.ezylang.evalex.config.MapBasedFunctionDictionary;
import com.ezylang.evalex.data.EvaluationValue;
import com.ezylang.evalex.functions.AbstractFunction;
import com.ezylang.evalex.functions.FunctionIfc;
import com.ezylang.evalex.functions.FunctionParameter;
import com.ezylang.evalex.operators.OperatorIfc;
import com.ezylang.evalex.parser.ASTNode;
import com.ezylang.evalex.parser.ParseException;
import com.ezylang.evalex.parser.Token;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;

/** Formulas as text. The library only reads them into a tree; whatever of its language we do not use is refused. */
final class FormulaText {
    private static final Map<String, Operation> INFIX = Map.ofEntries(
            Map.entry("+", Operation.ADD),
            Map.entry("-", Operation.SUBTRACT),
            Map.entry("*", Operation.MULTIPLY),
            Map.entry("/", Operation.DIVIDE),
            Map.entry("^", Operation.POWER),
            Map.entry("<", Operation.LESS),
            Map.entry("<=", Operation.AT_MOST),
            Map.entry(">", Operation.MORE),
            Map.entry(">=", Operation.AT_LEAST),
            Map.entry("==", Operation.EQUAL),
            Map.entry("!=", Operation.UNEQUAL),
            Map.entry("&&", Operation.AND),
            Map.entry("||", Operation.OR));

    private static final ExpressionConfiguration PLAIN = configuration(Map.of());

    private FormulaText() {}

    /** A name of a function; it is never called. */
    @FunctionParameter(name = "argument", isVarArg = true)
    private static final class Named extends AbstractFunction {
        @Override
        public EvaluationValue evaluate(Expression expression, Token token, EvaluationValue... arguments)
                throws EvaluationException {
            throw new EvaluationException(token, "a formula is reckoned elsewhere");
        }
    }

    private static ExpressionConfiguration configuration(Map<String, Formula.Table> tables) {
        Map<String, FunctionIfc> functions = new HashMap<>();
        for (Operation operation : Operation.values()) {
            if (operation.isFunction()) {
                functions.put(operation.sign(), new Named());
            }
        }
        tables.keySet().forEach(name -> functions.put(name, new Named()));
        return ExpressionConfiguration.builder()
                .functionDictionary(dictionary(functions))
                .powerOfPrecedence(OperatorIfc.OPERATOR_PRECEDENCE_POWER_HIGHER)
                .implicitMultiplicationAllowed(false)
                .arraysAllowed(false)
                .structuresAllowed(false)
                .build();
    }

    private static MapBasedFunctionDictionary dictionary(Map<String, FunctionIfc> functions) {
        MapBasedFunctionDictionary dictionary = new MapBasedFunctionDictionary();
        functions.forEach(dictionary::addFunction);
        return dictionary;
    }

    /**
     * Reads a formula.
     *
     * @param tables by name
     * @throws NoSenseException saying at which column what was found and what is known
     */
    static Formula parse(String text, Map<String, Formula.Table> tables) {
        try {
            ExpressionConfiguration configuration = tables.isEmpty() ? PLAIN : configuration(tables);
            return formula(new Expression(text, configuration).getAbstractSyntaxTree(), tables);
        } catch (ParseException broken) {
            throw new NoSenseException(
                    "column " + broken.getStartPosition() + ": " + plain(String.valueOf(broken.getMessage())));
        }
    }

    private static String plain(String message) {
        return message.isEmpty() ? "no formula" : Character.toLowerCase(message.charAt(0)) + message.substring(1);
    }

    private static Formula formula(ASTNode node, Map<String, Formula.Table> tables) {
        Token token = node.getToken();
        String value = token.getValue();
        List<Formula> arguments = new ArrayList<>();
        for (ASTNode argument : node.getParameters()) {
            arguments.add(formula(argument, tables));
        }
        return switch (token.getType()) {
            case NUMBER_LITERAL -> number(token);
            case VARIABLE_OR_CONSTANT -> new Formula.Name(value);
            case INFIX_OPERATOR -> apply(token, Optional.ofNullable(INFIX.get(value)), arguments);
            case PREFIX_OPERATOR ->
                switch (value) {
                    case "-" -> apply(token, Optional.of(Operation.NEGATE), arguments);
                    case "!" -> apply(token, Optional.of(Operation.NOT), arguments);
                    case "+" -> arguments.get(0);
                    default -> throw unknown(token);
                };
            case FUNCTION -> {
                Formula.Table table = tables.get(value);
                if (table == null) {
                    yield apply(token, Operation.function(value), arguments);
                }
                if (arguments.size() != 1) {
                    throw new NoSenseException("column " + token.getStartPosition() + ": table " + value
                            + " takes 1 argument, found " + arguments.size());
                }
                yield new Formula.Lookup(table, arguments.get(0));
            }
            default -> throw unknown(token);
        };
    }

    private static Formula number(Token token) {
        try {
            return new Formula.Number(Double.parseDouble(token.getValue()));
        } catch (NumberFormatException hexadecimal) {
            throw unknown(token);
        }
    }

    private static Formula apply(Token token, Optional<Operation> operation, List<Formula> arguments) {
        try {
            return new Formula.Apply(operation.orElseThrow(() -> unknown(token)), arguments);
        } catch (NoSenseException wrong) {
            String message = String.valueOf(wrong.getMessage());
            throw message.startsWith("column ")
                    ? wrong
                    : new NoSenseException("column " + token.getStartPosition() + ": " + message);
        }
    }

    private static NoSenseException unknown(Token token) {
        return new NoSenseException("column " + token.getStartPosition() + ": \"" + token.getValue()
                + "\" is no part of a formula; known are + - * / ^ < <= > >= == != && || ! and the functions "
                + functions());
    }

    private static String functions() {
        List<String> names = new ArrayList<>();
        for (Operation operation : Operation.values()) {
            if (operation.isFunction()) {
                names.add(operation.sign());
            }
        }
        return String.join(", ", names);
    }
}
