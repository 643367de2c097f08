package steamleaf.bench.campaign;

import com.pi4j.context.Context;
import java.lang.invoke.MethodHandle;
import java.lang.reflect.Array;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import steamleaf.app.config.Config;

/**
 * A deep copy of everything that can be reached from one object, field by field, as it lies in
 * memory: what pointed to the same thing still does, and maps keep their order. So a world that is
 * copied in mid-batch goes on to the last bit as the original does, and neither sees what happens
 * in the other.
 *
 * <p>Two kinds of things are not copied but shared: {@link #SHARED}, and what a static final field
 * of a class that was met holds, because it may be compared by identity and belongs to all lines
 * anyway. What is neither shared nor known to consist of its fields alone (an open file, a thread,
 * most of the JDK) is refused, with the way that led there.
 */
final class Snapshot {
    /** Never changes, or is the same for every line of this process. */
    private static final List<Class<?>> SHARED =
            List.of(
                    // values
                    String.class,
                    Boolean.class,
                    Integer.class,
                    Long.class,
                    Double.class,
                    Enum.class,
                    Class.class,
                    Instant.class,
                    Duration.class,
                    // names a folder; whoever opened one has a Path of its own, which is refused
                    Config.JournalPlace.class,
                    // the process's
                    Logger.class,
                    // a list of what was opened, asked when opening and closing; has threads
                    Context.class);

    /** What lies in these packages is copied, lambdas too. */
    private static final List<String> OURS = List.of("steamleaf.", "com.pi4j.");

    /** Of the JDK, with their nested classes: nothing but fields in the heap. */
    private static final Set<String> JDK =
            Set.of(
                    "java.io.ByteArrayOutputStream",
                    "java.lang.Object", // a lock
                    "java.util.ArrayDeque",
                    "java.util.ArrayList",
                    "java.util.Collections",
                    "java.util.EnumMap",
                    "java.util.HashMap",
                    "java.util.HashSet",
                    "java.util.ImmutableCollections",
                    "java.util.LinkedHashMap",
                    "java.util.PriorityQueue",
                    "java.util.RegularEnumSet",
                    "java.util.SplittableRandom",
                    "java.util.concurrent.CopyOnWriteArrayList",
                    "java.util.concurrent.CopyOnWriteArraySet",
                    "java.util.concurrent.Semaphore",
                    "java.util.concurrent.atomic.AtomicInteger",
                    "java.util.concurrent.locks.ReentrantLock",
                    "java.util.TreeMap");

    /**
     * Where the fields of a class lie.
     *
     * @param references offsets
     * @param primitives offsets, and how each is copied
     */
    record Shape(List<Slot> references, List<Primitive> primitives) {}

    record Slot(String name, long offset) {}

    record Primitive(String name, long offset, MethodHandle copying) {}

    /**
     * How something was reached.
     *
     * @param step a field's name or an element's number
     */
    private record Way(@Nullable Way before, Object step) {
        @Override
        public String toString() {
            return before == null ? step.toString() : before + "." + step;
        }
    }

    private record Task(Object from, Object to, Way way) {}

    private static final ClassValue<Shape> SHAPES =
            new ClassValue<>() {
                @Override
                protected Shape computeValue(Class<?> type) {
                    return shape(type);
                }
            };

    /** What static final fields of classes that were met hold; grows only. */
    private static final Set<Object> CONSTANTS =
            Collections.synchronizedSet(Collections.newSetFromMap(new IdentityHashMap<>()));

    private final IdentityHashMap<Object, Object> copies = new IdentityHashMap<>();
    private final ArrayDeque<Task> tasks = new ArrayDeque<>();

    private Snapshot() {}

    /** A copy that goes on as {@code original} would, and has nothing in common with it. */
    static <T> T of(T original) {
        while (true) {
            int constants = CONSTANTS.size();
            Snapshot snapshot = new Snapshot();
            T copy = snapshot.whole(original);
            if (CONSTANTS.size() == constants) {
                return copy;
            } // a class was met only now, and its constants may have been copied before
        }
    }

    @SuppressWarnings("unchecked") // a copy is of its original's class
    private <T> T whole(T original) {
        Object copy = copy(original, new Way(null, original.getClass().getSimpleName()));
        for (Task task = tasks.poll(); task != null; task = tasks.poll()) {
            fill(task);
        }
        copies.values().forEach(Snapshot::check);
        return (T) copy;
    }

