package org.tenmesh.exchange.readers;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.exchange.file.Problem;

/**
 * Records of an analyser's message, one after the other, as ASTM E1394 (CLSI LIS02-A2) has them: H header, P subject, O order, R result, C
 * comment, L terminator. The four delimiters are those that H declares. Not for use by several threads.
 */
final class RecordText {
    /** What is wrong with a record. */
    record Wrong(String found, String expected) {}

    private char field = '|';
    private char repeat = '\\';
    private char component = '^';
    private char escape = '&';
    private final Map<Character, List<String>> above = new LinkedHashMap<>();
    private char last;

    /** Takes the next record; what is wrong with it otherwise. */
    Optional<Wrong> next(String record) {
        last = record.charAt(0);
        if (last == 'H') {
            above.clear();
            if (record.length() < 5) {
                last = ' ';
                return Optional.of(new Wrong(Problem.quoted(record), "H and its four delimiters, such as H|\\^&"));
            }
            field = record.charAt(1);
            repeat = record.charAt(2);
            component = record.charAt(3);
            escape = record.charAt(4);
            List<String> fields = new ArrayList<>(List.of("H", record.substring(1, 5)));
            fields.addAll(cut(record.substring(5), field).stream().skip(1).toList());
            above.put('H', fields);
            return Optional.empty();
        }
        if (record.length() > 1 && record.charAt(1) != field) {
            last = ' ';
            return Optional.of(new Wrong(Problem.quoted(record), "a record whose fields are cut by " + field));
        }
        if (above.isEmpty()) {
            last = ' ';
            return Optional.of(new Wrong("a record before the header", "H first: it declares the delimiters"));
        }
        if (last == 'P') {
            above.remove('O');
            above.remove('R');
        } else if (last == 'O') {
            above.remove('R');
        } else if (last == 'R' && !above.containsKey('O')) {
            last = ' ';
            return Optional.of(
                    new Wrong("a result (R) without its order", "the order (O) that it belongs to above it"));
        }
        above.put(last, cut(record, field));
        return Optional.empty();
    }

    boolean isResult() {
        return last == 'R';
    }

    /** Fields of the last result and of the records that it belongs to, from 1; components and repeats after a point. */
    Map<String, String> cells() {
        Map<String, String> cells = new LinkedHashMap<>();
        above.forEach((type, fields) -> {
            if (type != 'H' && type != 'P' && type != 'O' && type != 'R') {
                return;
            }
            for (int i = 1; i < fields.size(); i++) {
                String whole = fields.get(i);
                String name = type + Integer.toString(i + 1);
                cells.put(name, type == 'H' && i == 1 ? whole : plain(whole));
                if (type != 'H' || i > 1) {
                    List<String> parts = cut(cut(whole, repeat).get(0), component);
                    for (int part = 0; part < parts.size(); part++) {
                        cells.put(name + "." + (part + 1), plain(parts.get(part)));
                    }
                }
            }
        });
        return cells;
    }

    private static List<String> cut(String text, char at) {
        List<String> parts = new ArrayList<>();
        int from = 0;
        for (int i = text.indexOf(at); i >= 0; i = text.indexOf(at, from)) {
            parts.add(text.substring(from, i));
            from = i + 1;
        }
        parts.add(text.substring(from));
        return parts;
    }

    /** Delimiters written as &F&, &R&, &S& and &E& by E1394; anything else between two escapes stays as it stands. */
    private String plain(String text) {
        if (text.indexOf(escape) < 0) {
            return text.strip();
        }
        StringBuilder plain = new StringBuilder();
        int i = 0;
        while (i < text.length()) {
            char stands = i + 2 < text.length() && text.charAt(i) == escape && text.charAt(i + 2) == escape
                    ? meant(text.charAt(i + 1))
                    : 0;
            plain.append(stands == 0 ? text.charAt(i) : stands);
            i += stands == 0 ? 1 : 3;
        }
        return plain.toString().strip();
    }

    private char meant(char letter) {
        return switch (letter) {
            case 'F' -> field;
            case 'R' -> repeat;
            case 'S' -> component;
            case 'E' -> escape;
            default -> 0;
        };
    }
}
