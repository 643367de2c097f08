package steamleaf.bench;

import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Floor;
import steamleaf.core.reading.UnitId;

/** What people at the panel see of the controller and how they speak to it. */
public interface Talk {
    /** Seconds of line time since this controller was started. */
    double nowS();

    /** Batches and open prompts as the panel shows them. */
    Floor floor();

    /** A trip stands at this unit or at the whole line. */
    boolean tripped(UnitId unit);

    /** Sends a command on behalf of the person, as seen now. */
    void send(String unit, String kind, Args args);
}
