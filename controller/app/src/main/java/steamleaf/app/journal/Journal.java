package steamleaf.app.journal;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import java.util.zip.GZIPOutputStream;
import org.jspecify.annotations.Nullable;

/**
 * The truth about the line: numbered lines, durable before anybody may send them.
 *
 * <p>{@link #append} only puts a line into a bounded queue, so the control cycle never waits for a
 * disk. {@link #writeOut} does the slow part, on whichever thread calls it: numbers the lines,
 * writes them, makes them durable, and only then moves {@link #last}. A line that could not be made
 * durable stays queued and is written again, at the same place under the same number.
 *
 * <p>When room runs out, in this order: closed hours that every store has acknowledged are given
 * up, oldest first; then seconds are no longer kept; then, when nothing can be written and the
 * queue is full, the newest events. Whatever was not kept is counted and said in a {@code lost}
 * record as soon as one can be written.
 */
public final class Journal implements AutoCloseable {
    /**
     * @param newId makes the id of a new journal; not asked when the folder has one
     * @param keepFreeBytes seconds are given up when less than this is free, so that events find
     *     room
     * @param queueBytes what may wait for the disk
     */
    public record Settings(
            Supplier<String> newId,
            Durability durability,
            LostLine lost,
            long keepFreeBytes,
            long queueBytes) {
        public static Settings of(Supplier<String> newId, Durability durability, LostLine lost) {
            return new Settings(newId, durability, lost, 64L << 20, 8L << 20);
        }
    }

    /**
     * What was found in the folder.
     *
     * @param tornBytes cut off behind the last whole line
     */
    public record Found(boolean fresh, long tornBytes) {}

    /** One queued record. */
    private static final class Line {
        private final Weight weight;
        private final long hour;
        private final byte[] object;

        Line(Weight weight, long hour, byte[] object) {
            this.weight = weight;
            this.hour = hour;
            this.object = object;
        }

        Weight weight() {
            return weight;
        }

        long hour() {
            return hour;
        }

        byte[] object() {
            return object;
        }
    }

    private static final String ID_FILE = "journal.id";
    private static final String ACKNOWLEDGED_FILE = "acknowledged";
    private static final String TEMPORARY = ".tmp";
    private static final int MOST_STORES = 16;

    private final Disk disk;
    private final Settings settings;
    private final String id;
    private final Found found;

    /** Guards the queue and its counters. */
    private final Object queueLock = new Object();

    private final Semaphore work = new Semaphore(0);
    private final ArrayDeque<Line> queue = new ArrayDeque<>();
    private long queuedBytes;
    private long unsaidSeconds;
    private long unsaidEvents;
    private long lostSeconds;
    private long lostEvents;
    private long hour;

    /** Guards everything that touches files for writing. */
    private final Object writeLock = new Object();

    private final Deque<Line> pending = new ArrayDeque<>();
    private final Deque<Segment> toPack = new ArrayDeque<>();
    private final ByteArrayOutputStream block = new ByteArrayOutputStream(1 << 16);
    private Disk.@Nullable Out out;
    private @Nullable Segment current;
    private boolean folderToSync;
    private volatile boolean keepsSeconds = true;
    private boolean acknowledgedChanged;

    private volatile List<Segment> segments;
    private volatile long last;
    private volatile @Nullable String trouble;

    private final Map<String, Long> acknowledged = new TreeMap<>();

    public static Journal open(Path folder, Settings settings) throws IOException {
        return new Journal(new FolderDisk(folder), settings);
    }

    /** On something else than a real folder. */
    public static Journal open(Disk disk, Settings settings) throws IOException {
        return new Journal(disk, settings);
    }

    Journal(Disk disk, Settings settings) throws IOException {
        this.disk = disk;
        this.settings = settings;
        List<Segment> there = tidy();
        String known = knownId(there);
        id = known == null ? keepId(settings.newId().get()) : known;
        segments = List.copyOf(there);
        found = new Found(known == null, recover());
        readAcknowledged();
    }

    // ---- opening ----

