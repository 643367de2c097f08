package steamleaf.monitor.live;

import steamleaf.contract.AnswerMessage;
import steamleaf.contract.CommandMessage;
import steamleaf.contract.StandIn;

/** The way from a page to the line. */
public interface Asking {
    /** Sends the command and waits for its answer. */
    Reply ask(CommandMessage command);

    /**
     * Presses a simulated button where a simulator stands in for the machine.
     *
     * @return false when it could not be sent
     */
    boolean press(StandIn press);

    /** The name under which answers come back. */
    String client();

    /** What came of a question. */
    sealed interface Reply {
        record Answered(AnswerMessage answer) implements Reply {}

        /** Nothing was sent: there is no connection. */
        record NotSent() implements Reply {}

        /** It was sent, and no answer came in time: it may have been carried out. */
        record NoAnswer() implements Reply {}
    }
}
