package steamleaf.monitor.main;

import java.io.PrintStream;
import java.nio.file.Path;
import java.util.concurrent.CountDownLatch;
import steamleaf.monitor.Monitor;
import steamleaf.monitor.config.MonitorFile;

/** {@code monitor --config FILE}: serves the pages until it is told to end. */
public final class Main {
    private static final int FAILED = 1;
    private static final int WRONG = 2;

    private Main() {}

    public static void main(String[] arguments) throws InterruptedException {
        int code = run(arguments, System.out, System.err);
        if (code != 0) {
            System.exit(code);
        }
    }

    /**
     * Exit code 2 and every mistake on a line of its own when the configuration is wrong, 1 when it
     * can't start.
     */
    static int run(String[] arguments, PrintStream out, PrintStream err)
            throws InterruptedException {
        if (arguments.length != 2 || !arguments[0].equals("--config")) {
            err.println("usage: monitor --config FILE.yaml");
            return WRONG;
        }
        return switch (MonitorFile.read(Path.of(arguments[1]))) {
            case MonitorFile.Read.Wrong(var problems) -> {
                problems.forEach(err::println);
                yield WRONG;
            }
            case MonitorFile.Read.Good(var settings) -> {
                CountDownLatch end = new CountDownLatch(1);
                CountDownLatch ended = new CountDownLatch(1);
                Runtime.getRuntime().addShutdownHook(new Thread(() -> end(end, ended)));
                int code = 0;
                try (Monitor monitor = Monitor.start(settings)) {
                    out.println("Steamleaf monitor: " + monitor.address());
                    end.await();
                } catch (IllegalStateException e) {
                    err.println("The monitor does not start: " + e.getMessage());
                    code = FAILED;
                } finally {
                    ended.countDown();
                }
                yield code;
            }
        };
    }

    /** The process goes only when the store is closed. */
    private static void end(CountDownLatch end, CountDownLatch ended) {
        end.countDown();
        try {
            ended.await();
        } catch (InterruptedException _) {
            Thread.currentThread().interrupt();
        }
    }
}
