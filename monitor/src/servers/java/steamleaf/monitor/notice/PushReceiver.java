package steamleaf.monitor.notice;

import com.fasterxml.jackson.databind.JsonNode;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpsConfigurator;
import com.sun.net.httpserver.HttpsServer;
import java.io.IOException;
import java.math.BigInteger;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.AlgorithmParameters;
import java.security.GeneralSecurityException;
import java.security.KeyFactory;
import java.security.KeyPair;
import java.security.KeyPairGenerator;
import java.security.SecureRandom;
import java.security.Signature;
import java.security.interfaces.ECPrivateKey;
import java.security.interfaces.ECPublicKey;
import java.security.spec.ECGenParameterSpec;
import java.security.spec.ECParameterSpec;
import java.security.spec.ECPoint;
import java.security.spec.ECPrivateKeySpec;
import java.security.spec.ECPublicKeySpec;
import java.util.Arrays;
import java.util.Base64;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.atomic.AtomicInteger;
import javax.crypto.Cipher;
import javax.crypto.KeyAgreement;
import javax.crypto.Mac;
import javax.crypto.spec.GCMParameterSpec;
import javax.crypto.spec.SecretKeySpec;
import org.jspecify.annotations.Nullable;
import steamleaf.contract.Codec;

/**
 * A push service and the browser behind it, written from the standards and from nothing of ours:
 * takes a message as RFC 8030 says, checks who sent it as RFC 8292 says, decrypts it as RFC 8291
 * and RFC 8188 say. Its decryption is checked with the example of RFC 8291, section 5.
 */
public final class PushReceiver implements AutoCloseable {
    private static final int SALT = 16;
    private static final int POINT = 65;

    private final HttpsServer server;
    private final ECPrivateKey privateKey;
    private final byte[] publicPoint;
    private final byte[] auth = new byte[16];
    private final BlockingQueue<Pushed> pushed = new LinkedBlockingQueue<>();
    private final BlockingQueue<String> faults = new LinkedBlockingQueue<>();
    final AtomicInteger answer = new AtomicInteger(201);

    /** One message, decrypted. */
    public record Pushed(JsonNode message, String urgency, int ttlS) {}

    public PushReceiver(TestCertificate certificate) throws IOException, GeneralSecurityException {
        KeyPairGenerator pairs = KeyPairGenerator.getInstance("EC");
        pairs.initialize(new ECGenParameterSpec("secp256r1"));
        KeyPair pair = pairs.generateKeyPair();
        privateKey = (ECPrivateKey) pair.getPrivate();
        publicPoint = point((ECPublicKey) pair.getPublic());
        new SecureRandom().nextBytes(auth);
        server = HttpsServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
        server.setHttpsConfigurator(new HttpsConfigurator(certificate.server()));
        server.createContext("/push/", this::take);
        server.start();
    }

    /** Where to push. */
    public String endpoint() {
        return origin() + "/push/phone-1";
    }

    private String origin() {
        return "https://localhost:" + server.getAddress().getPort();
    }

    public String p256dh() {
        return text(publicPoint);
    }

    public String auth() {
        return text(auth);
    }

    public BlockingQueue<Pushed> pushed() {
        return pushed;
    }

    /** What was wrong with what came. */
    public BlockingQueue<String> faults() {
        return faults;
    }

    private void take(HttpExchange exchange) throws IOException {
        int status = answer.get();
        try {
            byte[] body = exchange.getRequestBody().readAllBytes();
            String fault = status == 201 ? wrong(exchange, body) : "answered " + status;
            if (fault != null) {
                faults.add(fault);
                status = status == 201 ? 400 : status;
            } else {
                byte[] plain = decrypt(body, privateKey, publicPoint, auth);
                pushed.add(
                        new Pushed(
                                Codec.read(plain, JsonNode.class),
                                exchange.getRequestHeaders().getFirst("Urgency"),
                                Integer.parseInt(exchange.getRequestHeaders().getFirst("TTL"))));
            }
        } catch (GeneralSecurityException | Codec.Malformed | RuntimeException e) {
            faults.add(e.toString());
            status = 400;
        }
        exchange.sendResponseHeaders(status, -1);
        exchange.close();
    }

    private @Nullable String wrong(HttpExchange exchange, byte[] body)
            throws GeneralSecurityException, Codec.Malformed {
        if (!exchange.getRequestMethod().equals("POST")) {
            return "RFC 8030, 5: POST";
        }
        if (!"aes128gcm".equals(exchange.getRequestHeaders().getFirst("Content-Encoding"))) {
            return "RFC 8291, 4: Content-Encoding aes128gcm";
        }
        if (exchange.getRequestHeaders().getFirst("TTL") == null) {
            return "RFC 8030, 5.2: TTL";
        }
        if (body.length > 4_096) {
            return "RFC 8030, 7.2: at most 4,096 bytes need to be taken";
        }
        String authorization = exchange.getRequestHeaders().getFirst("Authorization");
        return authorization == null
                ? "RFC 8292, 3: Authorization"
                : vapid(authorization, origin(), System.currentTimeMillis() / 1_000);
    }

