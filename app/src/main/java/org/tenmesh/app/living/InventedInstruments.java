package org.tenmesh.app.living;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.simulator.exports.Export;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;

/**
 * The instruments of the invented laboratory and the file that tells the program where they send.
 *
 * @param settings the file of sources
 * @param sending how each instrument sends, by its name
 */
public record InventedInstruments(Path settings, Map<String, Sending> sending) {
    private static final List<String> HEADS = List.of("PH1", "PH2");
    private static final List<String> PLASMAS = List.of("ICP1", "ICP2");
    private static final String ROBOT = "LOI1";
    /** How long a plasma says nothing before its run is over, at the usual speed. */
    private static final double SILENCE_SECONDS = 15;

    /** A slow machine pauses longer than a fast day would. */
    private static final int SHORTEST_SILENCE_SECONDS = 6;

    public InventedInstruments {
        sending = Map.copyOf(sending);
    }

    /**
     * Writes the sources and their readers into a folder.
     *
     * @param zone of the laboratory
     * @param speed how many times faster than usual the day is played
     */
    public static InventedInstruments in(Path folder, String zone, double speed) throws IOException {
        long silenceSeconds = Math.max(SHORTEST_SILENCE_SECONDS, Math.round(SILENCE_SECONDS / speed));
        Files.createDirectories(folder);
        for (Export export : Export.values()) {
            Files.writeString(folder.resolve(export.readerName() + ".yaml"), export.reader());
        }
        Map<String, Sending> sending = new LinkedHashMap<>();
        StringBuilder text = new StringBuilder("# Sources of the invented laboratory, written anew at each start.\n")
                .append("zone: ")
                .append(zone)
                .append("\nsources:\n");
        for (String head : HEADS) {
            int port = freePort();
            sending.put(head, new Sending.OverLine(port));
            source(text, head, "lines", ElectrodeModel.METHOD, Export.PROBES)
                    .append("    listen: 127.0.0.1:")
                    .append(port)
                    .append("\n    begins: \"^begin (.+)$\"\n    ends: \"^end$\"\n");
        }
        for (String plasma : PLASMAS) {
            Path drop = folder.resolve("exports-" + plasma);
            Files.createDirectories(drop);
            sending.put(plasma, new Sending.GrowingFile(drop));
            source(text, plasma, "folder", EmissionModel.METHOD, Export.PLASMA)
                    .append("    folder: exports-")
                    .append(plasma)
                    .append(
                            "\n    files: \"*.csv\"\n    quiet_seconds: 1\n    look_seconds: 1\n    taken: leave\n    silence_seconds: ")
                    .append(silenceSeconds)
                    .append('\n');
        }
        Path drop = folder.resolve("exports-" + ROBOT);
        Files.createDirectories(drop);
        sending.put(ROBOT, new Sending.WholeFile(drop));
        source(text, ROBOT, "folder", IgnitionModel.METHOD, Export.WEIGHINGS)
                .append("    folder: exports-")
                .append(ROBOT)
                .append("\n    files: \"*.csv\"\n    quiet_seconds: 1\n    look_seconds: 1\n");
        return new InventedInstruments(Files.writeString(folder.resolve("capture.yaml"), text), sending);
    }

    private static StringBuilder source(
            StringBuilder text, String instrument, String kind, String method, Export export) {
        return text.append("  - name: ")
                .append(instrument)
                .append("\n    kind: ")
                .append(kind)
                .append("\n    instrument: ")
                .append(instrument)
                .append("\n    method: ")
                .append(method)
                .append("\n    reader: ")
                .append(export.readerName())
                .append(".yaml\n    order: planned\n");
    }

    private static int freePort() throws IOException {
        try (ServerSocket any = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return any.getLocalPort();
        }
    }
}
