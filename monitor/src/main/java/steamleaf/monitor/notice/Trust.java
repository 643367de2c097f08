package steamleaf.monitor.notice;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.security.cert.X509Certificate;
import java.util.Collection;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManager;
import javax.net.ssl.TrustManagerFactory;
import javax.net.ssl.X509TrustManager;
import org.jspecify.annotations.Nullable;

/** Whose certificates are believed: those of this Java, and those of the site's own file. */
public final class Trust {
    private Trust() {}

    /** The certificates of a PEM file; not empty. */
    public static Collection<? extends Certificate> certificates(Path file)
            throws IOException, GeneralSecurityException {
        try (InputStream in = Files.newInputStream(file)) {
            Collection<? extends Certificate> all =
                    CertificateFactory.getInstance("X.509").generateCertificates(in);
            if (all.isEmpty()) {
                throw new GeneralSecurityException("no certificate");
            }
            return all;
        }
    }

    static SSLContext with(@Nullable Path file) {
        try {
            SSLContext context = SSLContext.getInstance("TLS");
            if (file == null) {
                context.init(null, null, null);
                return context;
            }
            KeyStore all = KeyStore.getInstance(KeyStore.getDefaultType());
            all.load(null, null);
            int n = 0;
            for (TrustManager manager : managers(null)) {
                if (manager instanceof X509TrustManager x509) {
                    for (X509Certificate usual : x509.getAcceptedIssuers()) {
                        all.setCertificateEntry("usual-" + n++, usual);
                    }
                }
            }
            for (Certificate own : certificates(file)) {
                all.setCertificateEntry("own-" + n++, own);
            }
            context.init(null, managers(all), null);
            return context;
        } catch (GeneralSecurityException | IOException e) {
            throw new IllegalStateException("TLS can't be set up with " + file, e);
        }
    }

    private static TrustManager[] managers(@Nullable KeyStore store)
            throws GeneralSecurityException {
        TrustManagerFactory factory =
                TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
        factory.init(store);
        return factory.getTrustManagers();
    }
}
