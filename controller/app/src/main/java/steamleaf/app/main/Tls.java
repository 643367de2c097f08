package steamleaf.app.main;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;
import org.jspecify.annotations.Nullable;

/** TLS to the broker. */
final class Tls {
    private Tls() {}

    /**
     * @param authorities certificates to trust, PEM; null for the system's
     */
    static SSLSocketFactory factory(@Nullable Path authorities) throws IOException {
        try {
            SSLContext context = SSLContext.getInstance("TLS");
            TrustManagerFactory trust =
                    TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
            trust.init(authorities == null ? null : store(authorities));
            context.init(null, trust.getTrustManagers(), null);
            return context.getSocketFactory();
        } catch (GeneralSecurityException e) {
            throw new IOException("mqtt.tls: " + e.getMessage(), e);
        }
    }

    private static KeyStore store(Path authorities) throws IOException, GeneralSecurityException {
        KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
        store.load(null, null);
        int count = 0;
        try (InputStream in = Files.newInputStream(authorities)) {
            for (Certificate certificate :
                    CertificateFactory.getInstance("X.509").generateCertificates(in)) {
                store.setCertificateEntry("authority-" + count++, certificate);
            }
        }
        if (count == 0) {
            throw new IOException(
                    "mqtt.tls.authorityFile: no certificate in " + authorities + ", allowed: PEM");
        }
        return store;
    }
}
