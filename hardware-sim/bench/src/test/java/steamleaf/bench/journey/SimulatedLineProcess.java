package steamleaf.bench.journey;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import steamleaf.bench.LineProcess;

/** Starts the demo's second process: the controller on the simulated line. */
final class SimulatedLineProcess {
    private SimulatedLineProcess() {}

    /** With the built-in broker on that port, as fast as it goes while nobody is waited for. */
    static Child start(Path folder, int port) {
        return start(folder, port, List.of("--broker"));
    }

    static Child start(Path folder, int port, List<String> more) {
        List<String> arguments =
                new ArrayList<>(
                        List.of(
                                "--folder",
                                folder.toString(),
                                "--mqtt",
                                "127.0.0.1:" + port,
                                "--empty",
                                "--speed",
                                "600"));
        arguments.addAll(more);
        Child line = Child.java(LineProcess.class.getName(), arguments);
        try {
            line.awaitLine("steamleaf-line: ready");
        } catch (AssertionError e) {
            line.close();
            throw e;
        }
        return line;
    }

    static int freePort() throws IOException {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }
}