    /** Removes what a crash left half done; the segments that are there, in order. */
    private List<Segment> tidy() throws IOException {
        Map<String, Segment> byStem = new HashMap<>();
        for (String name : disk.names()) {
            if (name.endsWith(TEMPORARY)) {
                disk.delete(name);
                continue;
            }
            Segment segment = Segment.named(name);
            if (segment == null) {
                continue;
            }
            Segment twin = byStem.putIfAbsent(segment.stem, segment);
            if (twin != null) { // compressed and in its place, the plain one not yet removed
                twin.packed = true;
                disk.delete(segment.stem + Segment.PLAIN);
            }
        }
        List<Segment> there = new ArrayList<>(byStem.values());
        there.sort(Comparator.comparingLong((Segment s) -> s.first).thenComparing(s -> s.stem));
        return there;
    }

    private @Nullable String knownId(List<Segment> there) throws IOException {
        for (String name : disk.names()) {
            if (name.equals(ID_FILE)) {
                String text = new String(bytes(ID_FILE), StandardCharsets.UTF_8).strip();
                if (!text.isEmpty()) {
                    return text;
                }
            }
        }
        if (!there.isEmpty()) {
            throw new IOException(
                    ID_FILE
                            + " is missing beside "
                            + there.getFirst().fileName()
                            + ": the journal's records can't be told from another's. Put the file"
                            + " back, or move the folder away to begin a new journal");
        }
        return null;
    }

    private String keepId(String fresh) throws IOException {
        if (!fresh.matches("[A-Za-z0-9._-]{1,64}")) {
            throw new IllegalArgumentException(
                    "journal id \"" + fresh + "\", allowed: letters, digits, dots, hyphens");
        }
        replace(ID_FILE, (fresh + "\n").getBytes(StandardCharsets.UTF_8));
        return fresh;
    }

    /** Finds the last whole line and cuts off what stands behind it; returns how much that was. */
    private long recover() throws IOException {
        if (segments.isEmpty()) {
            return 0;
        }
        Segment newest = segments.getLast();
        last = newest.first - 1;
        for (Segment segment : segments.subList(0, segments.size() - 1)) {
            if (!segment.packed) {
                segment.durableBytes = bytes(segment.fileName()).length;
                toPack.add(segment);
            }
        }
        if (newest.packed) {
            newest.durableBytes = Long.MAX_VALUE;
            try (LineReader reader = new LineReader(disk, newest)) {
                Frame frame = newFrame();
                for (byte[] line = reader.next(); line != null; line = reader.next()) {
                    last = Math.max(last, frame.numberOf(line, 0, line.length));
                }
            }
            return 0;
        }
        byte[] bytes = bytes(newest.fileName());
        int whole = wholeBytes(bytes, newest);
        newest.durableBytes = whole;
        current = newest;
        if (whole < bytes.length || settings.durability() == Durability.SYNCED) {
            try (Disk.Out cut = disk.open(newest.fileName(), whole)) {
                force(cut);
            }
            syncFolder();
        }
        return bytes.length - (long) whole;
    }

    private int wholeBytes(byte[] bytes, Segment newest) {
        Frame frame = newFrame();
        int whole = 0;
        int start = 0;
        for (int i = 0; i < bytes.length; i++) {
            if (bytes[i] == '\n') {
                long n = frame.numberOf(bytes, start, i - start);
                if (n >= newest.first && n > last) {
                    last = n;
                    whole = i + 1;
                }
                start = i + 1;
            }
        }
        return whole;
    }

    private byte[] bytes(String name) throws IOException {
        try (InputStream in = disk.read(name)) {
            return in.readAllBytes();
        }
    }

    /** A small file, replaced in one step. */
    private void replace(String name, byte[] bytes) throws IOException {
        try (Disk.Out small = disk.open(name + TEMPORARY, 0)) {
            small.write(bytes, 0, bytes.length);
            force(small);
        }
        disk.rename(name + TEMPORARY, name);
        syncFolder();
    }

    private void force(Disk.Out file) throws IOException {
        if (settings.durability() == Durability.SYNCED) {
            file.force();
        }
    }

