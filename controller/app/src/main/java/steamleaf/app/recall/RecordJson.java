package steamleaf.app.recall;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.lang.reflect.Constructor;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * Plain records to JSON and back, as the core has them: records, sealed interfaces of records,
 * enums, numbers, texts, truth values, arrays of doubles, lists and maps by text. A value behind a
 * sealed interface carries its simple class name under {@code is}. Numbers that are not finite are
 * written as texts.
 */
final class RecordJson {
    private static final String IS = "is";
    private static final JsonNodeFactory JSON = JsonNodeFactory.instance;

    private RecordJson() {}

    /** What is read is not what was written: another version, or damage. */
    static final class Unfit extends Exception {
        private static final long serialVersionUID = 1L;

        Unfit(String message) {
            super(message);
        }
    }

    // ---- writing ----

    static JsonNode write(@Nullable Object value) {
        return switch (value) {
            case null -> JSON.nullNode();
            case Double d ->
                    Double.isFinite(d) ? JSON.numberNode(d) : JSON.textNode(Double.toString(d));
            case Long n -> JSON.numberNode(n);
            case Integer n -> JSON.numberNode(n);
            case Boolean b -> JSON.booleanNode(b);
            case String text -> JSON.textNode(text);
            case Enum<?> constant -> JSON.textNode(constant.name());
            case double[] numbers -> {
                ArrayNode array = JSON.arrayNode(numbers.length);
                for (double number : numbers) {
                    array.add(write(number));
                }
                yield array;
            }
            case List<?> list -> {
                ArrayNode array = JSON.arrayNode(list.size());
                list.forEach(item -> array.add(write(item)));
                yield array;
            }
            case Map<?, ?> map -> {
                ObjectNode object = JSON.objectNode();
                map.forEach((key, item) -> object.set(String.valueOf(key), write(item)));
                yield object;
            }
            case Record message -> writeRecord(message);
            default -> throw new IllegalArgumentException(value.getClass() + " can't be recalled");
        };
    }

    private static ObjectNode writeRecord(Record message) {
        ObjectNode object = JSON.objectNode();
        if (isCase(message.getClass())) {
            object.put(IS, message.getClass().getSimpleName());
        }
        for (RecordComponent component : message.getClass().getRecordComponents()) {
            try {
                component.getAccessor().setAccessible(true);
                object.set(component.getName(), write(component.getAccessor().invoke(message)));
            } catch (ReflectiveOperationException e) {
                throw new IllegalStateException(component + " can't be read", e);
            }
        }
        return object;
    }

    private static boolean isCase(Class<?> type) {
        for (Class<?> of : type.getInterfaces()) {
            if (of.isSealed()) {
                return true;
            }
        }
        return false;
    }

    // ---- reading ----

    static <T> T read(JsonNode node, Class<T> type) throws Unfit {
        Object value = read(node, type, type.getSimpleName());
        if (value == null) {
            throw new Unfit(type.getSimpleName() + " is missing");
        }
        return type.cast(value);
    }

    private static @Nullable Object read(JsonNode node, Type type, String path) throws Unfit {
        if (node.isNull() && !(type instanceof Class<?> c && c.isPrimitive())) {
            return null;
        }
        if (type instanceof ParameterizedType generic) {
            Type item =
                    generic.getActualTypeArguments()[generic.getActualTypeArguments().length - 1];
            return generic.getRawType() == Map.class
                    ? readMap(node, item, path)
                    : readList(node, item, path);
        }
        return readPlain(node, (Class<?>) type, path);
    }

