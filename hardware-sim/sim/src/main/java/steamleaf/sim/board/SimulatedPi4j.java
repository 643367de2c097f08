package steamleaf.sim.board;

import com.pi4j.Pi4J;
import com.pi4j.context.Context;

/** The way in for a program: a Pi4J context whose buses and pins are a circuit's. */
public final class SimulatedPi4j {
    private SimulatedPi4j() {}

    /**
     * A context with exactly the four providers below, so that each kind of input or output finds
     * its own.
     */
    public static Context context(Circuit circuit) {
        return on(circuit);
    }

    /** The same over a cable, where the board lives in another process. */
    public static Context overCable(int port) {
        return on(Cable.plug(port));
    }

    private static Context on(Ends circuit) {
        return Pi4J.newContextBuilder()
                .noAutoDetect()
                .noAutoInject()
                .disableShutdownHook()
                .add(
                        new BoardI2cProvider(circuit),
                        new BoardSpiProvider(circuit),
                        new BoardDigitalOutputProvider(circuit),
                        new BoardDigitalInputProvider(circuit))
                .build();
    }
}