    private void syncFolder() throws IOException {
        if (settings.durability() == Durability.SYNCED) {
            disk.syncFolder();
        }
    }

    // ---- taking in ----

    /**
     * Queues one record. Never waits for the disk and never fails.
     *
     * @param atHour hours of line time since 1970, decides the file
     * @param object one JSON object without {@code journal}, {@code n} and {@code crc}; not changed
     *     afterwards
     */
    public void append(Weight weight, long atHour, byte[] object) {
        synchronized (queueLock) {
            hour = atHour;
            if (queuedBytes + object.length > settings.queueBytes() && !makeRoom(weight)) {
                return;
            }
            queue.add(new Line(weight, atHour, object));
            queuedBytes += object.length;
        }
        work.release();
    }

    /** Room in a full queue: the seconds go; with none left, the new line itself. */
    private boolean makeRoom(Weight weight) {
        if (weight == Weight.SECOND) {
            loseSeconds(1);
            return false;
        }
        boolean emptied = false;
        for (Iterator<Line> lines = queue.iterator(); lines.hasNext(); ) {
            Line line = lines.next();
            if (line.weight() == Weight.SECOND) {
                lines.remove();
                queuedBytes -= line.object().length;
                loseSeconds(1);
                emptied = true;
            }
        }
        if (!emptied) {
            unsaidEvents++;
            lostEvents++;
        }
        return emptied;
    }

    private void loseSeconds(long count) {
        unsaidSeconds += count;
        lostSeconds += count;
    }

    /** Waits until something was queued since the last call, or {@code timeoutMs} have passed. */
    public void awaitWork(long timeoutMs) throws InterruptedException {
        if (work.tryAcquire(timeoutMs, TimeUnit.MILLISECONDS)) {
            work.drainPermits();
        }
    }

    // ---- writing ----

    /**
     * Makes everything queued so far durable.
     *
     * @return what went wrong, or null; what was not written is tried again by the next call
     */
    public @Nullable String writeOut() {
        synchronized (writeLock) {
            takeQueued();
            try {
                boolean room = watchRoom();
                writePending();
                sayWhatWasLost(room);
                writePending();
                trouble = null;
            } catch (IOException e) {
                abandon();
                keepRoomForEvents();
                trouble = String.valueOf(e.getMessage());
            }
            if (trouble == null) {
                tryPacking();
            }
            return trouble;
        }
    }

    private void takeQueued() {
        synchronized (queueLock) {
            // What failed before is still pending and counts as queued, so the bound holds for
            // both.
            pending.addAll(queue);
            queue.clear();
        }
    }

    private boolean watchRoom() throws IOException {
        boolean room = hasRoom();
        if (!room) {
            giveUpAcknowledged();
            room = hasRoom();
        }
        if (!room) {
            dropPendingSeconds();
        }
        return room;
    }

    /** A disk that can't say how full it is, is written to until it refuses. */
    private boolean hasRoom() {
        try {
            return disk.usableBytes() >= settings.keepFreeBytes();
        } catch (IOException e) {
            return true;
        }
    }

    /** Seconds that wait for a refusing disk may fill half the queue, not the place of events. */
    private void keepRoomForEvents() {
        if (queuedBytes() > settings.queueBytes() / 2) {
            dropPendingSeconds();
        }
    }

    private void dropPendingSeconds() {
        synchronized (queueLock) {
            for (Iterator<Line> lines = pending.iterator(); lines.hasNext(); ) {
                Line line = lines.next();
                if (line.weight() == Weight.SECOND) {
                    lines.remove();
                    queuedBytes -= line.object().length;
                    loseSeconds(1);
                }
            }
        }
    }

    /**
     * Once when it begins and once when it has ended, not each second in between; and only when the
     * disk has just taken everything else, so that these don't fill the queue.
     */
    private void sayWhatWasLost(boolean room) {
        synchronized (queueLock) {
            if (unsaidSeconds > 0 && (room || keepsSeconds)) {
                addLost("seconds", unsaidSeconds);
                unsaidSeconds = 0;
            }
            if (unsaidEvents > 0) {
                addLost("events", unsaidEvents);
                unsaidEvents = 0;
            }
            keepsSeconds = room;
        }
    }

