package steamleaf.monitor.notice;

import steamleaf.monitor.store.Outbox;

/**
 * One way to tell somebody. Sends one notice within its own time limits and says what came of it.
 */
interface Channel extends AutoCloseable {
    /** Name of the way in the store: mail, push, webhook. */
    String name();

    Outcome send(Outbox.Waiting notice) throws InterruptedException;

    @Override
    default void close() {}

    /** What came of one attempt. */
    sealed interface Outcome {
        record Delivered() implements Outcome {}

        /**
         * @param why without secrets: it is shown on a page
         * @param forGood trying again makes no sense
         */
        record Failed(String why, boolean forGood) implements Outcome {}

        /** The target says that it does not exist any more. */
        record Gone(String why) implements Outcome {}
    }
}
