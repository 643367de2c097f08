package steamleaf.bench;

import steamleaf.contract.CommandMessage.Args;
import steamleaf.core.batch.Floor;

/** What people at the panel see of the controller and how they speak to it. */
interface Talk {
    /** The line's time axis, seconds. */
    double nowS();

    /** Batches and open prompts as the panel shows them. */
    Floor floor();

    /** Sends a command on behalf of the person, as seen now. */
    void send(String unit, String kind, Args args);
}
