package org.tenmesh.app.check;

/** The publications that expected values come from. */
public enum Work {
    NIST_LINEAR(
            "National Institute of Standards and Technology, Statistical Reference Datasets (StRD), linear regression;"
                    + " read in public copies of the NIST files"),
    NIST_UNIVARIATE("National Institute of Standards and Technology, Statistical Reference Datasets (StRD), univariate"
            + " summary statistics; read in the NIST files carried by Apache Commons Math"),
    DIN_32645("DIN 32645:1994, Nachweis-, Erfassungs- und Bestimmungsgrenze, worked example; read in the tests of the R"
            + " package chemCal"),
    MASSART("Massart et al., Handbook of Chemometrics and Qualimetrics, Part A, 1997, chapter 8; read in the R package"
            + " chemCal"),
    ROCKE_LORENZATO("Rocke & Lorenzato, A two-component model for measurement error in analytical chemistry,"
            + " Technometrics 37:176, 1995"),
    MILLER("Miller & Miller, Statistics and Chemometrics for Analytical Chemistry"),
    AMC_COPPER(
            "Analytical Methods Committee, Robust statistics, Analyst 114:1693, 1989, copper in wholemeal flour; figures"
                    + " of Venables & Ripley, Modern Applied Statistics with S, section 5.5, read in the statsmodels tests"),
    WISCONSIN("Wisconsin Administrative Code NR 252.0365, detection limits, table of t(0.99, n - 1)"),
    EPA_6010D("US EPA, SW-846 Update VI, method 6010D, July 2018"),
    EPA_8000D("US EPA, SW-846, method 8000D, determinative chromatographic separations"),
    CODATA("NIST/CODATA recommended values 2018 of R and F, as tabled by University of Calgary, Chemistry textbook,"
            + " appendix Fundamental physical constants"),
    PHARMACOPOEIA(
            "Pharmacopoeial general chapter on pH: potential for one pH unit at t °C, 0.05916 + 0.000198 (t - 25) V;"
                    + " read in a public copy of the chapter"),
    BLOOD_GAS(
            "alpfmedical.info, page cardiac-output/j026t-r (pH electrode of a blood gas analyser): 61.5 mV for one pH unit at 37 °C"),
    HJ_1147(
            "HJ 1147-2020, Water quality - Determination of pH - Electrode method, Ministry of Ecology and Environment of"
                    + " China, buffer table; read in a public transcription"),
    BUFFER_LIBRARY("Buffer arrays of an open-source pH calibration library"),
    LTER("US Long Term Ecological Research network, North Temperate Lakes, pH protocol, 2004"),
    WASTEWATER("wastewater101.net, Laboratory 13, 2019"),
    RAYMENT_LYONS("Rayment, G.E. & Lyons, D.J., Soil Chemical Methods - Australasia, CSIRO Publishing, 2011"),
    MINNESOTA("University of Minnesota, Research Analytical Laboratory, Organic matter by loss on ignition at 360 °C"),
    DAVIS("University of California, Davis, Analytical Laboratory, method 415, Organic matter by loss on ignition"),
    CLEMSON("Clemson University, Agricultural Service Laboratory, Nitrate nitrogen (method page)"),
    IFA("International Fertilizer Industry Association, conversion factors; read on a public conversion page"),
    VIRGINIA("Reiter, M., Conversion Factors Needed for Common Fertilizer Calculations, Virginia Cooperative Extension"
            + " SPES-201NP"),
    KONFIRM(
            "konfirm/node-iso7064, open library, test of Mod37_36 (ISO/IEC 7064 MOD 37,36; vectors after LiosK/cdigit)"),
    XBIB("xbib standardnumber, open library, test of MOD3736 (ISO/IEC 7064 MOD 37,36)"),
    ORDINAL_DATE("experts123.com, What date format does the Standard mandate? (ISO 8601 ordinal dates)"),
    UCUM("Regenstrief Institute, Unified Code for Units of Measure, version 2.2, 2024, essence file"),
    CHAMP_WOODALL(
            "Champ, C.W. & Woodall, W.H., Exact results for Shewhart control charts with supplementary runs rules,"
                    + " Technometrics 29:393, 1987; read in the manual of the R package spc"),
    LUCAS_CROSIER("Lucas, J.M. & Crosier, R.B., Fast initial response for CUSUM quality-control schemes, Technometrics"
            + " 24:199, 1982; read in the manual of the R package spc"),
    VANCE("Vance, L.C., Average run lengths of cumulative sum control charts for controlling normal means, J. Quality"
            + " Technology 18:189, 1986; read in the manual of the R package spc"),
    CROWDER("Crowder, S.V., A simple method for studying run-length distributions of EWMA charts, Technometrics 29:401,"
            + " 1987; read in the manual of the R package spc"),
    LUCAS_SACCUCCI("Lucas, J.M. & Saccucci, M.S., Exponentially weighted moving average control schemes, Technometrics"
            + " 32:1, 1990; read in the manual of the R package spc"),
    GEORGIA("University of Georgia, soil laboratory, Mehlich-3 (method page)"),
    MINNESOTA_TESTS(
            "University of Minnesota, soil testing and research laboratories, method pages (lime requirement, extractable sulfate)"),
    WESTERN("Western States Laboratory Proficiency Program, manual 2003 (opening parts of methods S-2.50 and S-14.10)"),
    CLEMSON_BUFFER("Clemson University, Agricultural Service Laboratory, buffer pH (method page)"),
    CLEMSON_CEC("Clemson University, Agricultural Service Laboratory, CEC calculations (page with a worked example)"),
    CROP_FILE("Crop file 1.04.132, What is base saturation (cropfile.hostwiki.io)"),
    NORTH_CAROLINA(
            "North Carolina Department of Agriculture, Agronomic Division, buffer acidity and lime (ncagr.gov/agronomi/bufftab1.htm)"),
    PENN_STATE("Pennsylvania State University, Agronomy Guide, lime recommendations"),
    PENN_STATE_TURF("Penn State Agricultural Analytical Services, turf handbook"),
    PENN_STATE_GUIDE("Penn State Agricultural Analytical Services, guide to the report for agronomic crops"),
    PENN_STATE_P("Pennsylvania State University, note on soil test reports; read on farms.com"),
    OREGON(
            "Moore, A., Updated lime requirement recommendations for Oregon, Oregon State University Extension EM 9585, October 2025"),
    KANSAS("Kansas State University lime equations, read in its public lime tool (modules/lime.R)"),
    RUTGERS("Rutgers Soil Testing Laboratory, Relative levels of nutrients (Mehlich-3 categories)"),
    NORTHERN_IRELAND("Northern Ireland Statutory Rules 2019 no. 81, schedule 5, soil phosphorus index"),
    DTPA_CLASSES(
            "Journal of Ecology and Environment, 2019, doi 10.1186/s41610-019-0104-9 (classes of DTPA micronutrients)"),
    OKLAHOMA(
            "Oklahoma State University Extension, OSU soil test interpretations (columns aligned in a flattened copy)"),
    NEBRASKA("University of Nebraska, nitrogen equation for corn; read at jenreesources.com, 1 March 2021"),
    QUEENSLAND_SALINITY(
            "Useful conversions and relationships, chapter of a Queensland salinity handbook (scribd.com/document/439744267)"),
    SALINITY_LABORATORY("United States Salinity Laboratory, Agriculture Handbook 60, 1954"),
    SALT_GLOSSARY(
            "Glossary, symbols and conversion formulae associated with salt affected soils (slideplayer.com/slide/16108864)"),
    FAO_29(
            "Ayers & Westcot, Water quality for agriculture, FAO Irrigation and Drainage Paper 29 rev. 1, 1985; table read in two public programs that agree"),
    NRCS_SALINITY("Natural Resources Conservation Service, note to a salinity data set (sjvp.databasin.org)"),
    SOILASSESSMENT("R package soilassessment, R/saltClass.R"),
    SHEETS_HENDRICKX(
            "Sheets & Hendrickx, Water Resources Research 31:2401, 1995; read with its worked example in the documentation of a public library"),
    SOILTESTING("R package SoilTesting, R/SoilTesting.R (Walkley-Black organic carbon)"),
    HYDRO_TOOLS("R package hydroTools, manual page of soil_class"),
    TEXTURE_RULES(
            "USDA texture classes as coded by NRCS staff in the R package aqp, R/texture.R; boundaries after Benham, Ahrens & Nettleton 2009"),
    JIS_Z_8802("JIS Z 8802:2011, pH standard buffers, as reprinted on a public teaching page"),
    BENCH_BUFFERS("Table 7 of a pH instrument manual, October 2005 (bench buffers)"),
    OFFSET_SHEET("How to calculate offset and slope, teaching sheet (studylib.net/doc/25392327)"),
    METHOD_FILES("Publications named beside each worked example in the files of the methods"),
    NIST_ANOVA(
            "National Institute of Standards and Technology, Statistical Reference Datasets (StRD), analysis of variance; read"
                    + " in the NIST files carried by the tests of SciPy"),
    NIST_HANDBOOK(
            "NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.5.17, Grubbs' test, after Tietjen & Moore,"
                    + " Technometrics 14:583, 1972; figures read in the tests of three open libraries"),
    GRUBBS_TABLE("Grubbs & Beck, Extension of sample sizes and percentage points for significance tests of outlying"
            + " observations, Technometrics 14:847, 1972; the table read in open libraries that carry it"),
    AMC_OUTLIERS(
            "Analytical Methods Committee, Using the Grubbs and Cochran tests to identify outliers, AMC Technical Brief"
                    + " 69, 2015"),
    COCHRAN_TABLE(
            "Cochran's largest variance, 5 %, as tabled by Eisenhart, Hastay & Wallis, Techniques of Statistical Analysis,"
                    + " 1947; the table read in three open programs that carry it"),
    DIXON_TABLE(
            "Rorabacher, Statistical treatment for rejection of deviant values, Anal. Chem. 63:139, 1991; the table read in"
                    + " open libraries that carry it"),
    CHART_TABLE("Factors for Constructing Control Charts, a textbook's Table A.22, read in a public copy of the page"),
    GLUCOSE("ASTM E691, glucose in serum, eight laboratories; data read in the R package ILS"),
    BRE(
            "Building Research Establishment, Testing of industrial products - Aggregates for construction, pages Formulae and Total"
                    + " Sulfur test (precision by ISO 5725, 1994)"),
    CRITICAL_RANGE("Factors of the critical range for P = 0.95, ISO 5725-6; read in an open program that carries them"),
    AOAC_HORRAT(
            "AOAC International, Definitions and Calculations of HorRat Values from Intralaboratory Data, 2004, Table D1"),
    THOMPSON("Thompson, Analyst 125:385, 2000; the modified function read in two public summaries"),
    ISO_13528("ISO 13528, proficiency testing, Algorithm A (Annex C of 2005, read in public copies)"),
    ISO_SCORES("ISO 13528, proficiency testing, scores"),
    CREOSOTE("ISO 5725-5:1998, creosote example; data read in the R package metRology"),
    MDL("40 CFR 136, Appendix B, revision 2"),
    REPLICATES("An instrument manual's eight readings and their detection limit"),
    ISO_8466("ISO 8466-1, linearity of a calibration"),
    CURRIE("Currie, Limits for qualitative detection and quantitative determination, Anal. Chem. 40:586, 1968"),
    MASS_BALANCE("Plain mass balance");

    private final String text;

    Work(String text) {
        this.text = text;
    }

    /** Body or author, title, year, and where it was read. */
    public String text() {
        return text;
    }
}
