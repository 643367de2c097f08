package steamleaf.monitor.notice;

import com.interaso.webpush.VapidKeys;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The key pair by which push services know this monitor (RFC 8292), made at the first start and
 * kept in a file that only its owner may read: whoever has it can send pushes in our name.
 */
public final class PushKeys {
    private static final Set<PosixFilePermission> OWNER =
            EnumSet.of(PosixFilePermission.OWNER_READ, PosixFilePermission.OWNER_WRITE);

    private PushKeys() {}

    /** Why this file may not be used, or null. A file that is not there yet is fine. */
    public static @Nullable String refusal(Path file) {
        try {
            if (!Files.exists(file)) {
                return null;
            }
            Set<PosixFilePermission> is = Files.getPosixFilePermissions(file);
            if (!OWNER.containsAll(is)) {
                return file.getFileName()
                        + " may be used by others ("
                        + PosixFilePermissions.toString(is)
                        + "), allowed: rw------- (chmod 600)";
            }
            read(file);
            return null;
        } catch (IOException | RuntimeException _) {
            return file.getFileName()
                    + " holds no push keys, allowed: the file that the monitor made, or none, then it makes one";
        }
    }

    private static VapidKeys read(Path file) throws IOException {
        List<String> lines = Files.readAllLines(file, StandardCharsets.US_ASCII);
        if (lines.size() != 2) {
            throw new IOException("two lines");
        }
        return VapidKeys.create(lines.get(0).strip(), lines.get(1).strip());
    }

    static VapidKeys of(Path file) {
        try {
            if (!Files.exists(file)) {
                VapidKeys keys = VapidKeys.generate();
                Files.createFile(file, PosixFilePermissions.asFileAttribute(OWNER));
                Files.writeString(
                        file,
                        keys.getX509PublicKey() + "\n" + keys.getPkcs8PrivateKey() + "\n",
                        StandardOpenOption.SYNC);
                return keys;
            }
            return read(file);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
