package org.tenmesh.exchange.methods;

import com.ezylang.evalex.EvaluationException;
import com.ezylang.evalex.Expression;
import com.ezylang.evalex.config.ExpressionConfiguration;
import com.ezylang.evalex.config.FunctionDictionaryIfc;
import com.ezylang.evalex.data.EvaluationValue;
import com.ezylang.evalex.functions.AbstractFunction;
import com.ezylang.evalex.functions.FunctionIfc;
import com.ezylang.evalex.functions.FunctionParameter;
import com.ezylang.evalex.operators.OperatorIfc;
import com.ezylang.evalex.parser.ASTNode;
import com.ezylang.evalex.parser.ParseException;
import com.ezylang.evalex.parser.ShuntingYardConverter;
import com.ezylang.evalex.parser.Token;
import com.ezylang.evalex.parser.Tokenizer;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Problem;

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

    private static final int LONGEST = 1000;

    private FormulaText() {}

    /** A name of a function; it is never called. */
    @FunctionParameter(name = "argument", isVarArg = true)
    private static final class Named extends AbstractFunction {
        @Override
        public EvaluationValue evaluate(Expression expression, Token token, EvaluationValue... arguments)
                throws EvaluationException {
            throw new EvaluationException(token, "a formula is calculated elsewhere");
        }
    }

    /** The functions there are and the tables of one method; capitals count. */
    private record Functions(Map<String, Formula.Table> tables) implements FunctionDictionaryIfc {
        private static final FunctionIfc NAMED = new Named();

        @Override
        public void addFunction(String name, FunctionIfc function) {
            throw new IllegalStateException("there are no functions but those there are, found " + name);
        }

        @Override
        public boolean hasFunction(String name) {
            return tables.containsKey(name) || Operation.function(name).isPresent();
        }

        @Override
        public FunctionIfc getFunction(String name) {
            return NAMED;
        }
    }

    private static ExpressionConfiguration configuration(Map<String, Formula.Table> tables) {
        return (tables.isEmpty() ? ExpressionConfiguration.builder() : PLAIN.toBuilder())
                .functionDictionary(new Functions(tables))
                .powerOfPrecedence(OperatorIfc.OPERATOR_PRECEDENCE_POWER_HIGHER)
                .implicitMultiplicationAllowed(false)
                .arraysAllowed(false)
                .structuresAllowed(false)
                .zoneId(java.time.ZoneOffset.UTC)
                .locale(java.util.Locale.ROOT)
                .defaultConstants(Map.of())
                .build();
    }

    /** A text that is no formula. */
    static final class NotRead extends Exception {
        private static final long serialVersionUID = 1L;

        private final String found;
        private final String expected;

        NotRead(int column, String found, String expected) {
            super("column " + column + ": " + found);
            this.found = found + (column > 0 ? " at column " + column : "");
            this.expected = expected;
        }

        /** What stands there, and at which column of the formula. */
        String found() {
            return found;
        }

        /** What may stand there. */
        String expected() {
            return expected;
        }
    }

    /**
     * Reads a formula.
     *
     * @param tables by name
     * @throws NotRead saying at which column what was found and what is known
     */
    static Formula parse(String text, Map<String, Formula.Table> tables) throws NotRead {
        if (text.length() > LONGEST) {
            throw new NotRead(0, "a formula of " + text.length() + " characters", "at most " + LONGEST);
        }
        try {
            ExpressionConfiguration configuration = tables.isEmpty() ? PLAIN : configuration(tables);
            List<Token> tokens = new Tokenizer(text, configuration).parse();
            order(tokens, text, tables);
            return formula(new ShuntingYardConverter(text, tokens, configuration).toAbstractSyntaxTree(), tables);
        } catch (ParseException broken) {
            throw refused(text, broken, tables);
        }
    }

    /**
     * Refuses what is not in the order of a formula. The library lets {@code a b +} pass, and reads {@code a * b ^ -c} as
     * {@code a ^ b * -c} without a word.
     */
    private static void order(List<Token> tokens, String text, Map<String, Formula.Table> tables) throws NotRead {
        Deque<Boolean> brackets = new ArrayDeque<>();
        boolean value = false;
        Token before = null;
        for (Token token : tokens) {
            Token.TokenType type = token.getType();
            boolean comma = type == Token.TokenType.COMMA;
            boolean close = type == Token.TokenType.BRACE_CLOSE;
            boolean infix = type == Token.TokenType.INFIX_OPERATOR;
            if (type == Token.TokenType.PREFIX_OPERATOR && before != null) {
                if (before.getType() == Token.TokenType.PREFIX_OPERATOR) {
                    throw new NotRead(token.getStartPosition(), "a second sign", "one sign, or brackets such as -(-1)");
                }
                if (before.getValue().equals("^")) {
                    throw new NotRead(
                            token.getStartPosition(),
                            "an exponent with a sign",
                            "brackets around it, such as 10 ^ (-3)");
                }
            }
            if (value && !infix && !close && !comma) {
                throw new NotRead(
                        token.getStartPosition(),
                        Problem.quoted(token.getValue()) + " with no sign before it",
                        "a sign such as * between");
            }
            if (!value && (infix || close || comma)) {
                throw new NotRead(
                        token.getStartPosition(),
                        Problem.quoted(token.getValue()),
                        "a name, a number or a function before it");
            }
            switch (type) {
                case NUMBER_LITERAL, VARIABLE_OR_CONSTANT -> value = true;
                case BRACE_OPEN -> brackets.push(before != null && before.getType() == Token.TokenType.FUNCTION);
                case BRACE_CLOSE -> brackets.pop();
                case COMMA -> {
                    if (!Boolean.TRUE.equals(brackets.peek())) {
                        throw new NotRead(
                                token.getStartPosition(), "\",\"", "it between the arguments of a function alone");
                    }
                    value = false;
                }
                case INFIX_OPERATOR -> value = false;
                case PREFIX_OPERATOR, FUNCTION -> {}
                default -> throw unknown(token, tables);
            }
            before = token;
        }
        if (!value) {
            throw new NotRead(
                    0, Problem.quoted(text) + ", which ends too early", "a name, a number or a function at its end");
        }
    }

    private static NotRead refused(String text, ParseException broken, Map<String, Formula.Table> tables) {
        int column = broken.getStartPosition();
        String message = String.valueOf(broken.getMessage());
        String token = broken.getTokenString() == null ? "" : broken.getTokenString();
        // What concerns the text as a whole comes with the whole text and no place.
        boolean whole = token.equals(text);
        if (message.startsWith("Undefined function")) {
            return new NotRead(column, "a function " + Problem.quoted(token), "one of " + functions(tables));
        }
        if (message.startsWith("Undefined operator")) {
            return new NotRead(column, Problem.quoted(token), "one of + - * / ^ < <= > >= == != && || !");
        }
        if (message.startsWith("Missing operator")) {
            return new NotRead(column, Problem.quoted(token) + " with no sign before it", "a sign such as * between");
        }
        if (message.startsWith("Unexpected token after infix operator")) {
            return new NotRead(column, Problem.quoted(token), "a name, a number or a function before it");
        }
        if (message.startsWith("Closing brace not found")) {
            return new NotRead(0, "a bracket that is not closed", "as many ) as (");
        }
        if (message.startsWith("Unexpected closing brace")) {
            return new NotRead(column, "a closing bracket without its opening one", "as many ) as (");
        }
        if (whole || token.isEmpty()) {
            return new NotRead(0, Problem.quoted(text), "a formula: names, numbers, + - * / ^ and functions");
        }
        return new NotRead(
                column, Problem.quoted(token), "a name, a number, a function or a bracket before and after it");
    }

    private static Formula formula(ASTNode node, Map<String, Formula.Table> tables) throws NotRead {
        Token token = node.getToken();
        String value = token.getValue();
        List<Formula> arguments = new ArrayList<>();
        for (ASTNode argument : node.getParameters()) {
            arguments.add(formula(argument, tables));
        }
        return switch (token.getType()) {
            case NUMBER_LITERAL -> number(token, tables);
            case VARIABLE_OR_CONSTANT -> new Formula.Name(value);
            case INFIX_OPERATOR -> apply(token, Optional.ofNullable(INFIX.get(value)), arguments, tables);
            case PREFIX_OPERATOR ->
                switch (value) {
                    case "-" -> apply(token, Optional.of(Operation.NEGATE), arguments, tables);
                    case "!" -> apply(token, Optional.of(Operation.NOT), arguments, tables);
                    case "+" -> arguments.get(0);
                    default -> throw unknown(token, tables);
                };
            case FUNCTION -> {
                Formula.Table table = tables.get(value);
                if (table == null) {
                    yield apply(token, Operation.function(value), arguments, tables);
                }
                if (arguments.size() != 1) {
                    throw new NotRead(
                            token.getStartPosition(), "table " + value + " of " + counted(arguments), "1 argument");
                }
                yield new Formula.Lookup(table, arguments.get(0));
            }
            default -> throw unknown(token, tables);
        };
    }

    private static Formula number(Token token, Map<String, Formula.Table> tables) throws NotRead {
        OptionalDouble number = Numbers.parse(token.getValue());
        if (number.isEmpty()) {
            throw unknown(token, tables);
        }
        return new Formula.Number(number.getAsDouble());
    }

    private static Formula apply(
            Token token, Optional<Operation> operation, List<Formula> arguments, Map<String, Formula.Table> tables)
            throws NotRead {
        if (operation.isEmpty()) {
            throw unknown(token, tables);
        }
        Operation known = operation.get();
        if (arguments.size() < known.fewest() || arguments.size() > known.most()) {
            throw new NotRead(
                    token.getStartPosition(),
                    Problem.quoted(token.getValue()) + " of " + counted(arguments),
                    known.fewest() + (known.most() > known.fewest() ? " to " + known.most() : "") + " of them");
        }
        return new Formula.Apply(known, arguments);
    }

    private static String counted(List<Formula> arguments) {
        return arguments.size() + (arguments.size() == 1 ? " argument" : " arguments");
    }

    private static NotRead unknown(Token token, Map<String, Formula.Table> tables) {
        return new NotRead(
                token.getStartPosition(),
                Problem.quoted(token.getValue()),
                "a name, a plain number, one of + - * / ^ < <= > >= == != && || ! or one of " + functions(tables));
    }

    private static String functions(Map<String, Formula.Table> tables) {
        List<String> names = new ArrayList<>();
        for (Operation operation : Operation.values()) {
            if (operation.isFunction()) {
                names.add(operation.sign());
            }
        }
        names.addAll(tables.keySet());
        return String.join(", ", names);
    }
}