    private void addLost(String what, long count) {
        byte[] object = settings.lost().object(what, count, hour);
        pending.add(new Line(Weight.EVENT, hour, object));
        queuedBytes += object.length;
    }

    private void writePending() throws IOException {
        long n = last;
        while (!pending.isEmpty()) {
            long atHour = pending.getFirst().hour();
            Segment segment = enter(atHour);
            block.reset();
            Frame frame = newFrame();
            int count = 0;
            int weightBytes = 0;
            for (Line line : pending) {
                if (line.hour() != atHour) {
                    break;
                }
                frame.write(++n, line.object(), block);
                weightBytes += line.object().length;
                count++;
            }
            long before = segment.durableBytes;
            write(segment);
            segment.grewTo(before + block.size());
            publish(n, count, weightBytes);
        }
    }

    private void write(Segment segment) throws IOException {
        Disk.Out file = out;
        if (file == null) {
            file = disk.open(segment.fileName(), segment.durableBytes);
            out = file;
            folderToSync = true;
        }
        file.write(block.toByteArray(), 0, block.size());
        force(file);
        if (folderToSync) {
            syncFolder();
            folderToSync = false;
        }
    }

    private void publish(long n, int count, int weightBytes) {
        last = n;
        synchronized (queueLock) {
            for (int i = 0; i < count; i++) {
                pending.removeFirst();
            }
            queuedBytes -= weightBytes;
        }
    }

    /** The segment for the hour: the one being written, or the next one. */
    private Segment enter(long atHour) throws IOException {
        Segment open = current;
        boolean empty = open != null && open.durableBytes == 0;
        if (open != null && (open.isOfHour(atHour) || empty)) {
            return open; // an empty file keeps its name: its number must not stand twice
        }
        if (open != null) {
            closeFile();
            toPack.add(open);
        }
        Segment next = Segment.starting(last + 1, atHour);
        List<Segment> more = new ArrayList<>(segments);
        more.add(next);
        segments = List.copyOf(more);
        current = next;
        return next;
    }

    private void closeFile() throws IOException {
        Disk.Out file = out;
        out = null;
        if (file != null) {
            file.close();
        }
    }

    /** After a failure nothing is believed about the open file beyond what was durable. */
    private void abandon() {
        try {
            closeFile();
        } catch (IOException e) {
            out = null;
        }
    }

    // ---- closed hours ----

    private void tryPacking() {
        Segment segment = toPack.peekFirst();
        while (segment != null) {
            try {
                pack(segment);
            } catch (IOException e) {
                trouble = "closed hour not compressed: " + e.getMessage();
                return; // the plain file stays and serves; tried again with the next writing
            }
            toPack.removeFirst();
            segment = toPack.peekFirst();
        }
    }

    private void pack(Segment segment) throws IOException {
        String plain = segment.stem + Segment.PLAIN;
        if (!segment.packed) {
            byte[] bytes = bytes(plain);
            ByteArrayOutputStream packed = new ByteArrayOutputStream(bytes.length / 6 + 64);
            try (GZIPOutputStream gzip = new GZIPOutputStream(packed)) { // its header has no time
                gzip.write(bytes);
            }
            String temporary = segment.stem + Segment.PACKED + TEMPORARY;
            try (Disk.Out file = disk.open(temporary, 0)) {
                file.write(packed.toByteArray(), 0, packed.size());
                force(file);
            }
            disk.rename(temporary, segment.stem + Segment.PACKED);
            syncFolder();
            segment.packed = true;
        }
        disk.delete(plain);
    }

    /** Closed hours that every known store has, oldest first, until there is room. */
    private void giveUpAcknowledged() throws IOException {
        long everybodyHas = everybodyHas();
        while (segments.size() > 1 && segments.get(1).first - 1 <= everybodyHas && !hasRoom()) {
            Segment oldest = segments.getFirst();
            segments = List.copyOf(segments.subList(1, segments.size()));
            toPack.remove(oldest);
            disk.delete(oldest.stem + Segment.PLAIN);
            disk.delete(oldest.stem + Segment.PACKED);
        }
    }

