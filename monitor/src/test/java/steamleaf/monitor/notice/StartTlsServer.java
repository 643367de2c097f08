package steamleaf.monitor.notice;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Writer;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.LinkedBlockingQueue;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocket;

/**
 * As much of RFC 5321 with STARTTLS (RFC 3207) as one mail needs; keeps what it heard in the clear.
 */
final class StartTlsServer implements AutoCloseable {
    final List<String> heardInTheClear = new CopyOnWriteArrayList<>();
    final BlockingQueue<String> mails = new LinkedBlockingQueue<>();
    private final ServerSocket listening;
    private final SSLContext tls;
    private final boolean offers;

    /**
     * @param offers whether it offers STARTTLS
     */
    StartTlsServer(TestCertificate certificate, boolean offers) throws Exception {
        this.tls = certificate.server();
        this.offers = offers;
        listening = new ServerSocket(0, 4, InetAddress.getLoopbackAddress());
        Thread.ofVirtual().start(this::listen);
    }

    int port() {
        return listening.getLocalPort();
    }

    private void listen() {
        while (!listening.isClosed()) {
            try (Socket socket = listening.accept()) {
                talk(socket, false);
            } catch (IOException e) {
                // the client went, or the test is over
            }
        }
    }

    private void talk(Socket socket, boolean secured) throws IOException {
        BufferedReader in =
                new BufferedReader(
                        new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
        Writer out =
                new java.io.OutputStreamWriter(socket.getOutputStream(), StandardCharsets.UTF_8);
        if (!secured) {
            say(out, "220 test");
        }
        for (String line = in.readLine(); line != null; line = in.readLine()) {
            if (!secured) {
                heardInTheClear.add(line);
            }
            switch (line.split(" ", 2)[0].toUpperCase(Locale.ROOT)) {
                case "EHLO" -> {
                    say(out, "250-test");
                    if (!secured && offers) {
                        say(out, "250-STARTTLS");
                    }
                    say(out, "250 AUTH PLAIN");
                }
                case "STARTTLS" -> {
                    say(out, "220 go");
                    SSLSocket inner =
                            (SSLSocket)
                                    tls.getSocketFactory()
                                            .createSocket(socket, null, socket.getPort(), true);
                    inner.setUseClientMode(false);
                    talk(inner, true);
                    return;
                }
                case "AUTH" -> say(out, "235 yes");
                case "DATA" -> {
                    say(out, "354 send");
                    StringBuilder mail = new StringBuilder();
                    for (String part = in.readLine(); !part.equals("."); part = in.readLine()) {
                        mail.append(part).append('\n');
                    }
                    mails.add(mail.toString());
                    say(out, "250 taken");
                }
                case "QUIT" -> {
                    say(out, "221 bye");
                    return;
                }
                default -> say(out, "250 well");
            }
        }
    }

    private static void say(Writer out, String line) throws IOException {
        out.write(line + "\r\n");
        out.flush();
    }

    @Override
    public void close() throws IOException {
        listening.close();
    }
}
