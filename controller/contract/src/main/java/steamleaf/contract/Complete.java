package steamleaf.contract;

import java.lang.reflect.RecordComponent;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Finds what a message lacks: JSON leaves an absent field null, and only components marked nullable
 * may be. Also refuses numbers that are not finite, which no field allows.
 */
final class Complete {
    private Complete() {}

    private static final ClassValue<RecordComponent[]> COMPONENTS =
            new ClassValue<>() {
                @Override
                protected RecordComponent[] computeValue(Class<?> type) {
                    RecordComponent[] components = type.getRecordComponents();
                    for (RecordComponent component : components) {
                        component.getAccessor().setAccessible(true);
                    }
                    return components;
                }
            };

    /**
     * The path of the first thing missing or not finite with what is wrong, or null when the
     * message is complete.
     */
    static @Nullable String missing(@Nullable Object value, String path) {
        return switch (value) {
            case null -> path + " is missing";
            case Double number when !Double.isFinite(number) ->
                    path + " = " + number + ", allowed: a finite number";
            case List<?> list -> inList(list, path);
            case Map<?, ?> map -> inMap(map, path);
            case Record message -> inRecord(message, path);
            default -> null;
        };
    }

    private static @Nullable String inList(List<?> list, String path) {
        for (int i = 0; i < list.size(); i++) {
            String missing = missing(list.get(i), path + "[" + i + "]");
            if (missing != null) {
                return missing;
            }
        }
        return null;
    }

    private static @Nullable String inMap(Map<?, ?> map, String path) {
        for (Map.Entry<?, ?> entry : map.entrySet()) {
            String missing = missing(entry.getValue(), path + "." + entry.getKey());
            if (missing != null) {
                return missing;
            }
        }
        return null;
    }

    private static @Nullable String inRecord(Record message, String path) {
        for (RecordComponent component : COMPONENTS.get(message.getClass())) {
            Object value = valueOf(component, message);
            if (value == null && component.getAnnotatedType().isAnnotationPresent(Nullable.class)) {
                continue;
            }
            String name = path.isEmpty() ? component.getName() : path + "." + component.getName();
            String missing = missing(value, name);
            if (missing != null) {
                return missing;
            }
        }
        return null;
    }

    private static @Nullable Object valueOf(RecordComponent component, Record message) {
        try {
            return component.getAccessor().invoke(message);
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException(component + " can't be read", e);
        }
    }
}
