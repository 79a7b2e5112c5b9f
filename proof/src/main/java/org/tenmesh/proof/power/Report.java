package org.tenmesh.proof.power;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;

/** Writes what the study measured as a page with pictures and as a table of all its numbers. */
record Report(Measured measured) {
    void write(Path folder) throws IOException {
        Files.createDirectories(folder);
        Map<String, String> files = new LinkedHashMap<>();
        Page page = new Page(measured, files);
        files.put("README.md", page.text());
        files.put("power.csv", new PowerTable(measured).csv());
        for (Map.Entry<String, String> file : files.entrySet()) {
            Files.writeString(folder.resolve(file.getKey()), file.getValue(), StandardCharsets.UTF_8);
        }
    }
}
