package steamleaf.core;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.StringJoiner;

/**
 * The states found so far by a breadth-first search: one representative for each key, how it was
 * reached, and the transitions that count when the way out of a state is looked for.
 *
 * @param <N> a representative
 */
public final class Space<N> {
    private final Map<StateKey, Integer> seen = new HashMap<>();
    private final List<N> nodes = new ArrayList<>();
    private final List<Object> by = new ArrayList<>();
    private int[] parent = new int[1024];
    private int[] from = new int[1024];
    private int[] to = new int[1024];
    private int wayOuts;
    private long transitions;

    public int size() {
        return nodes.size();
    }

    public long transitions() {
        return transitions;
    }

    public N node(int at) {
        return nodes.get(at);
    }

    /** The representative is not needed any more. */
    public void forget(int at) {
        nodes.set(at, null);
    }

    /** A state that nothing leads to. */
    public int begin(StateKey key, N node) {
        return find(-1, "begin", key, node);
    }

    /**
     * One transition.
     *
     * @param wayOut counts when the way out of a state is looked for
     */
    public int go(int before, Object letter, boolean wayOut, StateKey key, N node) {
        int at = find(before, letter, key, node);
        transitions++;
        if (wayOut && at != before) {
            if (wayOuts == from.length) {
                from = Arrays.copyOf(from, 2 * wayOuts);
                to = Arrays.copyOf(to, 2 * wayOuts);
            }
            from[wayOuts] = before;
            to[wayOuts] = at;
            wayOuts++;
        }
        return at;
    }

    private int find(int before, Object letter, StateKey key, N node) {
        Integer known = seen.putIfAbsent(key, nodes.size());
        if (known != null) {
            return known;
        }
        int at = nodes.size();
        if (at == parent.length) {
            parent = Arrays.copyOf(parent, 2 * at);
        }
        parent[at] = before;
        nodes.add(node);
        by.add(letter);
        return at;
    }

    /** The letters that lead to this state. */
    public String story(int at) {
        ArrayDeque<Object> letters = new ArrayDeque<>();
        for (int i = at; i >= 0; i = parent[i]) {
            letters.addFirst(by.get(i));
        }
        StringJoiner story = new StringJoiner("\n  ", "  ", "");
        letters.forEach(letter -> story.add(letter.toString()));
        return story.toString();
    }

    /** States from which no way out leads to one of these. */
    public BitSet without(BitSet goals) {
        int[] first = new int[size()];
        Arrays.fill(first, -1);
        int[] next = new int[wayOuts];
        for (int i = 0; i < wayOuts; i++) {
            next[i] = first[to[i]];
            first[to[i]] = i;
        }
        BitSet can = (BitSet) goals.clone();
        int[] queue = new int[size()];
        int filled = 0;
        for (int at = can.nextSetBit(0); at >= 0; at = can.nextSetBit(at + 1)) {
            queue[filled++] = at;
        }
        for (int i = 0; i < filled; i++) {
            for (int edge = first[queue[i]]; edge >= 0; edge = next[edge]) {
                if (!can.get(from[edge])) {
                    can.set(from[edge]);
                    queue[filled++] = from[edge];
                }
            }
        }
        can.flip(0, size());
        return can;
    }
}
