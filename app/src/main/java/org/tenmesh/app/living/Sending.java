package org.tenmesh.app.living;

import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.exports.Export;

/** How an instrument of the invented laboratory hands over what it reads: over a line or into a folder, as a real one would. */
interface Sending {
    /** The run begins. */
    void begin(Run run) throws IOException;

    /** Sends some of its readings. */
    void send(Run run, Readings some) throws IOException;

    /** Nothing more of the run is to come. */
    void end(Run run) throws IOException;

    /** Lines over TCP to the program's port; a line before the run names it, a line after it ends it. */
    final class OverLine implements Sending {
        private final int port;
        private @Nullable Socket socket;

        OverLine(int port) {
            this.port = port;
        }

        @Override
        public void begin(Run run) throws IOException {
            lines(List.of("begin " + run.run()));
        }

        @Override
        public void send(Run run, Readings some) throws IOException {
            lines(Export.PROBES.rows(some));
        }

        @Override
        public void end(Run run) throws IOException {
            lines(List.of("end"));
        }

        private void lines(List<String> lines) throws IOException {
            if (socket == null) {
                socket = new Socket(InetAddress.getLoopbackAddress(), port);
            }
            OutputStream out = socket.getOutputStream();
            out.write((String.join("\n", lines) + "\n").getBytes(StandardCharsets.UTF_8));
            out.flush();
        }
    }

    /** A table in a folder that grows by a rack of vessels at a time. */
    final class GrowingFile implements Sending {
        private static final int RACK = 12;

        private final Path folder;
        private final List<String> rack = new ArrayList<>();

        GrowingFile(Path folder) {
            this.folder = folder;
        }

        @Override
        public void begin(Run run) {
            rack.addAll(Export.PLASMA.head(run.readings()));
        }

        @Override
        public void send(Run run, Readings some) throws IOException {
            rack.addAll(Export.PLASMA.rows(some, run.readings().quantities()));
            if (rack.size() >= RACK) {
                end(run);
            }
        }

        @Override
        public void end(Run run) throws IOException {
            if (!rack.isEmpty()) {
                append(run, rack);
                rack.clear();
            }
        }

        private void append(Run run, List<String> lines) throws IOException {
            Files.createDirectories(folder);
            Files.writeString(
                    folder.resolve(run.run() + ".csv"),
                    String.join("\n", lines) + "\n",
                    StandardOpenOption.CREATE,
                    StandardOpenOption.APPEND);
        }
    }

    /** A list that is written when the last crucible was weighed. */
    record WholeFile(Path folder) implements Sending {
        @Override
        public void begin(Run run) {
            // The robot writes its list at the end.
        }

        @Override
        public void send(Run run, Readings some) {
            // As above.
        }

        @Override
        public void end(Run run) throws IOException {
            StringBuilder text = new StringBuilder();
            Export.WEIGHINGS
                    .head(run.readings())
                    .forEach(line -> text.append(line).append('\n'));
            Export.WEIGHINGS
                    .rows(run.readings())
                    .forEach(line -> text.append(line).append('\n'));
            Files.createDirectories(folder);
            Path part = Files.writeString(folder.resolve("." + run.run() + ".part"), text);
            Files.move(part, folder.resolve(run.run() + ".csv"), StandardCopyOption.ATOMIC_MOVE);
        }
    }
}
