package org.tenmesh.exchange.methods;

/** Made-up method files, one of each kind that no shipped test file shows; every key once. */
public final class SampleMethods {
    public static final String HEAD = """
            id: %s
            version: 2026-11-01
            kind: %s
            title: A made-up method
            summary: Made up for tests.
            answers: Nothing, it is made up.
            sources:
              - {text: "made up", standing: from memory}
            """;

    public static final String FORMULA = HEAD.formatted("dry-matter", "formula") + """
            portion: {name: tin, soil_g: 10}
            analytes:
              - {symbol: H2O, name: moisture, unit: "%", decimals: 1, within_rsd_pct: 2, within_floor: 0.1, scale_low: 0, scale_high: 10}
            examples:
              - given: {tin: 20, wet: 30, dry: 29}
                expected: {H2O: "11.1"}
                source: {text: "made up", standing: from memory}
            formula:
              quantities:
                - {name: tin, description: empty tin, unit: g, lowest: 1, highest: 100}
                - {name: wet, description: tin with soil, unit: g, lowest: 1, highest: 200}
                - {name: dry, description: tin with dry soil, unit: g, lowest: 1, highest: 200}
              constants:
                - {name: lost, value: 0, unit: g, source: {text: "made up", standing: from memory}}
              results:
                - {name: water, formula: wet - dry - lost}
                - {name: H2O, formula: percent(water / (dry - tin)), lowest: 0, highest: 90}
              duplicate_limit_pct: 10
              duplicate_floor: 0.2
            """;

    public static final String DERIVED = HEAD.formatted("acid-class", "derived") + """
            analytes:
              - {symbol: need, name: lime, unit: "t/har", decimals: 1, within_rsd_pct: 0, within_floor: 0.1, scale_low: 0, scale_high: 10}
              - {symbol: class, name: class of pH, unit: "1", decimals: 0, within_rsd_pct: 0, within_floor: 0, scale_low: 0, scale_high: 1}
            derived:
              inputs:
                - {name: ph, from: [{method: ph-water-1-1, analyte: pH}], unit: "[pH]", below: refuse}
                - {name: om, from: [{method: om-loi-360, analyte: OM}], unit: "%", below: half, otherwise: 2, why: a common soil}
                - {name: top, from: [{method: sheet, analyte: top_cm}], unit: cm}
              constants:
                - {name: per_cm, value: 0.1, unit: t/har/cm, source: {text: "made up", standing: from memory}}
              tables:
                - {name: need_at, x_unit: "[pH]", y_unit: cm, x: [4, 7], y: [30, 0]}
              results:
                - {name: need, formula: need_at(ph) * per_cm + 0 * top * per_cm}
                - name: class
                  classes:
                    - {word: sour, when: ph < 5.5 && om > percent(0.01)}
                    - {word: other, when: ph >= 5.5}
            """;

    public static final String EXTRACTION = """
              soil_g: 2
              extract_ml: 20
              basis: mass
              scoop_ml: 1.7
              measured_scoop_g: 2
              diluent: extractant
              shape: quadratic
              weighting: none
              acceptance: {least_r: 0.995, most_rse_pct: 20, low_readback_pct: 20, readback_pct: 10}
              verification_tolerance_pct: 10
              blank_share_of_limit: 0.5
              duplicate_limit_pct: 20
            """;

    public static final String FLOW = HEAD.formatted("peak-p", "flow") + """
            analytes:
              - {symbol: P, name: phosphorus, unit: mg/kg, decimals: 1, detection_limit: 0.5, quantification_limit: 1, reporting_limit: 2, limits_from: made up, within_rsd_pct: 5, within_floor: 0.2, scale_low: 0, scale_high: 100}
            flow:
            """ + EXTRACTION + """
              lines:
                - {quantity: peak, element: P}
              baseline_drift_limit: 0.02
              carry_over: {low: CO-low, high: CO-high, limit_pct: 2, matter_pct: 20}
              saturation: 2
            """;

    public static final String EMISSION = HEAD.formatted("plasma-b", "emission") + """
            analytes:
              - {symbol: B, name: boron, unit: mg/kg, decimals: 2, within_rsd_pct: 5, within_floor: 0.02, scale_low: 0, scale_high: 5}
              - {symbol: Fe, name: iron, unit: mg/kg, decimals: 1, within_rsd_pct: 5, within_floor: 0.2, scale_low: 0, scale_high: 100}
            emission:
            """ + EXTRACTION + """
              lines:
                - {quantity: "B 249.772", element: B}
                - {quantity: "Fe 259.940", element: Fe}
              overlaps:
                - {quantity: "B 249.772", interferent: Fe, share: 0.0004}
              saturation: 5.0e7
            """;

    public static final String CONDUCTIVITY = HEAD.formatted("ec-x", "conductivity") + """
            analytes:
              - {symbol: EC, name: conductivity, unit: dS/m, decimals: 2, within_rsd_pct: 5, within_floor: 0.01, scale_low: 0, scale_high: 4}
            conductivity:
              soil_g: 10
              liquid_ml: 10
              compensation:
                source: {text: "made up", standing: from memory}
                constant: 0.4
                height: 1.5
                decay_celsius: 25
                lowest_celsius: 5
                highest_celsius: 40
              cell_min: 0.9
              cell_max: 1.1
              verification_tolerance_pct: 5
              highest_ds_per_m: 20
              duplicate_limit_pct: 10
            """;

    private SampleMethods() {}
}
