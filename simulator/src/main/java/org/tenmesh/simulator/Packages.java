package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.simulator.numbers.Chance;

/** The ten packages of the invented laboratory, and what it asks of irrigation water. */
final class Packages {
    /** For water that a client sends with soils for pastes. */
    static final String WATER = "water-as-sent";

    static final List<TestPackage> ALL = List.of(
            of(
                    "crop-basic",
                    "Crops, basic",
                    "ph-water-1-1",
                    "buffer-ph-sikora",
                    "om-loi-360",
                    "mehlich3-icp",
                    "cec-sum-smp",
                    "base-saturation",
                    "cation-ratios",
                    "organic-carbon",
                    "ph-class",
                    "per-acre"),
            of(
                    "lime-question",
                    "Is lime needed?",
                    "ph-water-1-1",
                    "ph-cacl2",
                    "ph-kcl",
                    "buffer-ph-smp",
                    "buffer-ph-mehlich",
                    "nh4oac-bases",
                    "cec-sum-smp",
                    "cec-sum-mehlich",
                    "base-saturation"),
            of(
                    "coast-sand",
                    "Sandy coastal soil",
                    "ph-water-1-1",
                    "buffer-ph-adams-evans",
                    "mehlich3-icp-scooped",
                    "nh4oac-bases",
                    "cec-sum-adams-evans",
                    "base-saturation",
                    "esp-exchange"),
            of(
                    "phosphorus-four",
                    "Phosphorus, four ways",
                    "ph-water-1-1",
                    "bray-p1-1-10",
                    "bray-p1-1-7",
                    "bray-p2",
                    "olsen-p",
                    "per-acre P P2O5"),
            of("trace-elements", "Trace elements", "ph-water-1-1", "dtpa", "hot-water-b", "sulfate-phosphate"),
            of("nitrogen-by-depth", "Nitrogen by depth", "moisture-air-dry", "kcl-nitrogen", "nitrate-depth"),
            of(
                    "texture-and-carbon",
                    "Texture and carbon",
                    "moisture-air-dry",
                    "coarse-fragments",
                    "texture-hydrometer",
                    "oc-wet-oxidation",
                    "particle-size"),
            of("salt-survey", "Salt survey", "ph-water-1-2", "ec-1-1", "ec-1-2", "ec-1-5", "chloride-water"),
            of(
                    "paste-and-salts",
                    "Saturated paste",
                    "moisture-air-dry",
                    "saturated-paste",
                    "saturation-percentage",
                    "ph-paste",
                    "ec-paste",
                    "paste-cations",
                    "paste-chloride",
                    "paste-nitrate",
                    "paste-bicarbonate",
                    "paste-equivalents",
                    "sar",
                    "adjusted-sar",
                    "esp-sar",
                    "ion-balance",
                    "salt-class",
                    "dissolved-salts"),
            of("old-buffer", "Buffer after Woodruff", "ph-water-1-1", "buffer-ph-woodruff", "om-loi-360"),
            of(
                    WATER,
                    "Irrigation water as sent",
                    "ec-paste",
                    "paste-cations",
                    "paste-chloride",
                    "paste-nitrate",
                    "paste-bicarbonate",
                    "paste-equivalents",
                    "sar",
                    "adjusted-sar",
                    "ion-balance",
                    "dissolved-salts"));

    private Packages() {}

    private static TestPackage of(String name, String title, String... methods) {
        List<TestPackage.Asked> asked = new ArrayList<>();
        for (String method : methods) {
            // A method alone asks for all it reports; symbols after it ask for those.
            List<String> words = List.of(method.split(" "));
            asked.add(new TestPackage.Asked(words.get(0), words.subList(1, words.size())));
        }
        return new TestPackage(name, title, asked);
    }

    /** A package by name. */
    static TestPackage named(String name) {
        return ALL.stream()
                .filter(one -> one.name().equals(name))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("no package is named " + name));
    }

    /** Packages that soils ask for: half the submissions ask for the first, the others share the rest. */
    static String drawn(Chance chance) {
        return chance.happens(0.4)
                ? ALL.get(0).name()
                : ALL.get(chance.between(1, ALL.size() - 2)).name();
    }
}
