package org.tenmesh.capture.settings;

import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.exchange.file.Problem;

/**
 * The sources of a laboratory.
 *
 * @param sources those that can be used, in the order of the file
 * @param zone the laboratory's, for times that come without one; empty = this machine's
 * @param freeMegabytes with less space on a disk than this, pages say so
 * @param problems what is wrong; a source with a problem is left out
 * @param files what all this was read from: the settings and the readers that they name
 * @param texts what each source rests on, by its name: where the text is the same, it is the same source
 */
public record CaptureSettings(
        List<Source> sources,
        Optional<ZoneId> zone,
        long freeMegabytes,
        List<Problem> problems,
        List<SettingsFile> files,
        Map<String, String> texts) {
    public CaptureSettings {
        sources = List.copyOf(sources);
        problems = List.copyOf(problems);
        files = List.copyOf(files);
        texts = Map.copyOf(texts);
    }

    /** Nothing comes by itself. */
    public static final CaptureSettings NONE =
            new CaptureSettings(List.of(), Optional.empty(), 2_000, List.of(), List.of(), Map.of());

    public Optional<Source> source(String name) {
        return sources.stream().filter(one -> one.name().equals(name)).findFirst();
    }
}
