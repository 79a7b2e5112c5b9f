package org.tenmesh.capture;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Disks that are nearly full, told before they are. */
final class DiskSpace {
    private DiskSpace() {}

    /** One sentence for each disk with less space than this under one of the folders. */
    static List<String> told(List<Path> folders, long freeMegabytes) {
        Map<String, Path> disks = new LinkedHashMap<>();
        List<String> told = new ArrayList<>();
        for (Path folder : folders) {
            try {
                FileStore disk = Files.getFileStore(folder);
                long free = disk.getUsableSpace() / 1_000_000;
                if (free < freeMegabytes && disks.putIfAbsent(disk.name() + disk.type(), folder) == null) {
                    told.add("the disk of " + folder + " has " + free + " MB left, less than " + freeMegabytes
                            + " MB (free_megabytes): when it is full, nothing more is taken");
                }
            } catch (IOException gone) {
                // A folder that is not there is told by its source.
            }
        }
        return told;
    }
}
