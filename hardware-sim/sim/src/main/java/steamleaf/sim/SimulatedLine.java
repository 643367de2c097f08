package steamleaf.sim;

import com.pi4j.context.Context;
import steamleaf.sim.board.Board;
import steamleaf.sim.board.Circuit;
import steamleaf.sim.board.SimulatedPi4j;
import steamleaf.sim.fault.FaultCatalogue;
import steamleaf.sim.fault.FaultDesk;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;

/**
 * A whole line without its controller: plant, board and what is broken. Time is handed in; the same
 * settings, board, seed, levels and hands give the same bits. For one thread, the one that also
 * uses {@link #pi4j}.
 */
public final class SimulatedLine implements AutoCloseable {
    private final Plant plant;
    private final Circuit circuit;
    private final Context pi4j;
    private final FaultDesk faults;
    private final Actuation actuation;

    private SimulatedLine(Plant plant, Circuit circuit) {
        this.plant = plant;
        this.circuit = circuit;
        pi4j = SimulatedPi4j.context(circuit);
        faults = new FaultDesk(new FaultCatalogue(circuit, plant));
        actuation = new Actuation(plant.ovens());
    }

    /**
     * Applies power to a line at rest.
     *
     * @throws IllegalArgumentException when board and plant do not have the same number of ovens
     */
    public static SimulatedLine open(PlantSettings settings, Board board, long seed) {
        if (settings.ovens() != board.ovens()) {
            throw new IllegalArgumentException(
                    "the plant has "
                            + settings.ovens()
                            + " ovens and the board "
                            + board.name()
                            + " has "
                            + board.ovens()
                            + "; allowed: the same number");
        }
        SimulatedLine line = new SimulatedLine(new Plant(settings, seed), new Circuit(board, seed));
        line.circuit.carryIn(line.plant.sensing(), 0);
        return line;
    }

    /** The way in for a program. */
    public Context pi4j() {
        return pi4j;
    }

    public Plant plant() {
        return plant;
    }

    public Circuit circuit() {
        return circuit;
    }

    public FaultDesk faults() {
        return faults;
    }

    /** Simulated seconds since power was applied. */
    public double timeS() {
        return plant.timeS();
    }

    /**
     * Pins to plant, one plant step, plant to chips. The length is the same in every call, at most
     * 0.2 s.
     */
    public void advance(double elapsedS) {
        faults.at(plant.timeS());
        circuit.carryOut(actuation);
        plant.step(elapsedS, actuation);
        circuit.carryIn(plant.sensing(), elapsedS);
    }

    /** Ends the Pi4J context; pins that have no shutdown state keep their last level. */
    @Override
    public void close() {
        pi4j.shutdown();
    }
}
