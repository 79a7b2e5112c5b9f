package org.tenmesh.capture.frames;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.util.List;

/** A simulated analyser: the sending side of the frame protocol, as ASTM E1381 describes it. */
final class FrameSender {
    private static final int MOST_TRIES = 6;

    private final int port;

    FrameSender(int port) {
        this.port = port;
    }

    /** Sends a whole message; how many frames were sent a second time. */
    int send(List<String> records) throws IOException, InterruptedException {
        try (Socket socket = connected()) {
            return session(socket, records);
        }
    }

    /** Sends the first records, then the beginning of the next one, and cuts the connection. */
    void cutInside(List<String> records, int whole) throws IOException, InterruptedException {
        try (Socket socket = connected()) {
            OutputStream out = socket.getOutputStream();
            InputStream in = socket.getInputStream();
            out.write(Frame.ENQ);
            expect(in);
            for (int i = 0; i < whole; i++) {
                out.write(new Frame((i + 1) % 8, records.get(i) + "\r", true).bytes());
                expect(in);
            }
            byte[] next = new Frame((whole + 1) % 8, records.get(whole) + "\r", true).bytes();
            out.write(next, 0, next.length - 5);
            out.flush();
        }
    }

    private Socket connected() throws IOException, InterruptedException {
        for (int i = 0; ; i++) {
            try {
                Socket socket = new Socket(InetAddress.getLoopbackAddress(), port);
                socket.setSoTimeout(15_000);
                return socket;
            } catch (IOException notYet) {
                if (i > 100) {
                    throw notYet;
                }
                Thread.sleep(50);
            }
        }
    }

    private static int session(Socket socket, List<String> records) throws IOException {
        OutputStream out = socket.getOutputStream();
        InputStream in = socket.getInputStream();
        int again = 0;
        out.write(Frame.ENQ);
        expect(in);
        int number = 1;
        for (String record : records) {
            byte[] frame = new Frame(number, record + "\r", true).bytes();
            for (int tries = 1; ; tries++) {
                out.write(frame);
                out.flush();
                int answer = in.read();
                if (answer == Frame.ACK) {
                    break;
                }
                again++;
                if (answer != Frame.NAK || tries == MOST_TRIES) {
                    out.write(Frame.EOT);
                    throw new IOException("given up after " + tries + " tries");
                }
            }
            number = Frame.after(number);
        }
        out.write(Frame.EOT);
        out.flush();
        return again;
    }

    private static void expect(InputStream in) throws IOException {
        int answer = in.read();
        if (answer != Frame.ACK) {
            throw new IOException("answered " + answer);
        }
    }
}
