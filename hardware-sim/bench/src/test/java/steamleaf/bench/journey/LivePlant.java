package steamleaf.bench.journey;

import java.time.Duration;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import steamleaf.sim.SimulatedLine;
import steamleaf.sim.board.Board;
import steamleaf.sim.board.Socketed;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.plant.UnitTruth;

/**
 * Plant, board and watchdog relay, living at real time in this process while the program that
 * drives them is another one. When this machine is too busy the plant's time is late, never the
 * other way round: it never makes more than a few steps in a burst, so a relay that drops here has
 * really seen no edge for its time.
 */
final class LivePlant implements AutoCloseable {
    static final double STEP_S = 0.02;
    private static final long STEP_NS = 20_000_000L;
    private static final long MOST_STEPS = 5;

    private final SimulatedLine line;
    private final Socketed socket;
    private final Thread time;
    private volatile boolean ending;
    private double openSinceS = Double.NaN;
    private double hornSinceS = Double.NaN;
    private double beltStandsSinceS = Double.NaN;
    private double noSteamSinceS = Double.NaN;

    private LivePlant(PlantSettings settings, long seed) {
        line = SimulatedLine.open(settings, Board.stock(), seed);
        socket = Socketed.open(line.circuit(), line);
        time = Thread.ofPlatform().daemon().name("plant's time").unstarted(this::live);
    }

    static LivePlant start(PlantSettings settings, long seed) {
        LivePlant plant = new LivePlant(settings, seed);
        plant.time.start();
        return plant;
    }

    int port() {
        return socket.port();
    }

    private void live() {
        long nextNs = System.nanoTime();
        try {
            while (!ending) {
                synchronized (line) {
                    TimeUnit.NANOSECONDS.timedWait(line, STEP_NS); // the socket has its turn
                    long nowNs = System.nanoTime();
                    nextNs = Math.max(nextNs, nowNs - MOST_STEPS * STEP_NS);
                    for (; nextNs < nowNs; nextNs += STEP_NS) {
                        step();
                    }
                    line.notifyAll();
                }
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private void step() {
        line.advance(STEP_S);
        double nowS = line.timeS();
        UnitTruth steamer = line.plant().truth("steamer");
        openSinceS = since(openSinceS, !line.plant().contactorClosed(), nowS);
        hornSinceS = since(hornSinceS, line.plant().hornSounds(), nowS);
        beltStandsSinceS = since(beltStandsSinceS, steamer.beltMPerS <= 0.0, nowS);
        noSteamSinceS = since(noSteamSinceS, steamer.steamKgPerS <= 0.0, nowS);
    }

    private static double since(double sinceS, boolean so, double nowS) {
        if (!so) {
            return Double.NaN;
        }
        return Double.isNaN(sinceS) ? nowS : sinceS;
    }

    /** Plant time since when the belt has stood, NaN while it moves. */
    double beltStandsSinceS() {
        synchronized (line) {
            return beltStandsSinceS;
        }
    }

    /** Plant time since when no steam has flowed, NaN while it flows. */
    double noSteamSinceS() {
        synchronized (line) {
            return noSteamSinceS;
        }
    }

    /** Plant time since when the contactor has been open, NaN while it is closed. */
    double contactorOpenSinceS() {
        synchronized (line) {
            return openSinceS;
        }
    }

    /** Plant time since when the horn has sounded, NaN while it is quiet. */
    double hornSinceS() {
        synchronized (line) {
            return hornSinceS;
        }
    }

    /** Opening of the first oven's exhaust damper. */
    double damper() {
        synchronized (line) {
            return line.plant().truth("oven-1").damper;
        }
    }

    void act(Consumer<SimulatedLine> hands) {
        synchronized (line) {
            hands.accept(line);
        }
    }

    double timeS() {
        synchronized (line) {
            return line.timeS();
        }
    }

    /** Waits until it is so; looked at after each few steps. */
    void await(String what, Duration patience, BooleanSupplier so) {
        long untilNs = System.nanoTime() + patience.toNanos();
        synchronized (line) {
            while (!so.getAsBoolean()) {
                long leftNs = untilNs - System.nanoTime();
                if (leftNs <= 0) {
                    throw new AssertionError(what + " did not come within " + patience);
                }
                try {
                    TimeUnit.NANOSECONDS.timedWait(line, leftNs);
                } catch (InterruptedException e) {
                    Thread.currentThread().interrupt();
                    throw new AssertionError(e);
                }
            }
        }
    }

    @Override
    public void close() {
        ending = true;
        try {
            time.join(Duration.ofSeconds(10));
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
        socket.close();
        line.close();
    }
}
