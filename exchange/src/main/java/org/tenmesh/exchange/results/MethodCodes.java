package org.tenmesh.exchange.results;

import java.util.Map;
import java.util.Optional;

/**
 * Codes of the AgGateway Modus 2 list of soil tests, as identifiers, for what this program's methods do. The list itself is not carried here: its
 * licence does not let a program hand it on. A code stands here only where it names the same extraction and, as far as the list says them, ratio
 * and basis (scooped or weighed) as the method; read in github.com/AgGateway/Modus, commit 7f041e6 of 23 May 2025. Where none is sure, none is
 * sent.
 */
final class MethodCodes {
    private static final String START = "L_MODV2_SOIL_";

    private static final Map<String, String> CODES = Map.ofEntries(
            Map.entry("ph-water-1-1 pH", "PH_005"),
            Map.entry("ph-water-1-2 pH", "PH_006"),
            Map.entry("buffer-ph-adams-evans BpH", "BPH_001"),
            Map.entry("buffer-ph-mehlich BpH", "BPH_004"),
            Map.entry("buffer-ph-smp BpH", "BPH_009"),
            Map.entry("buffer-ph-woodruff BpH", "BPH_010"),
            Map.entry("ec-1-1 EC", "EC_001"),
            Map.entry("ec-1-2 EC", "EC_002"),
            Map.entry("ec-paste EC", "EC_004"),
            Map.entry("bray-p1-1-10 P", "P_004"),
            Map.entry("olsen-p P", "P_045"),
            Map.entry("mehlich3-icp P", "P_032"),
            Map.entry("mehlich3-icp-scooped P", "P_030"),
            Map.entry("mehlich3-icp K", "K_031"),
            Map.entry("mehlich3-icp-scooped K", "K_032"),
            Map.entry("dtpa Zn", "ZN_002"),
            Map.entry("dtpa Fe", "FE_003"),
            Map.entry("dtpa Mn", "MN_002"),
            Map.entry("dtpa Cu", "CU_002"),
            Map.entry("nh4oac-bases K", "K_002"),
            Map.entry("nh4oac-bases Ca", "CA_002"),
            Map.entry("nh4oac-bases Mg", "MG_002"),
            Map.entry("nh4oac-bases Na", "NA_001"));

    private MethodCodes() {}

    /** The code of one analyte of a method. */
    static Optional<String> of(String method, String analyte) {
        return Optional.ofNullable(CODES.get(method + " " + analyte)).map(code -> START + code);
    }

    /** What the list calls the analyte of a code: the part between its third and fourth underscore. */
    static String analyte(String code) {
        return code.split("_", -1)[3];
    }
}