    private Object copy(Object from, Way way) {
        Object known = copies.get(from);
        if (known != null) {
            return known;
        }
        if (isShared(from)) {
            return from;
        }
        Class<?> type = from.getClass();
        Object to;
        if (type.isArray()) {
            to = Array.newInstance(type.getComponentType(), Array.getLength(from));
        } else if (isCopied(type)) {
            SHAPES.get(type);
            to = RawFields.allocate(type);
        } else {
            throw new IllegalStateException(
                    "no snapshot can have a " + type.getName() + ": " + way);
        }
        copies.put(from, to);
        tasks.add(new Task(from, to, way));
        return to;
    }

    static boolean isShared(Object what) {
        return SHARED.stream().anyMatch(shared -> shared.isInstance(what))
                || CONSTANTS.contains(what);
    }

    private static boolean isCopied(Class<?> type) {
        String name = type.getName();
        return !Thread.class.isAssignableFrom(type)
                && !Throwable.class.isAssignableFrom(type)
                && (OURS.stream().anyMatch(name::startsWith)
                        || JDK.contains(name.replaceFirst("\\$.*", ""))
                        || type.isHidden());
    }

    private void fill(Task task) {
        Object from = task.from();
        Object to = task.to();
        if (from instanceof Object[] all) {
            Object[] into = (Object[]) to;
            for (int i = 0; i < all.length; i++) {
                if (all[i] != null) {
                    into[i] = copy(all[i], new Way(task.way(), i));
                }
            }
            return;
        }
        if (from.getClass().isArray()) {
            System.arraycopy(from, 0, to, 0, Array.getLength(from));
            return;
        }
        Shape shape = SHAPES.get(from.getClass());
        for (Primitive field : shape.primitives()) {
            try {
                field.copying().invokeExact(to, field.offset(), from, field.offset());
            } catch (Throwable e) {
                throw new IllegalStateException(task.way().toString(), e);
            }
        }
        for (Slot field : shape.references()) {
            Object value = RawFields.get(from, field.offset());
            if (value != null) {
                RawFields.put(to, field.offset(), copy(value, new Way(task.way(), field.name())));
            }
        }
    }

    /** What is found by its hash must still be found: not by one that says where it lies. */
    private static void check(Object copy) {
        if (copy instanceof Map<?, ?> map && !(copy instanceof EnumMap)) {
            map.forEach((key, _) -> check(map.containsKey(key), copy, key));
        } else if (copy instanceof Set<?> set && !(copy instanceof HashSet)) { // that has a map
            set.forEach(key -> check(set.contains(key), copy, key));
        }
    }

    private static void check(boolean found, Object in, Object key) {
        if (!found) {
            throw new IllegalStateException(
                    "a copied " + in.getClass().getName() + " does not find its " + key);
        }
    }

    static Shape shapeOf(Class<?> type) {
        return SHAPES.get(type);
    }

    private static Shape shape(Class<?> type) {
        List<Slot> references = new ArrayList<>();
        List<Primitive> primitives = new ArrayList<>();
        for (Class<?> at = type; at != null; at = at.getSuperclass()) {
            for (Field field : at.getDeclaredFields()) {
                if (Modifier.isStatic(field.getModifiers())) {
                    continue;
                }
                long offset = RawFields.offset(field);
                if (field.getType().isPrimitive()) {
                    primitives.add(
                            new Primitive(
                                    field.getName(), offset, RawFields.copying(field.getType())));
                } else {
                    references.add(new Slot(field.getName(), offset));
                }
            }
            Stream.of(at, at.getNestHost()).forEach(Snapshot::rememberConstants);
        }
        return new Shape(references, primitives);
    }

    private static void rememberConstants(Class<?> type) {
        for (Field field : type.getDeclaredFields()) {
            int modifiers = field.getModifiers();
            if (Modifier.isStatic(modifiers)
                    && Modifier.isFinal(modifiers)
                    && !field.getType().isPrimitive()) {
                Object constant = RawFields.constant(field);
                if (constant != null) {
                    CONSTANTS.add(constant);
                }
            }
        }
    }
}
