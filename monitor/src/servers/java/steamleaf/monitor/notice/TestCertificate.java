package steamleaf.monitor.notice;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.util.Base64;
import javax.net.ssl.KeyManagerFactory;
import javax.net.ssl.SSLContext;

/** A certificate for this machine, made by the JDK's own keytool, for servers of tests. */
public final class TestCertificate {
    private static final char[] PASSWORD = "changeit".toCharArray();
    private final KeyStore store;
    private final Path pem;

    public TestCertificate(Path folder) throws IOException, GeneralSecurityException {
        this(folder, "dns:localhost,ip:127.0.0.1");
    }

    /** For a server of those names. */
    public TestCertificate(Path folder, String names)
            throws IOException, GeneralSecurityException {
        Path file = folder.resolve("server.p12");
        Process keytool =
                new ProcessBuilder(
                                Path.of(System.getProperty("java.home"), "bin", "keytool")
                                        .toString(),
                                "-genkeypair",
                                "-alias",
                                "server",
                                "-keyalg",
                                "EC",
                                "-groupname",
                                "secp256r1",
                                "-dname",
                                "CN=localhost",
                                "-ext",
                                "san=" + names,
                                "-validity",
                                "30",
                                "-storetype",
                                "PKCS12",
                                "-keystore",
                                file.toString(),
                                "-storepass",
                                new String(PASSWORD))
                        .redirectErrorStream(true)
                        .start();
        String said = new String(keytool.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        try {
            if (keytool.waitFor() != 0) {
                throw new IOException(said);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IOException(e);
        }
        store = KeyStore.getInstance("PKCS12");
        try (InputStream in = Files.newInputStream(file)) {
            store.load(in, PASSWORD);
        }
        Certificate certificate = store.getCertificate("server");
        pem = folder.resolve("trusted.pem");
        Files.writeString(
                pem,
                "-----BEGIN CERTIFICATE-----\n"
                        + Base64.getMimeEncoder().encodeToString(certificate.getEncoded())
                        + "\n-----END CERTIFICATE-----\n");
    }

    /** The file that a client trusts. */
    public Path pem() {
        return pem;
    }

    public SSLContext server() throws GeneralSecurityException {
        KeyManagerFactory keys =
                KeyManagerFactory.getInstance(KeyManagerFactory.getDefaultAlgorithm());
        keys.init(store, PASSWORD);
        SSLContext context = SSLContext.getInstance("TLS");
        context.init(keys.getKeyManagers(), null, null);
        return context;
    }
}
