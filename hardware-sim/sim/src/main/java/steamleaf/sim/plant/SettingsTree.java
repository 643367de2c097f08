package steamleaf.sim.plant;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.BiFunction;

/**
 * Walks the record tree of {@link PlantSettings}: lists its keys, rebuilds it with some numbers
 * changed. Start-up only.
 */
final class SettingsTree {
    /** One number (or list of numbers) with its dotted path. */
    record Entry(String path, Key key, Class<?> type, Object value) {
        String range() {
            return number(key.min())
                    + " to "
                    + number(key.max())
                    + (key.unit().equals("1") ? "" : " " + key.unit());
        }
    }

    private SettingsTree() {}

    static List<Entry> entries(PlantSettings settings) {
        List<Entry> found = new ArrayList<>();
        rebuild(
                settings,
                "",
                (_, entry) -> {
                    found.add(entry);
                    return entry.value();
                });
        return List.copyOf(found);
    }

    /**
     * Names allowed directly below a path, in the order of the records; empty when the path holds a
     * number.
     */
    static List<String> childrenOf(Class<?> type) {
        List<String> names = new ArrayList<>();
        if (type.isRecord()) {
            for (RecordComponent component : type.getRecordComponents()) {
                names.add(component.getName());
            }
        }
        return names;
    }

    /** The same tree with each number replaced by what {@code change} answers for it. */
    static <T extends Record> T rebuild(
            T from, String prefix, BiFunction<String, Entry, Object> change) {
        RecordComponent[] components = from.getClass().getRecordComponents();
        Object[] values = new Object[components.length];
        Class<?>[] types = new Class<?>[components.length];
        for (int i = 0; i < components.length; i++) {
            RecordComponent component = components[i];
            String path = prefix + component.getName();
            types[i] = component.getType();
            Object value = read(from, component);
            Key key = component.getAnnotation(Key.class);
            if (value instanceof Record inner) {
                values[i] = rebuild(inner, path + ".", change);
            } else if (key != null) {
                values[i] = change.apply(path, new Entry(path, key, types[i], value));
            } else {
                throw new IllegalStateException(path + " carries no @Key");
            }
        }
        return make(from, types, values);
    }

    private static Object read(Record from, RecordComponent component) {
        try {
            return component.getAccessor().invoke(from);
        } catch (IllegalAccessException | InvocationTargetException e) {
            throw new IllegalStateException(e);
        }
    }

    @SuppressWarnings("unchecked")
    private static <T extends Record> T make(T like, Class<?>[] types, Object[] values) {
        try {
            return (T) like.getClass().getDeclaredConstructor(types).newInstance(values);
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException(e);
        }
    }

    static PlantSettings varied(PlantSettings from, long seed) {
        return rebuild(
                from,
                "",
                (path, entry) -> {
                    if (!(entry.value() instanceof Double value)) {
                        return entry.value();
                    }
                    Key key = entry.key();
                    double deviate = new Noise(seed, path).normal() * key.sd();
                    double drawn =
                            switch (key.varies()) {
                                case NOT -> value;
                                case PLUS -> value + deviate;
                                case TIMES -> value * Math.exp(deviate);
                            };
                    return key.varies() == Key.Varies.NOT
                            ? value
                            : Math.clamp(drawn, key.min(), key.max());
                });
    }

    /** Shortest plain way to write a number. */
    static String number(double value) {
        if (value == Math.rint(value) && Math.abs(value) < 1e7) {
            return Long.toString((long) value);
        }
        double size = Math.abs(value);
        return size >= 1e-3 && size < 1e7
                ? Double.toString(value)
                : Double.toString(value).toLowerCase(Locale.ROOT);
    }
}
