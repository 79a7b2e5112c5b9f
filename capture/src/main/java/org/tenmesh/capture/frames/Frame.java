package org.tenmesh.capture.frames;

import java.nio.charset.StandardCharsets;
import java.util.Locale;

/**
 * One frame of ASTM E1381 (CLSI LIS01-A2): {@code STX FN text (ETB|ETX) C1 C2 CR LF}.
 *
 * @param number FN, 0 to 7
 * @param text what it carries, ISO 8859-1
 * @param last whether the text ends a record (ETX), or the next frame goes on with it (ETB)
 */
public record Frame(int number, String text, boolean last) {
    public static final int STX = 0x02;
    public static final int ETX = 0x03;
    public static final int EOT = 0x04;
    public static final int ENQ = 0x05;
    public static final int ACK = 0x06;
    public static final int LF = 0x0A;
    public static final int CR = 0x0D;
    public static final int NAK = 0x15;
    public static final int ETB = 0x17;

    /** The number of the frame after this one: 1 to 7, then 0. */
    public static int after(int number) {
        return (number + 1) % 8;
    }

    /** Two upper-case hexadecimal digits: the sum of all bytes from FN to ETB or ETX, modulo 256. */
    public String checksum() {
        int sum = '0' + number + (last ? ETX : ETB);
        for (byte one : text.getBytes(StandardCharsets.ISO_8859_1)) {
            sum += one & 0xff;
        }
        return String.format(Locale.ROOT, "%02X", sum & 0xff);
    }

    /** As it is sent. */
    public byte[] bytes() {
        String all = (char) STX
                + Integer.toString(number)
                + text
                + (char) (last ? ETX : ETB)
                + checksum()
                + (char) CR
                + (char) LF;
        return all.getBytes(StandardCharsets.ISO_8859_1);
    }
}
