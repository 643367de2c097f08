package steamleaf.app.journal;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.zip.CRC32C;

/**
 * One line as it stands in the file and crosses the wire:
 *
 * <pre>
 *   {"journal":"ID","n":17, … ,"crc":"1a2b3c4d"}\n
 * </pre>
 *
 * The checksum is CRC-32C over every byte before {@code ,"crc"}, as eight hexadecimal digits.
 */
final class Frame {
    private static final byte[] CRC_KEY = ",\"crc\":\"".getBytes(StandardCharsets.US_ASCII);

    /** Bytes of {@code ,"crc":"xxxxxxxx"}} without the line feed. */
    private static final int TAIL = CRC_KEY.length + 8 + 2;

    private final byte[] prefix;
    private final CRC32C crc = new CRC32C();

    Frame(String journal) {
        prefix = ("{\"journal\":\"" + journal + "\",\"n\":").getBytes(StandardCharsets.UTF_8);
    }

    /** Appends the framed line, line feed included. {@code object} is one JSON object. */
    void write(long n, byte[] object, ByteArrayOutputStream out) {
        byte[] number = Long.toString(n).getBytes(StandardCharsets.US_ASCII);
        crc.reset();
        crc.update(prefix, 0, prefix.length);
        crc.update(number, 0, number.length);
        crc.update(',');
        crc.update(object, 1, object.length - 2);
        out.write(prefix, 0, prefix.length);
        out.write(number, 0, number.length);
        out.write(',');
        out.write(object, 1, object.length - 2);
        out.write(CRC_KEY, 0, CRC_KEY.length);
        long sum = crc.getValue();
        for (int shift = 28; shift >= 0; shift -= 4) {
            out.write(Character.forDigit((int) (sum >> shift) & 0xF, 16));
        }
        out.write('"');
        out.write('}');
        out.write('\n');
    }

    /** The number of a whole, undamaged line of this journal (without line feed), or −1. */
    long numberOf(byte[] line, int offset, int length) {
        int end = length - TAIL;
        if (end <= prefix.length || !startsWith(prefix, line, offset)) {
            return -1;
        }
        if (!startsWith(CRC_KEY, line, offset + end)
                || line[offset + length - 1] != '}'
                || line[offset + length - 2] != '"') {
            return -1;
        }
        long stated = 0;
        for (int i = 0; i < 8; i++) {
            int digit = Character.digit(line[offset + end + CRC_KEY.length + i], 16);
            if (digit < 0) {
                return -1;
            }
            stated = stated << 4 | digit;
        }
        crc.reset();
        crc.update(line, offset, end);
        return crc.getValue() == stated ? number(line, offset + prefix.length) : -1;
    }

    private static long number(byte[] line, int at) {
        long n = 0;
        int i = at;
        while (line[i] >= '0' && line[i] <= '9') {
            n = n * 10 + line[i] - '0';
            i++;
        }
        return i > at && line[i] == ',' ? n : -1;
    }

    private static boolean startsWith(byte[] start, byte[] line, int offset) {
        for (int i = 0; i < start.length; i++) {
            if (line[offset + i] != start[i]) {
                return false;
            }
        }
        return true;
    }
}
