package org.tenmesh.store;

import java.lang.reflect.Constructor;
import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.judgement.Policy;

/**
 * A policy as a JSON object of texts, and back. By the names of its limits, not by their places: a day taken before a
 * limit existed reads with that limit's default.
 */
final class Policies {
    private Policies() {}

    static String json(Policy policy) {
        Object[] namesAndValues = Arrays.stream(Policy.class.getRecordComponents())
                .flatMap(limit -> Arrays.stream(new Object[] {limit.getName(), String.valueOf(value(policy, limit))}))
                .toArray();
        return Json.object(namesAndValues);
    }

    static Policy of(List<String> names, List<String> values) {
        Map<String, String> kept = new TreeMap<>();
        for (int i = 0; i < names.size(); i++) {
            kept.put(names.get(i), values.get(i));
        }
        Policy defaults = Policy.defaults();
        RecordComponent[] limits = Policy.class.getRecordComponents();
        Object[] arguments = new Object[limits.length];
        Class<?>[] types = new Class<?>[limits.length];
        for (int i = 0; i < limits.length; i++) {
            String text = kept.get(limits[i].getName());
            types[i] = limits[i].getType();
            arguments[i] = text == null ? value(defaults, limits[i]) : parse(text, types[i]);
        }
        try {
            Constructor<Policy> canonical = Policy.class.getDeclaredConstructor(types);
            return canonical.newInstance(arguments);
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException("a policy could not be read back", e);
        }
    }

    private static Object value(Policy policy, RecordComponent limit) {
        try {
            return limit.getAccessor().invoke(policy);
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException("a policy could not be read", e);
        }
    }

    private static Object parse(String text, Class<?> type) {
        if (type == int.class) {
            return Integer.valueOf(text);
        }
        if (type == double.class) {
            return Double.valueOf(text);
        }
        if (type == boolean.class) {
            return Boolean.valueOf(text);
        }
        if (type == String.class) {
            return text;
        }
        throw new IllegalStateException("a policy's limit is a number, yes or no, or a text; found " + type.getName());
    }
}
