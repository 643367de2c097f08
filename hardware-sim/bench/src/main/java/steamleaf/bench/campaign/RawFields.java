package steamleaf.bench.campaign;

import java.lang.invoke.MethodHandle;
import java.lang.invoke.MethodHandles;
import java.lang.invoke.MethodType;
import java.lang.reflect.Field;
import org.jspecify.annotations.Nullable;

/**
 * The JDK's own access to the fields of any object. Reflection and the public Unsafe write neither
 * records nor lambdas. Needs {@code --add-exports java.base/jdk.internal.misc=ALL-UNNAMED}.
 */
final class RawFields {
    private static final MethodHandle ALLOCATE =
            found("allocateInstance", Object.class, Class.class);
    private static final MethodHandle INITIALIZE =
            found("ensureClassInitialized", void.class, Class.class);
    private static final MethodHandle OFFSET = found("objectFieldOffset", long.class, Field.class);
    private static final MethodHandle STATIC_BASE =
            found("staticFieldBase", Object.class, Field.class);
    private static final MethodHandle STATIC_OFFSET =
            found("staticFieldOffset", long.class, Field.class);
    private static final MethodHandle GET =
            found("getReference", Object.class, Object.class, long.class);
    private static final MethodHandle PUT =
            found("putReference", void.class, Object.class, long.class, Object.class);

    private RawFields() {}

    private static MethodHandle found(String name, Class<?> gives, Class<?>... takes) {
        try {
            Class<?> unsafe = Class.forName("jdk.internal.misc.Unsafe");
            MethodHandles.Lookup lookup = MethodHandles.lookup();
            Object one =
                    lookup.findStatic(unsafe, "getUnsafe", MethodType.methodType(unsafe)).invoke();
            return lookup.findVirtual(unsafe, name, MethodType.methodType(gives, takes))
                    .bindTo(one);
        } catch (IllegalAccessException e) {
            throw new IllegalStateException(
                    "java must be started with --add-exports"
                            + " java.base/jdk.internal.misc=ALL-UNNAMED",
                    e);
        } catch (Throwable e) {
            throw new IllegalStateException("this JDK's Unsafe has no " + name, e);
        }
    }

    /** One without a constructor having run, every field 0 or null. */
    static Object allocate(Class<?> type) {
        try {
            return (Object) ALLOCATE.invokeExact(type);
        } catch (Throwable e) {
            throw new IllegalStateException("no " + type + " can be made", e);
        }
    }

    static long offset(Field field) {
        try {
            return (long) OFFSET.invokeExact(field);
        } catch (Throwable e) {
            throw new IllegalStateException(field + " has no place", e);
        }
    }

    static @Nullable Object get(Object from, long offset) {
        try {
            return (Object) GET.invokeExact(from, offset);
        } catch (Throwable e) {
            throw new IllegalStateException(e);
        }
    }

    static void put(Object to, long offset, @Nullable Object value) {
        try {
            PUT.invokeExact(to, offset, value);
        } catch (Throwable e) {
            throw new IllegalStateException(e);
        }
    }

    static @Nullable Object constant(Field field) {
        try {
            INITIALIZE.invokeExact(field.getDeclaringClass());
            Object base = (Object) STATIC_BASE.invokeExact(field);
            return get(base, (long) STATIC_OFFSET.invokeExact(field));
        } catch (Throwable e) {
            throw new IllegalStateException(field + " cannot be read", e);
        }
    }

    /** Copies a field of that primitive type: to, offset, from, offset. */
    static MethodHandle copying(Class<?> primitive) {
        String name = primitive.getName();
        String word = Character.toUpperCase(name.charAt(0)) + name.substring(1);
        return MethodHandles.collectArguments(
                found("put" + word, void.class, Object.class, long.class, primitive),
                2,
                found("get" + word, primitive, Object.class, long.class));
    }
}