    private static @Nullable Object readPlain(JsonNode node, Class<?> type, String path)
            throws Unfit {
        if (type == double.class || type == Double.class) {
            return readDouble(node, path);
        }
        if (type == long.class || type == Long.class) {
            return require(node.canConvertToExactIntegral(), node, path).longValue();
        }
        if (type == int.class || type == Integer.class) {
            return require(node.canConvertToInt(), node, path).intValue();
        }
        if (type == boolean.class || type == Boolean.class) {
            return require(node.isBoolean(), node, path).booleanValue();
        }
        if (type == String.class) {
            return require(node.isTextual(), node, path).textValue();
        }
        if (type == double[].class) {
            double[] numbers = new double[require(node.isArray(), node, path).size()];
            for (int i = 0; i < numbers.length; i++) {
                numbers[i] = readDouble(node.get(i), path + "[" + i + "]");
            }
            return numbers;
        }
        return type.isEnum() ? readEnum(node, type, path) : readRecord(node, type, path);
    }

    private static double readDouble(JsonNode node, String path) throws Unfit {
        if (node.isTextual()) {
            return switch (node.textValue()) {
                case "NaN" -> Double.NaN;
                case "Infinity" -> Double.POSITIVE_INFINITY;
                case "-Infinity" -> Double.NEGATIVE_INFINITY;
                default -> throw new Unfit(path + " = " + node);
            };
        }
        return require(node.isNumber(), node, path).doubleValue();
    }

    private static Object readEnum(JsonNode node, Class<?> type, String path) throws Unfit {
        for (Object constant : type.getEnumConstants()) {
            if (((Enum<?>) constant).name().equals(node.textValue())) {
                return constant;
            }
        }
        throw new Unfit(path + " = " + node + " is no " + type.getSimpleName());
    }

    private static Object readRecord(JsonNode node, Class<?> type, String path) throws Unfit {
        require(node.isObject(), node, path);
        Class<?> of = type.isSealed() ? caseOf(node, type, path) : type;
        if (!of.isRecord()) {
            throw new IllegalArgumentException(of + " can't be recalled");
        }
        RecordComponent[] components = of.getRecordComponents();
        Class<?>[] types = new Class<?>[components.length];
        @Nullable Object[] values = new Object[components.length];
        for (int i = 0; i < components.length; i++) {
            String at = path + "." + components[i].getName();
            JsonNode value = node.get(components[i].getName());
            types[i] = components[i].getType();
            if (value == null) {
                // what may be null may be newer than the file
                if (!components[i].getAnnotatedType().isAnnotationPresent(Nullable.class)) {
                    throw new Unfit(at + " is missing");
                }
                continue;
            }
            values[i] = read(value, components[i].getGenericType(), at);
        }
        try {
            Constructor<?> constructor = of.getDeclaredConstructor(types);
            constructor.setAccessible(true);
            return constructor.newInstance(values);
        } catch (ReflectiveOperationException | RuntimeException e) {
            throw new Unfit(path + " does not fit " + of.getSimpleName() + ": " + e.getCause());
        }
    }

    private static Class<?> caseOf(JsonNode node, Class<?> sealed, String path) throws Unfit {
        String name = node.path(IS).asText();
        for (Class<?> one : sealed.getPermittedSubclasses()) {
            if (one.getSimpleName().equals(name)) {
                return one;
            }
        }
        throw new Unfit(path + ": " + name + " is no " + sealed.getSimpleName());
    }

    private static List<@Nullable Object> readList(JsonNode node, Type item, String path)
            throws Unfit {
        require(node.isArray(), node, path);
        List<@Nullable Object> list = new ArrayList<>(node.size());
        for (int i = 0; i < node.size(); i++) {
            list.add(read(node.get(i), item, path + "[" + i + "]"));
        }
        return list;
    }

    private static Map<String, @Nullable Object> readMap(JsonNode node, Type item, String path)
            throws Unfit {
        require(node.isObject(), node, path);
        Map<String, @Nullable Object> map = new TreeMap<>();
        for (Map.Entry<String, JsonNode> entry : node.properties()) {
            map.put(entry.getKey(), read(entry.getValue(), item, path + "." + entry.getKey()));
        }
        return map;
    }

    private static JsonNode require(boolean fits, JsonNode node, String path) throws Unfit {
        if (!fits) {
            throw new Unfit(path + " = " + node);
        }
        return node;
    }
}
