package steamleaf.bench.campaign;

import com.pi4j.context.Context;
import java.lang.reflect.Array;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.IdentityHashMap;
import org.jspecify.annotations.Nullable;

/**
 * Compares everything that can be reached from two objects: every figure, every text, and which
 * things are one and the same.
 */
final class Twins {
    private record Pair(Object one, Object other, String way) {}

    private final IdentityHashMap<Object, Object> known = new IdentityHashMap<>();
    private final IdentityHashMap<Object, Object> knownBack = new IdentityHashMap<>();
    private final Deque<Pair> left = new ArrayDeque<>();
    private @Nullable String difference;

    private Twins() {}

    /** The way to the first difference, or to something that both have; null when there is none. */
    static @Nullable String difference(Object one, Object other) {
        Twins twins = new Twins();
        twins.meet(one, other, "it");
        while (!twins.left.isEmpty() && twins.difference == null) {
            twins.into(twins.left.poll());
        }
        return twins.difference;
    }

    private void differ(String way, String how) {
        if (difference == null) {
            difference = way + ": " + how;
        }
    }

    private void meet(@Nullable Object one, @Nullable Object other, String way) {
        if (one == null || other == null) {
            if (one != other) {
                differ(way, one + " and " + other);
            }
        } else if (Snapshot.isShared(one)) {
            boolean ofItsLine = one instanceof Context; // says nothing about what it is
            if (one != other && !one.equals(other) && !ofItsLine) {
                differ(way, one + " and " + other);
            }
        } else if (one == other) {
            differ(way, "both have it");
        } else if (known.get(one) != other || knownBack.get(other) != one) {
            Object before = known.put(one, other);
            Object beforeBack = knownBack.put(other, one);
            if (before != null || beforeBack != null || one.getClass() != other.getClass()) {
                differ(way, one.getClass() + " and another " + other.getClass());
            }
            left.add(new Pair(one, other, way));
        }
    }

    private void into(Pair pair) {
        Object one = pair.one();
        Object other = pair.other();
        if (one.getClass().isArray()) {
            int length = Array.getLength(one);
            if (length != Array.getLength(other)) {
                differ(pair.way(), "longer");
                return;
            }
            for (int i = 0; i < length; i++) {
                Object a = Array.get(one, i);
                Object b = Array.get(other, i);
                if (!one.getClass().getComponentType().isPrimitive()) {
                    meet(a, b, pair.way() + "[" + i + "]");
                } else if (!a.equals(b)) {
                    differ(pair.way() + "[" + i + "]", a + " and " + b);
                }
            }
            return;
        }
        Snapshot.Shape shape = Snapshot.shapeOf(one.getClass());
        for (Snapshot.Primitive field : shape.primitives()) {
            long a = bits(field, one);
            long b = bits(field, other);
            if (a != b) {
                differ(pair.way() + "." + field.name(), a + " and " + b);
            }
        }
        for (Snapshot.Slot field : shape.references()) {
            meet(
                    RawFields.get(one, field.offset()),
                    RawFields.get(other, field.offset()),
                    pair.way() + "." + field.name());
        }
    }

    private static final class Figure {
        long bits;
    }

    private static long bits(Snapshot.Primitive field, Object from) {
        Figure figure = new Figure();
        try {
            long at = RawFields.offset(Figure.class.getDeclaredField("bits"));
            field.copying().invokeExact((Object) figure, at, from, field.offset());
        } catch (Throwable e) {
            throw new AssertionError(e);
        }
        return figure.bits;
    }
}