    /** RFC 8292, 2 and 3: a JWT signed with ES256 for our origin, for at most a day. */
    static @Nullable String vapid(String authorization, String origin, long nowS)
            throws GeneralSecurityException, Codec.Malformed {
        String token = "";
        String key = "";
        if (!authorization.startsWith("vapid ")) {
            return "RFC 8292, 3: scheme vapid";
        }
        for (String part : authorization.substring(6).split(",", -1)) {
            String field = part.strip();
            token = field.startsWith("t=") ? field.substring(2) : token;
            key = field.startsWith("k=") ? field.substring(2) : key;
        }
        String[] parts = token.split("\\.", -1);
        JsonNode header = Codec.read(bytes(parts[0]), JsonNode.class);
        JsonNode claims = Codec.read(bytes(parts[1]), JsonNode.class);
        Signature signature = Signature.getInstance("SHA256withECDSAinP1363Format");
        signature.initVerify(publicKey(bytes(key)));
        signature.update((parts[0] + "." + parts[1]).getBytes(StandardCharsets.US_ASCII));
        if (!header.path("alg").asText().equals("ES256") || !signature.verify(bytes(parts[2]))) {
            return "RFC 8292, 2: signature";
        }
        long expS = claims.path("exp").asLong();
        if (!claims.path("aud").asText().equals(origin)) {
            return "RFC 8292, 2: aud is " + claims.path("aud");
        }
        if (expS <= nowS || expS > nowS + 86_400) {
            return "RFC 8292, 2: exp";
        }
        return claims.path("sub").asText().startsWith("mailto:") ? null : "RFC 8292, 2.1: sub";
    }

    /** RFC 8291, 3.4 and RFC 8188, 2: one record. */
    static byte[] decrypt(byte[] body, ECPrivateKey uaPrivate, byte[] uaPublic, byte[] auth)
            throws GeneralSecurityException {
        ByteBuffer in = ByteBuffer.wrap(body);
        byte[] salt = new byte[SALT];
        in.get(salt);
        int recordSize = in.getInt();
        byte[] asPublic = new byte[in.get()];
        in.get(asPublic);
        byte[] record = new byte[in.remaining()];
        in.get(record);
        if (asPublic.length != POINT || record.length > recordSize) {
            throw new GeneralSecurityException("RFC 8188, 2.1: header");
        }
        KeyAgreement agreement = KeyAgreement.getInstance("ECDH");
        agreement.init(uaPrivate);
        agreement.doPhase(publicKey(asPublic), true);
        byte[] prkKey = hmac(auth, agreement.generateSecret());
        byte[] info = join(ascii("WebPush: info\0"), uaPublic, asPublic, new byte[] {1});
        byte[] prk = hmac(salt, hmac(prkKey, info));
        byte[] key = Arrays.copyOf(hmac(prk, ascii("Content-Encoding: aes128gcm\0\u0001")), 16);
        byte[] nonce = Arrays.copyOf(hmac(prk, ascii("Content-Encoding: nonce\0\u0001")), 12);
        Cipher cipher = Cipher.getInstance("AES/GCM/NoPadding");
        cipher.init(
                Cipher.DECRYPT_MODE,
                new SecretKeySpec(key, "AES"),
                new GCMParameterSpec(128, nonce));
        byte[] padded = cipher.doFinal(record);
        int end = padded.length - 1;
        while (end > 0 && padded[end] == 0) {
            end--;
        }
        if (padded[end] != 2) {
            throw new GeneralSecurityException("RFC 8188, 2: delimiter of the last record");
        }
        return Arrays.copyOf(padded, end);
    }

    private static byte[] hmac(byte[] key, byte[] data) throws GeneralSecurityException {
        Mac mac = Mac.getInstance("HmacSHA256");
        mac.init(new SecretKeySpec(key, "HmacSHA256"));
        return mac.doFinal(data);
    }

    private static byte[] ascii(String text) {
        return text.getBytes(StandardCharsets.US_ASCII);
    }

    private static byte[] join(byte[]... parts) {
        int length = Arrays.stream(parts).mapToInt(p -> p.length).sum();
        ByteBuffer all = ByteBuffer.allocate(length);
        for (byte[] part : parts) {
            all.put(part);
        }
        return all.array();
    }

    private static ECParameterSpec curve() throws GeneralSecurityException {
        AlgorithmParameters parameters = AlgorithmParameters.getInstance("EC");
        parameters.init(new ECGenParameterSpec("secp256r1"));
        return parameters.getParameterSpec(ECParameterSpec.class);
    }

    private static ECPublicKey publicKey(byte[] point) throws GeneralSecurityException {
        BigInteger x = new BigInteger(1, Arrays.copyOfRange(point, 1, 33));
        BigInteger y = new BigInteger(1, Arrays.copyOfRange(point, 33, POINT));
        return (ECPublicKey)
                KeyFactory.getInstance("EC")
                        .generatePublic(new ECPublicKeySpec(new ECPoint(x, y), curve()));
    }

    static ECPrivateKey privateKey(byte[] scalar) throws GeneralSecurityException {
        return (ECPrivateKey)
                KeyFactory.getInstance("EC")
                        .generatePrivate(new ECPrivateKeySpec(new BigInteger(1, scalar), curve()));
    }

    private static byte[] point(ECPublicKey key) {
        byte[] point = new byte[POINT];
        point[0] = 4;
        put(key.getW().getAffineX(), point, 1);
        put(key.getW().getAffineY(), point, 33);
        return point;
    }

    private static void put(BigInteger number, byte[] into, int at) {
        byte[] bytes = number.toByteArray();
        for (int i = 0; i < bytes.length && i < 32; i++) {
            into[at + 31 - i] = bytes[bytes.length - 1 - i];
        }
    }

    static byte[] bytes(String base64url) {
        return Base64.getUrlDecoder().decode(base64url);
    }

    private static String text(byte[] bytes) {
        return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
    }

    @Override
    public void close() {
        server.stop(0);
    }
}