    // ---- reading ----

    public String id() {
        return id;
    }

    public Found found() {
        return found;
    }

    /** Highest durable number, 0 when empty. */
    public long last() {
        return last;
    }

    /** Lowest number still held, 0 when empty. */
    public long first() {
        List<Segment> there = segments;
        return there.isEmpty() || last < there.getFirst().first ? 0 : there.getFirst().first;
    }

    /** A reader that gives record {@code n} first, or the oldest one if that is later. */
    public Cursor from(long n) {
        return new Cursor(this, Math.max(n, Math.max(1, first())));
    }

    Frame newFrame() {
        return new Frame(id);
    }

    byte[] lostObject(String what, long count, long atHour) {
        return settings.lost().object(what, count, atHour);
    }

    LineReader read(Segment segment) throws IOException {
        return new LineReader(disk, segment);
    }

    @Nullable Segment segmentOf(long n) {
        List<Segment> there = segments;
        for (int i = there.size() - 1; i >= 0; i--) {
            if (there.get(i).first <= n) {
                return there.get(i);
            }
        }
        return null;
    }

    // ---- what the stores have ----

    /** Store {@code store} has everything up to {@code n}. */
    public void acknowledge(String store, long n) {
        synchronized (acknowledged) {
            Long before = acknowledged.get(store);
            boolean known = before != null || acknowledged.size() < MOST_STORES;
            if (known && n >= 0 && n <= last && (before == null || before != n)) {
                acknowledged.put(store, n);
                acknowledgedChanged = true;
            }
        }
    }

    /** What {@code store} is known to have, 0 when it is not known. */
    public long acknowledged(String store) {
        synchronized (acknowledged) {
            return acknowledged.getOrDefault(store, 0L);
        }
    }

    /** What every known store has; 0 when none is known. */
    public long everybodyHas() {
        synchronized (acknowledged) {
            return acknowledged.values().stream().mapToLong(Long::longValue).min().orElse(0);
        }
    }

    private void readAcknowledged() throws IOException {
        if (!disk.names().contains(ACKNOWLEDGED_FILE)) {
            return;
        }
        for (String line :
                new String(bytes(ACKNOWLEDGED_FILE), StandardCharsets.UTF_8).lines().toList()) {
            String[] cells = line.split("\t", -1);
            if (cells.length == 2 && cells[1].matches("\\d{1,18}")) {
                acknowledge(cells[0], Long.parseLong(cells[1]));
            }
        }
    }

    /**
     * Keeps what the stores have for the next start; only the giving up of closed hours needs it.
     */
    public void keepAcknowledged() {
        StringBuilder text = new StringBuilder();
        synchronized (acknowledged) {
            if (!acknowledgedChanged) {
                return;
            }
            acknowledgedChanged = false;
            acknowledged.forEach(
                    (store, n) -> text.append(store).append('\t').append(n).append('\n'));
        }
        synchronized (writeLock) {
            try {
                replace(ACKNOWLEDGED_FILE, text.toString().getBytes(StandardCharsets.UTF_8));
            } catch (IOException e) {
                trouble = "positions of the stores not kept: " + e.getMessage();
            }
        }
    }

    // ---- meters ----

    public long queuedBytes() {
        synchronized (queueLock) {
            return queuedBytes;
        }
    }

    public long lostSeconds() {
        synchronized (queueLock) {
            return lostSeconds;
        }
    }

    public long lostEvents() {
        synchronized (queueLock) {
            return lostEvents;
        }
    }

    /** False while seconds are given up because the disk is nearly full. */
    public boolean keepsSeconds() {
        return keepsSeconds;
    }

    /** What went wrong last, or null. */
    public @Nullable String trouble() {
        return trouble;
    }

    /** Writes what is queued and closes the files. The open hour stays plain. */
    @Override
    public void close() {
        writeOut();
        keepAcknowledged();
        synchronized (writeLock) {
            abandon();
        }
    }
}
