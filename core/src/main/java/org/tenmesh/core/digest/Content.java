package org.tenmesh.core.digest;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.RecordComponent;
import java.math.BigDecimal;
import java.time.ZoneId;
import java.time.temporal.Temporal;
import java.time.temporal.TemporalAmount;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The digest of values by their content, whatever they are made of: records with every component, lists in their order, sets and maps in
 * none, numbers with all their bits. A component that is added to a record is in the digest from then on without anybody thinking of it; a
 * kind of value that is not known here is refused, never passed over.
 */
public final class Content {
    /** The accessors of each class of records. */
    private static final ClassValue<Method[]> COMPONENTS = new ClassValue<>() {
        @Override
        protected Method[] computeValue(Class<?> type) {
            Method[] accessors = Arrays.stream(type.getRecordComponents())
                    .map(RecordComponent::getAccessor)
                    .toArray(Method[]::new);
            for (Method accessor : accessors) {
                accessor.setAccessible(true);
            }
            return accessors;
        }
    };

    private final Sha256 sha256 = new Sha256();

    private Content() {}

    /**
     * SHA-256 over values in their order, 64 hexadecimal digits.
     *
     * @param values immutable; null counts as a value of its own
     * @throws IllegalArgumentException naming the class of a value whose content cannot be seen
     */
    public static String digest(@Nullable Object... values) {
        Content content = new Content();
        for (Object value : values) {
            content.add(value);
        }
        return content.sha256.hex();
    }

    private void add(@Nullable Object value) {
        if (value == null) {
            tag('0');
        } else if (value instanceof String text) {
            tag('s').text(text);
        } else if (value instanceof Double number) {
            tag('d').number(number.doubleValue());
        } else if (value instanceof Integer || value instanceof Long || value instanceof Short) {
            tag('i').number(((Number) value).longValue());
        } else if (value instanceof Boolean flag) {
            tag(flag ? '+' : '-');
        } else if (value instanceof Enum<?> constant) {
            tag('e').text(constant.getDeclaringClass().getName()).text(constant.name());
        } else if (value instanceof Digested known) {
            tag('k').text(known.digest());
        } else if (value instanceof Record) {
            record(value);
        } else if (value instanceof Temporal || value instanceof TemporalAmount || value instanceof ZoneId) {
            tag('t').text(value.toString());
        } else if (value instanceof BigDecimal decimal) {
            tag('b').text(decimal.toString());
        } else if (!isOptional(value) && !isArray(value) && !isCollection(value)) {
            throw new IllegalArgumentException("a digest of content was asked for "
                    + value.getClass().getName() + ", expected records, collections, texts and numbers");
        }
    }

    private boolean isOptional(Object value) {
        if (value instanceof Optional<?> one) {
            tag('o');
            add(one.orElse(null));
        } else if (value instanceof OptionalDouble one) {
            tag('o');
            add(one.isPresent() ? one.getAsDouble() : null);
        } else if (value instanceof OptionalInt one) {
            tag('o');
            add(one.isPresent() ? one.getAsInt() : null);
        } else {
            return false;
        }
        return true;
    }

    private boolean isCollection(Object value) {
        if (value instanceof List<?> list) {
            tag('l').number(list.size());
            list.forEach(this::add);
        } else if (value instanceof Set<?> set) {
            tag('u').number(set.size());
            set.stream().map(Content::digest).sorted().forEach(sha256::text);
        } else if (value instanceof Map<?, ?> map) {
            tag('m').number(map.size());
            if (map.keySet().stream().allMatch(String.class::isInstance)) {
                map.keySet().stream().map(String.class::cast).sorted().forEach(key -> {
                    sha256.text(key);
                    add(map.get(key));
                });
            } else {
                map.entrySet().stream()
                        .map(entry -> digest(entry.getKey(), entry.getValue()))
                        .sorted()
                        .forEach(sha256::text);
            }
        } else {
            return false;
        }
        return true;
    }

    private boolean isArray(Object value) {
        if (value instanceof double[] numbers) {
            tag('D').number(numbers.length);
            for (double number : numbers) {
                sha256.number(number);
            }
        } else if (value instanceof int[] numbers) {
            tag('I').number(numbers.length);
            for (int number : numbers) {
                sha256.number(number);
            }
        } else if (value instanceof boolean[] flags) {
            BitSet set = new BitSet();
            for (int i = 0; i < flags.length; i++) {
                set.set(i, flags[i]);
            }
            tag('B').number(flags.length);
            add(set);
        } else if (value instanceof BitSet set) {
            long[] words = set.toLongArray();
            tag('W').number(words.length);
            for (long word : words) {
                sha256.number(word);
            }
        } else if (value instanceof Object[] all) {
            tag('A').number(all.length);
            for (Object one : all) {
                add(one);
            }
        } else {
            return false;
        }
        return true;
    }

    private void record(Object value) {
        Method[] components = COMPONENTS.get(value.getClass());
        tag('r').text(value.getClass().getName()).number(components.length);
        for (Method component : components) {
            try {
                add(component.invoke(value));
            } catch (IllegalAccessException | InvocationTargetException e) {
                throw new IllegalStateException(
                        "component " + component.getName() + " of "
                                + value.getClass().getName() + " cannot be read",
                        e);
            }
        }
    }

    private Sha256 tag(char tag) {
        return sha256.number((int) tag);
    }
}
