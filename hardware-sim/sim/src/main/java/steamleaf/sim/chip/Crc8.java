package steamleaf.sim.chip;

/** The checksum behind every word of the humidity sensor. */
final class Crc8 {
    private static final byte[] TABLE = table();

    private Crc8() {}

    /**
     * Polynomial 31h, start FFh, not reflected, no final exclusive-or. Source: SHT3x-DIS v5 (May
     * 2018) table 20.
     */
    static byte of(byte[] bytes, int offset) {
        int crc = 0xFF;
        crc = TABLE[crc ^ (bytes[offset] & 0xFF)] & 0xFF;
        return TABLE[crc ^ (bytes[offset + 1] & 0xFF)];
    }

    private static byte[] table() {
        byte[] table = new byte[256];
        for (int i = 0; i < table.length; i++) {
            int crc = i;
            for (int bit = 0; bit < 8; bit++) {
                crc = (crc & 0x80) != 0 ? crc << 1 ^ 0x31 : crc << 1;
            }
            table[i] = (byte) crc;
        }
        return table;
    }
}
