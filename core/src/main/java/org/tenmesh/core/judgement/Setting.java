package org.tenmesh.core.judgement;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * The numbers that decide, each with its name, unit, default, allowed range and the reason of its default. This is their only
 * declaration: the policy, the file {@code laboratory.yaml}, the store and {@code docs/policy.md} follow from it. A number that a numerical
 * method needs and that decides nothing (rounds, steps, convergence) stays in its class.
 *
 * <p>Long because every number has its reason in it.
 */
public enum Setting {
    CONTROL_FALSE_ALARM(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "chance",
            1e-09,
            0.4999,
            "Chance that one control soil without a fault fails, over all its analytes together: 0.2 false alarms in a day of 400 control soils; three standard deviations, 0.0027, would give one every day",
            0.0005),
    CONTROL_LEAST_RESULTS(
            Group.CONTROL_SOILS,
            Kind.WHOLE,
            "results",
            2,
            1000,
            "Fewest results behind the mean and standard deviation of a control soil; one known from fewer guards nothing, because its limits would let almost everything pass (US EPA SW-846 method 6010D, July 2018, section 9.8: 7 replicates or more set up a limit)",
            7),
    CONTROL_DAY_FALSE_ALARMS(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "false alarms a day",
            1e-06,
            10,
            "Expected false alarms of a whole day from means of control soils that passed one by one, shared among all means that are judged: one day in ten; the laboratory may choose otherwise: no source was found",
            0.1),
    CONTROL_LEAST_TOGETHER(
            Group.CONTROL_SOILS,
            Kind.WHOLE,
            "control soils",
            2,
            1000,
            "Fewer control soils of a run or a day are judged one by one only; the laboratory may choose otherwise: no source was found",
            3),
    CONTROL_RUN_SHARE(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "share of the variance",
            0,
            1,
            "Share of the variance of control results that all control soils of one run have in common, so that their mean is not as sure as independent results would make it; the laboratory may choose otherwise: no source was found",
            0.5),
    CONTROL_TREND_SEVERE(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "standard deviations",
            0.1,
            100,
            "Mean distance since a shift began from which a trend of control soils holds results; a smaller one only asks somebody to look",
            2),
    CONTROL_TREND_ASSIGNED_RUNS(
            Group.CONTROL_SOILS,
            Kind.WHOLE,
            "runs",
            2,
            10000,
            "Runs that are assumed behind an assigned value whose number of runs is not given (common practice: 20 runs set up a chart)",
            20),
    CONTROL_TREND_VECTORS_PER_ANALYTE(
            Group.CONTROL_SOILS,
            Kind.WHOLE,
            "control soils for each analyte",
            1,
            1000,
            "History needed before the analytes of one control soil are judged together, so that their covariance can be estimated",
            5),
    CONTROL_TREND_LEAST_VECTORS(
            Group.CONTROL_SOILS,
            Kind.WHOLE,
            "control soils",
            3,
            100000,
            "History needed at the least before the analytes of one control soil are judged together",
            60),
    CONTROL_TREND_OWN_SHARE(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "share of the variance",
            0,
            1,
            "An analyte of whose variance less than this is its own follows from the others and is left out of the joint test",
            0.05),
    CONTROL_TREND_HIGHEST_CHANCE(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "chance",
            1e-09,
            0.5,
            "A chart point that is a mean of many control soils is never given a higher rate of false alarms than this",
            0.05),
    CONTROL_MATERIAL_CALLED(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "From here a hidden control is called another material than the key says: one wrong jar in some thousand controls is expected",
            4),
    CONTROL_MATERIAL_AGREES(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "standard deviations, root mean square",
            0.1,
            100,
            "Within this distance all results of a control together agree with a material",
            2.5),
    CONTROL_MATERIAL_LEAD(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "The best material must lead the second by this much, or the control keeps the material of the key",
            1),
    CONTROL_MATERIAL_FREEDOM(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the densities of control results: few, so that one analyte gone wrong does not outweigh all others",
            5),
    MISTAKEN_MATERIAL_LARGEST_FACTOR(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "factor",
            1.01,
            1000,
            "A failure common to all analytes of a control soil lies between one over this and this many times the content",
            4),
    MISTAKEN_MATERIAL_LARGEST_SHIFT(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "pH",
            0.01,
            14,
            "A failure common to a control soil read by an electrode lies within this distance on either side",
            2),
    MISTAKEN_MATERIAL_LEAD(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Another material must explain a failed control soil better than every failure by this much",
            1),
    MISTAKEN_MATERIAL_FREEDOM(
            Group.CONTROL_SOILS,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the densities of control results within one run; as between runs",
            5),
    CALIBRATION_LINE_LEVELS(
            Group.REQUIRED_CONTROL,
            Kind.WHOLE,
            "standards of different content",
            2,
            100,
            "Fewest standards behind a straight calibration, where the method does not say otherwise; with fewer its soils wait (US EPA SW-846 method 8000D, July 2014, section 11.5.1.1: five levels). A standard of nothing counts, because it is read like the others",
            5),
    CALIBRATION_QUADRATIC_LEVELS(
            Group.REQUIRED_CONTROL,
            Kind.WHOLE,
            "standards of different content",
            3,
            100,
            "The same behind a quadratic calibration (the same section: six levels)",
            6),
    CHECK_INTERVAL_SOILS(
            Group.REQUIRED_CONTROL,
            Kind.WHOLE,
            "soils",
            0,
            100000,
            "Most soils of one probe, cell or line between two check solutions; those after them wait; 0: no limit. Common practice; US EPA SW-846 method 6010D, July 2018, section 10.8.5, asks for a check every 10 samples, which would hold soils of every ordinary day",
            20),
    LOW_LEVEL_CHECK(
            Group.REQUIRED_CONTROL,
            Kind.WHOLE,
            "0 or 1",
            0,
            1,
            "1: a number of a calibrated extract below the lowest standard waits unless a check solution at or below it passed before the first soil (US EPA SW-846 method 6010D, July 2018, sections 10.7 and 10.8.2); 0, the default: it does not wait, because reporting limits of soil extracts often lie below the lowest standard and every ordinary day would be held",
            0),
    FIRST_CHECK_FAILURES(
            Group.REQUIRED_CONTROL,
            Kind.WHOLE,
            "failures",
            0,
            1000,
            "Readings of one check solution that may fail after a calibration before one passes; after more the calibration is to be made again and all soils wait (common practice: one reading again)",
            1),
    TRAY_EVIDENCE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Least ratio from which a turned tray, exchanged trays and, with further margins, a shifted run or soils that were not dry are weighed against what chance gives on the soils of the day; what decides is card_odds",
            1.5),
    NEIGHBOUR_EVIDENCE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "The same for two exchanged neighbours, of which there are ten times as many as trays",
            2.5),
    SOIL_EVIDENCE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "The same for one soil: its portion, its dilution, its results together",
            2.4),
    CHANNEL_EVIDENCE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "-log10 of a chance",
            0,
            1e12,
            "Needed for a probe, balance or detector that reads differently from the others; set on simulated days without mistakes (docs/validation)",
            3.2),
    REDO_MARGIN(
            Group.EVIDENCE,
            Kind.NUMBER,
            "log10 of odds",
            0,
            1000000000000.0,
            "What the odds that it happened must exceed card_odds by before soils are to be read again and not only held: one needless redo in thirty of the least evident; the laboratory may choose otherwise: no source was found",
            1.5),
    FALSE_DISCOVERIES(
            Group.EVIDENCE,
            Kind.NUMBER,
            "share",
            1e-09,
            0.9999,
            "False discovery rate among the reported differences between probes, balances, instruments, people, wells and hours",
            0.02),
    CARD_ODDS(
            Group.EVIDENCE,
            Kind.NUMBER,
            "odds",
            0.001,
            1000000000000.0,
            "A cause of identity or plausibility is made only where the odds that it happened reach this: the least evident one is as likely as not, while nearly all that happened are far more evident; the laboratory may choose otherwise: no source was found",
            1),
    TURNED_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each tray and method",
            1e-12,
            0.5,
            "How often a tray is turned end for end; the laboratory's own record should replace it: no source was found",
            0.002),
    EXCHANGED_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each tray and method",
            1e-12,
            0.5,
            "How often a tray is exchanged with another; the laboratory's own record should replace it: no source was found",
            0.001),
    SHIFTED_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each run",
            1e-12,
            0.5,
            "How often the readings of a run are shifted by one; the laboratory's own record should replace it: no source was found",
            0.01),
    NEIGHBOURS_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each soil and method",
            1e-12,
            0.5,
            "How often two neighbours are exchanged; the laboratory's own record should replace it: no source was found",
            0.0005),
    SOIL_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each soil and method",
            1e-12,
            0.5,
            "How often one soil has a wrong portion or dilution, or a reading that is not its own; the laboratory's own record should replace it: no source was found",
            0.001),
    NOT_DRY_RATE(
            Group.EVIDENCE,
            Kind.NUMBER,
            "chance for each run",
            1e-12,
            0.5,
            "How often a charge is weighed before it is dry; the laboratory's own record should replace it: no source was found",
            0.05),
    DECOYS_MOST(
            Group.EVIDENCE,
            Kind.WHOLE,
            "exchanges",
            20,
            100000,
            "Exchanges that did not happen, of each kind and method, that show what chance gives on the soils of the day: more change only the time it takes",
            1000),
    DECOY_TAIL(
            Group.EVIDENCE,
            Kind.NUMBER,
            "share",
            0.0001,
            0.5,
            "Share of these with the largest ratios, which show the tail: a high quantile, with enough above it to tell a scale (Coles 2001, section 4.3.1)",
            0.05),
    DECOY_PRIOR(
            Group.EVIDENCE,
            Kind.NUMBER,
            "excesses",
            0.1,
            10000,
            "Excesses that the tail of an honest ratio, a tenth for each decade (Markov), counts as beside those of the day; the laboratory may choose otherwise: no source was found",
            10),
    EVIDENCE_SPREAD(
            Group.EVIDENCE,
            Kind.NUMBER,
            "decades of a likelihood ratio",
            0.1,
            1000,
            "Half of the mistakes that happened have a log10 ratio below this: planted turned and exchanged trays of real soils lie between 2 and 60 (docs/validation)",
            10),
    TRAY_LEAST_SOILS(
            Group.TRAYS_AND_RUNS,
            Kind.WHOLE,
            "soils",
            2,
            1000,
            "Fewer predicted soils of a tray are no evidence for or against the tray",
            6),
    MOVED_SHARE_RELEARN(
            Group.TRAYS_AND_RUNS,
            Kind.NUMBER,
            "share of the soils",
            0,
            1,
            "When more readings than this were assigned to other soils, the relations between results are learned again",
            0.05),
    COMPARABLE_EVIDENCE(
            Group.TRAYS_AND_RUNS,
            Kind.NUMBER,
            "share",
            0,
            1,
            "Another method whose evidence reaches this share of the strongest is weighed as the one that is wrong",
            0.4),
    WORST_TRAYS_COMPARED(
            Group.TRAYS_AND_RUNS,
            Kind.NUMBER,
            "share of the trays",
            0,
            1,
            "The worst-fitting trays of a run are compared with each other wherever they lie; the others with their neighbours only",
            0.2),
    SHIFT_MARGIN(
            Group.TRAYS_AND_RUNS,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Further evidence for a shifted run: a run has thousands of stretches, and real shifts of ten soils or more have far more evidence; the laboratory may choose otherwise: no source was found",
            3),
    SHIFT_LEAST_READINGS(
            Group.TRAYS_AND_RUNS,
            Kind.WHOLE,
            "readings",
            2,
            1000,
            "Readings that must belong to the neighbour before a shifted run is considered; the laboratory may choose otherwise: no source was found",
            6),
    KEY_WELL_FILLED(
            Group.TRAYS_AND_RUNS,
            Kind.NUMBER,
            "chance",
            1e-9,
            0.5,
            "Chance that a well that was to stay empty holds a soil after all; the laboratory may choose otherwise: no source was found",
            0.001),
    NOT_DRY_MARGIN(
            Group.NOT_DRY,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Further evidence that soils were not dry: neither drying nor ashing of one charge is known well; the laboratory may choose otherwise: no source was found",
            1),
    NOT_DRY_WATER(
            Group.NOT_DRY,
            Kind.LIST,
            "% of the soil",
            0.001,
            50,
            "Water left in a soil at its dry weighing that is looked for; the laboratory may choose otherwise: no source was found",
            0.3,
            0.6,
            1.2),
    NOT_DRY_HOT_PLACES(
            Group.NOT_DRY,
            Kind.LIST,
            "share of the loss",
            0.001,
            10,
            "How much more soils in a hotter place of the furnace lose: the next best explanation; the laboratory may choose otherwise: no source was found",
            0.05,
            0.1,
            0.2,
            0.3,
            0.5),
    NOT_DRY_LEAST_SOILS(
            Group.NOT_DRY,
            Kind.WHOLE,
            "soils",
            1,
            1000,
            "Fewer neighbouring soils are not called a charge that was not dry",
            3),
    NOT_DRY_MOST_SOILS(
            Group.NOT_DRY,
            Kind.WHOLE,
            "soils",
            1,
            10000,
            "The longest stretch that is looked for: one furnace charge",
            60),
    SOIL_LEAST_ANALYTES(
            Group.SINGLE_SOILS,
            Kind.WHOLE,
            "analytes",
            2,
            1000,
            "Fewer analytes of one extract do not show a common factor",
            4),
    SOIL_DILUTIONS(
            Group.SINGLE_SOILS,
            Kind.LIST,
            "factor",
            1.0001,
            100000,
            "Dilutions that may have been made and not recorded, or recorded and not made (common practice)",
            2,
            2.5,
            4,
            5,
            10,
            20,
            25,
            50,
            100),
    SOIL_DILUTION_SHARES(
            Group.SINGLE_SOILS,
            Kind.LIST,
            "share",
            0,
            1,
            "How often each of these is made; they add up to 1; the laboratory may choose otherwise: no source was found",
            0.3,
            0.05,
            0.05,
            0.25,
            0.25,
            0.03,
            0.02,
            0.03,
            0.02),
    SOIL_DILUTION_SD(
            Group.SINGLE_SOILS,
            Kind.NUMBER,
            "standard deviation of a natural logarithm",
            0.0001,
            10,
            "How exactly a dilution is made (common practice: pipettes within 2 %)",
            0.02),
    SOIL_PORTION_SD(
            Group.SINGLE_SOILS,
            Kind.NUMBER,
            "standard deviation of a natural logarithm",
            0.001,
            10,
            "How far a scoop or dispenser goes wrong when it does; the laboratory may choose otherwise: no source was found",
            0.25),
    SOIL_PORTION_RATE(
            Group.SINGLE_SOILS,
            Kind.NUMBER,
            "times as often",
            0.001,
            1000,
            "A portion goes wrong this many times as often as a dilution is recorded wrongly; the laboratory may choose otherwise: no source was found",
            2),
    METHODS_LEAST_COMMON(
            Group.RELATIONS,
            Kind.NUMBER,
            "share of the soils",
            0.01,
            1,
            "Share of the soils that must have results of both before one method is compared with another",
            0.6),
    RELATIONS_ROWS_PER_COEFFICIENT(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils for each coefficient",
            1,
            1000,
            "Soils needed to learn relations (Harrell 2015, Regression Modeling Strategies, section 4.4: 10 to 20; from memory)",
            10),
    OWN_RELATIONS_LEAST_SOILS(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils",
            10,
            1000000,
            "Earlier soils of a client or region from which its own relations are learned; the laboratory may choose otherwise: no source was found",
            150),
    RELATIONS_LEAST_SOILS(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils",
            10,
            1000000,
            "Fewer soils teach no relations; the laboratory may choose otherwise: no source was found",
            40),
    RELATIONS_MOST_SOILS(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils",
            100,
            1000000,
            "Soils of a day that relations are learned from, whole clients evenly over the day; more change only the time it takes",
            2000),
    RELATIONS_FREEDOM(
            Group.RELATIONS,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the densities by which relations are learned and control soils are weighed: outlying soils get little weight (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881 chose 4 to 5)",
            5),
    RELATIONS_CLIENT_PRIOR(
            Group.RELATIONS,
            Kind.NUMBER,
            "soils",
            1,
            1000000,
            "Weight of the scatter of all clients in that of one client; the laboratory may choose otherwise: no source was found",
            20),
    RELATIONS_FOLLOWS_NONE(
            Group.RELATIONS,
            Kind.NUMBER,
            "chance",
            1e-9,
            0.5,
            "Chance that the soils of a client follow none of the relations that hold for most; the laboratory may choose otherwise: no source was found",
            0.05),
    RELATIONS_OWN_SCATTER_SOILS(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils",
            10,
            1000000,
            "From this number on the soils of a day say themselves how widely they scatter about relations learned from earlier ones; the laboratory may choose otherwise: no source was found",
            200),
    RELATIONS_NO_RESULT(
            Group.RELATIONS,
            Kind.NUMBER,
            "chance",
            1e-9,
            0.5,
            "Chance that a soil gives an impossible weighing though it was there; the laboratory may choose otherwise: no source was found",
            0.002),
    RELATIONS_FIELDS_WITHIN(
            Group.RELATIONS,
            Kind.NUMBER,
            "share of the soils",
            0,
            1,
            "More soils than this must follow one of the same name of field before these names are used; the laboratory may choose otherwise: no source was found",
            0.2),
    RELATIONS_FIELDS_ACROSS(
            Group.RELATIONS,
            Kind.NUMBER,
            "share of the soils",
            0,
            1,
            "And more than this must follow one of another name of field; the laboratory may choose otherwise: no source was found",
            0.02),
    EARLIER_SOILS_MOST(
            Group.RELATIONS,
            Kind.WHOLE,
            "soils",
            0,
            1000000,
            "Newest earlier soils that relations are learned from; more change only the time it takes",
            2000),
    EMPTY_PH(
            Group.RELATIONS,
            Kind.NUMBER,
            "pH",
            0,
            14,
            "pH of water without soil, which takes up carbon dioxide (common practice: 5.6 to 7)",
            6.2),
    EMPTY_PH_SD(
            Group.RELATIONS,
            Kind.NUMBER,
            "pH, standard deviation",
            0.01,
            14,
            "Spread of the pH of water without soil",
            0.7),
    EMPTY_CONTENT_SD(
            Group.RELATIONS,
            Kind.NUMBER,
            "standard deviation of a natural logarithm",
            0.001,
            10,
            "Spread of the content read from an empty vessel, above the reporting limit; the laboratory may choose otherwise: no source was found",
            0.3),
    GROUP_LEAST_SOILS(
            Group.GROUPS,
            Kind.WHOLE,
            "soils",
            3,
            100000,
            "Fewer soils of a probe, balance, person, well or hour are not compared; the laboratory may choose otherwise: no source was found",
            20),
    GROUP_MATTERS(
            Group.GROUPS,
            Kind.NUMBER,
            "within-laboratory standard deviations",
            0,
            100,
            "Least difference of a probe or detector that is reported: each is calibrated by itself, and a hundredth or two of pH lie between any two; the laboratory may choose otherwise: no source was found",
            0.6),
    GROUP_MATTERS_BALANCE(
            Group.GROUPS,
            Kind.NUMBER,
            "within-laboratory standard deviations",
            0,
            100,
            "Least difference of a balance that is reported: only a fault sets one apart; the laboratory may choose otherwise: no source was found",
            0.4),
    GROUP_PERIOD(
            Group.GROUPS,
            Kind.WHOLE,
            "minutes",
            1,
            1440,
            "Length of the periods of a day that are compared with each other; the laboratory may choose otherwise: no source was found",
            15),
    STANDARD_LEAST_OFF(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share of the tolerance",
            0.001,
            10,
            "Smaller errors of a standard do no harm that is worth a stopped run; the laboratory may choose otherwise: no source was found",
            0.25),
    STANDARD_LEAST_OFF_PH(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share of the tolerance",
            0.001,
            10,
            "The same for pH buffers: those made in the laboratory have no temperature table, so their labels are less certain; the laboratory may choose otherwise: no source was found",
            0.4),
    STANDARD_LEAST_SCATTER(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share of the tolerance",
            0.0001,
            1,
            "Residuals of a calibration are never taken to scatter less: rounding and chance make it too small; the laboratory may choose otherwise: no source was found",
            0.02),
    STANDARD_LEAST_SCATTER_OF_LIMIT(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share of the reporting limit",
            0.0001,
            1,
            "Nor less than this; the laboratory may choose otherwise: no source was found",
            1.0 / 30),
    STANDARD_PRICE(
            Group.CALIBRATION,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Each further line or probe in which a standard is called wrong must gain more than this: what one more free number gains by chance; the laboratory may choose otherwise: no source was found",
            0.5),
    STANDARD_CALLED(
            Group.CALIBRATION,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "A wrong standard is called from here; the laboratory may choose otherwise: no source was found",
            3),
    STANDARD_LEAD(
            Group.CALIBRATION,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Another standard within this of the best is named as possible too",
            1),
    STANDARD_WEIGHED(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share of the least error called",
            0,
            1,
            "As an explanation a standard is weighed already from this share of an error that would be called; the laboratory may choose otherwise: no source was found",
            0.5),
    STANDARD_FEW_RESIDUALS(
            Group.CALIBRATION,
            Kind.WHOLE,
            "residuals",
            3,
            100000,
            "Fewer do not show two parts of a variance, so the weights of the method are used",
            20),
    STANDARD_MOST_FREEDOM(
            Group.CALIBRATION,
            Kind.WHOLE,
            "degrees of freedom",
            1,
            1000,
            "Outlying readings never decide alone, however many residuals there are; the laboratory may choose otherwise: no source was found",
            8),
    STANDARD_CHEAP_MARGIN(
            Group.CALIBRATION,
            Kind.NUMBER,
            "share",
            0.01,
            1,
            "The quick look whether any standard may be off uses one slope for all points and so keeps this margin; the laboratory may choose otherwise: no source was found",
            0.85),
    CHECK_SDS_IN_TOLERANCE(
            Group.CHECK_SOLUTIONS,
            Kind.NUMBER,
            "standard deviations",
            0.1,
            100,
            "A tolerance of a check solution is taken for this many standard deviations (common practice)",
            3),
    CHECK_PREDICTED_SHARE(
            Group.CHECK_SOLUTIONS,
            Kind.NUMBER,
            "share",
            0,
            10,
            "A failed check is called drift when the checks before it predicted at least this share of its deviation; the laboratory may choose otherwise: no source was found",
            0.4),
    DRIFT_BEARABLE(
            Group.DRIFT,
            Kind.NUMBER,
            "share of the within-laboratory standard deviation",
            0,
            100,
            "Soils are held where a drift makes up more: beyond that it adds more than an eighth to the spread of a result (root of 1 + 1/4); the laboratory may choose otherwise: no source was found",
            0.5),
    DRIFT_LEAST(
            Group.DRIFT,
            Kind.NUMBER,
            "share of the tolerance",
            0.001,
            10,
            "A drift that leads to less is never called; the laboratory may choose otherwise: no source was found",
            0.25),
    DRIFT_LEAST_OF_FEW(
            Group.DRIFT,
            Kind.NUMBER,
            "share of the tolerance",
            0.001,
            10,
            "The same where several probes or cells each drift in their own way; the laboratory may choose otherwise: no source was found",
            0.3),
    DRIFT_CALLED(
            Group.DRIFT,
            Kind.NUMBER,
            "standard deviations",
            0.1,
            1e12,
            "Growth over its uncertainty from which a drift is called; the laboratory may choose otherwise: no source was found",
            3.1),
    DRIFT_ORDINARY(
            Group.DRIFT,
            Kind.NUMBER,
            "share of the tolerance",
            0.0001,
            10,
            "Slopes are never taken to be ordinarily smaller; the laboratory may choose otherwise: no source was found",
            1.0 / 16),
    DRIFT_LEAST_SCATTER(
            Group.DRIFT,
            Kind.NUMBER,
            "share of the tolerance",
            0.0001,
            1,
            "Checks are never taken to scatter less: rounding makes it too small; the laboratory may choose otherwise: no source was found",
            0.01),
    DRIFT_LEAST_READINGS(
            Group.DRIFT, Kind.WHOLE, "readings", 3, 1000, "Fewer readings of one check solution show no trend", 3),
    DRIFT_LEAST_AFTER_ONSET(
            Group.DRIFT,
            Kind.WHOLE,
            "readings",
            1,
            1000,
            "Readings needed after the start of a drift that did not begin at the calibration",
            4),
    DRIFT_LATER_ONSET_GAIN(
            Group.DRIFT,
            Kind.NUMBER,
            "squared standard deviations",
            0,
            1e12,
            "A later start must explain this much more than one at the calibration; the laboratory may choose otherwise: no source was found",
            10),
    DRIFT_MOVES_GAIN(
            Group.DRIFT,
            Kind.NUMBER,
            "squared standard deviations",
            0,
            1e12,
            "A line must explain this much more than a constant, which is a wrong check solution or calibration; the laboratory may choose otherwise: no source was found",
            2),
    DRIFT_LANES_THAT_SHARE(
            Group.DRIFT,
            Kind.WHOLE,
            "elements or probes",
            2,
            1000,
            "From this number on their median shows what all share",
            5),
    BLANK_MATTERS_BELOW(
            Group.BLANKS,
            Kind.NUMBER,
            "times the blank",
            0,
            1000000.0,
            "A blank matters to soils that hold less (US EPA SW-846 method 6010D, July 2018, section 9.7.1)",
            10),
    BLANK_BELOW_ZERO(
            Group.BLANKS,
            Kind.NUMBER,
            "times the reporting limit",
            0.01,
            1000000.0,
            "How far below zero a blank may lie. A calibration is least certain at zero, so the whole limit, not the method's share of"
                    + " it (from memory: US EPA, National Functional Guidelines for Inorganic Superfund Methods Data Review, EPA"
                    + " 542-R-20-006, 2020, blanks of ICP-AES)",
            1),
    BLANK_CARRIED_UNCERTAINTY(
            Group.BLANKS,
            Kind.NUMBER,
            "share",
            0,
            1,
            "How well carry-over into a blank is known where it is much; the laboratory may choose otherwise: no source was found",
            0.15),
    CARRY_OVER_FALSE_ALARM(
            Group.CARRY_OVER,
            Kind.NUMBER,
            "chance",
            1e-12,
            0.4,
            "One-sided chance that carry-over is called where there is none; the laboratory may choose otherwise: no source was found",
            0.0001),
    CARRY_OVER_MATTERS(
            Group.CARRY_OVER,
            Kind.NUMBER,
            "% of the result",
            0.1,
            1000,
            "A soil is read again when more of its result was carried over; the laboratory may choose otherwise: no source was found",
            20),
    CARRY_OVER_UNCERTAINTY(
            Group.CARRY_OVER,
            Kind.NUMBER,
            "share",
            0,
            1,
            "Carry-over and blanks are known to about this, so a soil near the limit is read again too; the laboratory may choose otherwise: no source was found",
            0.1),
    CARRY_OVER_LEAST_READINGS(
            Group.CARRY_OVER,
            Kind.WHOLE,
            "readings",
            4,
            1000,
            "Fewer blanks and check solutions do not show carry-over",
            5),
    CARRY_OVER_LEAST_BLANKS(Group.CARRY_OVER, Kind.WHOLE, "blanks", 1, 1000, "Of which so many must be blanks", 3),
    CARRY_OVER_HUBER(
            Group.CARRY_OVER,
            Kind.NUMBER,
            "robust standard deviations",
            0.5,
            100,
            "Residuals beyond this get less weight (weights of Huber)",
            2.5),
    CARRY_OVER_LEAST_SCATTER(
            Group.CARRY_OVER,
            Kind.NUMBER,
            "share of the reporting limit",
            0.0001,
            1,
            "Blanks are never taken to scatter less; the laboratory may choose otherwise: no source was found",
            0.01),
    DILUTIONS_MADE(
            Group.DILUTIONS,
            Kind.LIST,
            "factor",
            1,
            100000,
            "Dilutions that are made (common practice)",
            1,
            2,
            2.5,
            4,
            5,
            8,
            10,
            20,
            25,
            40,
            50,
            100),
    DILUTION_LEAST_SCATTER(
            Group.DILUTIONS,
            Kind.NUMBER,
            "standard deviation of a natural logarithm",
            0.0001,
            1,
            "Ratios of two readings are never taken to scatter less: pipettes; the laboratory may choose otherwise: no source was found",
            0.01),
    DILUTION_LEAST_LIMITS(
            Group.DILUTIONS,
            Kind.NUMBER,
            "reporting limits",
            0,
            1000,
            "An element with less in the diluted extract is left out; the laboratory may choose otherwise: no source was found",
            3),
    DILUTION_LEAST_ELEMENTS(
            Group.DILUTIONS, Kind.WHOLE, "elements", 1, 1000, "One element alone may be wrong by itself", 2),
    DILUTION_CALLED(
            Group.DILUTIONS,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "A dilution that differs from the record is called from here; the laboratory may choose otherwise: no source was found",
            3),
    DILUTION_AGREES(
            Group.DILUTIONS,
            Kind.NUMBER,
            "times the scatter",
            0.5,
            1000,
            "An element farther from the common factor speaks against it; the laboratory may choose otherwise: no source was found",
            6),
    DILUTION_FREEDOM(
            Group.DILUTIONS,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the density of the ratios: one element gone wrong must not outweigh the others",
            5),
    DUPLICATE_BETWEEN_SOILS(
            Group.DUPLICATES,
            Kind.NUMBER,
            "standard deviation of a natural logarithm",
            0.01,
            10,
            "How far contents of two different soils lie apart; the laboratory may choose otherwise: no source was found",
            0.8),
    DUPLICATE_LEAST_ELEMENTS(
            Group.DUPLICATES,
            Kind.WHOLE,
            "elements",
            2,
            1000,
            "Fewer do not distinguish a wrong portion from another soil",
            4),
    DUPLICATE_GOOD_PAIR(
            Group.DUPLICATES,
            Kind.NUMBER,
            "standard deviations of a difference",
            0.1,
            100,
            "Two portions of one soil differ by no more where the laboratory knows its own standard deviation, whatever the method's limit is: the critical difference of ISO 5725-6:1994, which takes 1.96 (2.8 standard deviations of a result), so that one good pair in twenty is called apart; 3.29 calls one in a thousand, because each asks for a third portion. The analytes of one pair share the chance",
            3.29),
    DUPLICATE_FREEDOM(
            Group.DUPLICATES,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the densities of duplicate ratios and of the internal standard",
            4),
    INTERFERENCE_CALLED(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Against the next best explanation, from which an interfering element is named; the laboratory may choose otherwise: no source was found",
            4),
    INTERFERENCE_AS_GOOD(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "Elements within this of the best are named beside it",
            1),
    INTERFERENCE_WITHOUT_ONE(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "What must remain without the control soil that says most for it; the laboratory may choose otherwise: no source was found",
            1),
    INTERFERENCE_LOOKED_AT(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "log10 of a likelihood ratio",
            0,
            1e12,
            "What the control soils alone must show before ordinary soils are examined; the laboratory may choose otherwise: no source was found",
            1.5),
    INTERFERENCE_NOTHING_LEFT(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "share of the soils",
            0,
            0.999,
            "At most this share of the soils may have a corrected content below zero; the laboratory may choose otherwise: no source was found",
            0.1),
    INTERFERENCE_LEAST_CONTROLS(
            Group.INTERFERENCE, Kind.WHOLE, "control soils", 2, 1000, "Fewer control soils show no interference", 3),
    INTERFERENCE_LEAST_MATERIALS(
            Group.INTERFERENCE,
            Kind.WHOLE,
            "materials",
            1,
            1000,
            "Control soils of fewer materials show no interference",
            2),
    INTERFERENCE_LEAST_OF_CLIENT(
            Group.INTERFERENCE, Kind.WHOLE, "soils", 3, 1000, "Fewer soils of a client have no slope of their own", 6),
    INTERFERENCE_LEAST_CLIENTS(
            Group.INTERFERENCE,
            Kind.WHOLE,
            "clients",
            2,
            1000,
            "Clients needed inside and outside the runs in question",
            3),
    INTERFERENCE_CLIENT_PRIOR(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "soils",
            0,
            1000000.0,
            "Weight of the scatter of all clients in that of one client; the laboratory may choose otherwise: no source was found",
            10),
    INTERFERENCE_MOST_SOILS(
            Group.INTERFERENCE,
            Kind.WHOLE,
            "soils",
            10,
            1000000,
            "Soils examined inside and outside the runs in question; more change only the time it takes",
            2000),
    INTERFERENCE_FREEDOM(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the density of control results",
            4),
    INTERFERENCE_LEARNING_FREEDOM(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "degrees of freedom",
            1,
            1000,
            "Tails of the density of residuals of ordinary soils",
            5),
    INTERFERENCE_MATTERS(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "share of the content",
            0,
            100,
            "A soil is held when more of its result comes from the interfering element; the laboratory may choose otherwise: no source was found",
            0.2),
    INTERFERENCE_UNCERTAINTY(
            Group.INTERFERENCE,
            Kind.NUMBER,
            "share",
            0,
            1,
            "The interference is known to about this, so a soil near the limit is held too; the laboratory may choose otherwise: no source was found",
            0.1),
    REPEAT_AGREES(
            Group.REPEATS,
            Kind.NUMBER,
            "probability",
            0.01,
            0.999999,
            "Results of one soil read again agree when their range lies within this probability for their uncertainties",
            0.95),
    POSSIBLE_TEMPERATURE(
            Group.POSSIBLE,
            Kind.LIST,
            "°C",
            -50,
            200,
            "Lowest and highest temperature of a suspension or extract that is read; outside it the probe is broken or the column is another one (common practice: laboratories read between 15 and 30)",
            2,
            50),
    POSSIBLE_POTENTIAL(
            Group.POSSIBLE,
            Kind.LIST,
            "mV",
            -10000,
            10000,
            "Lowest and highest potential of a glass electrode: pH 0 to 14 at 59 mV each are 414 to -414, and the rest is room for its zero point",
            -600,
            600),
    POSSIBLE_PH(
            Group.POSSIBLE,
            Kind.LIST,
            "pH",
            -5,
            20,
            "Lowest and highest pH that a meter can show of a soil or a buffer",
            0,
            14),
    POSSIBLE_MASS(
            Group.POSSIBLE,
            Kind.LIST,
            "g",
            -1000,
            1000000,
            "Smallest and largest mass: a balance that was tared shows none below nothing (0.05 g is room for its drift), and no vessel of a soil laboratory weighs more",
            -0.05,
            5000),
    POSSIBLE_VOLUME(
            Group.POSSIBLE,
            Kind.LIST,
            "mL",
            -1000,
            1000000,
            "Smallest and largest volume: a burette gives none below nothing",
            0,
            1000),
    POSSIBLE_CONDUCTANCE(
            Group.POSSIBLE,
            Kind.LIST,
            "mS/cm",
            -1000,
            10000,
            "Smallest and largest conductance: a saturated solution of salt has about 250 (from memory), and less than nothing is a cell with a wrong zero",
            -0.01,
            500),
    POSSIBLE_ABSORBANCE(
            Group.POSSIBLE,
            Kind.LIST,
            "absorbance",
            -100,
            1000,
            "Smallest and largest absorbance: no detector tells more than 6, and less than -0.5 is a wrong zero",
            -0.5,
            6),
    POSSIBLE_COUNTS(
            Group.POSSIBLE,
            Kind.NUMBER,
            "counts per second",
            1,
            1e15,
            "Largest rate that a detector of plasma emission can give",
            1e10),
    POSSIBLE_NEGATIVE_COUNTS(
            Group.POSSIBLE,
            Kind.NUMBER,
            "share of the strongest standard",
            0,
            1,
            "A line less than nothing by more than this share of its strongest standard is no background that was taken off; the laboratory may choose otherwise: no source was found",
            0.05),
    POSSIBLE_DILUTION(
            Group.POSSIBLE,
            Kind.NUMBER,
            "factor",
            1,
            1000000000,
            "Largest dilution of an extract; one beyond it is a slip of the key; the laboratory may choose otherwise: no source was found",
            1000),
    POSSIBLE_DEPTH(
            Group.POSSIBLE,
            Kind.NUMBER,
            "cm",
            1,
            1000000,
            "Deepest edge of a soil; the laboratory may choose otherwise: no source was found",
            1000),
    POSSIBLE_LAYER(
            Group.POSSIBLE,
            Kind.NUMBER,
            "cm",
            0,
            100,
            "Thinnest layer that a soil can be of; the laboratory may choose otherwise: no source was found",
            0.5),
    POSSIBLE_START_APART(
            Group.POSSIBLE,
            Kind.NUMBER,
            "hours",
            0,
            10000,
            "Readings that begin so long before or after the run started by runs.csv are asked about; the laboratory may choose otherwise: no source was found",
            3),
    POSSIBLE_RUN_LENGTH(
            Group.POSSIBLE,
            Kind.NUMBER,
            "hours",
            0.1,
            10000,
            "A run that lasts longer is asked about: overnight ashing with its weighings is the longest (common practice)",
            60),
    POSSIBLE_PAUSE(
            Group.POSSIBLE,
            Kind.NUMBER,
            "hours",
            0.1,
            10000,
            "A pause so long between two readings of an instrument that weighs nothing is asked about; the laboratory may choose otherwise: no source was found",
            6),
    POSSIBLE_DAYS_APART(
            Group.POSSIBLE,
            Kind.NUMBER,
            "days",
            0,
            10000,
            "Runs and submissions whose dates lie so far from the day are asked about; the laboratory may choose otherwise: no source was found",
            45),
    POSSIBLE_RUN_DAYS_APART(
            Group.POSSIBLE,
            Kind.NUMBER,
            "days",
            0,
            10000,
            "Runs that started so many days from the day are asked about: a weekend lies between (common practice)",
            4),
    DEAD_LINE_SOILS(
            Group.POSSIBLE,
            Kind.WHOLE,
            "soils",
            3,
            100000,
            "From so many soils that all read nothing, or all the same as the control soils, the detector, probe or burette is dead or the export is wrong; the laboratory may choose otherwise: no source was found",
            8),
    RETENTION_DAYS(
            Group.SHELF,
            Kind.WHOLE,
            "days",
            0,
            36500,
            "How long soils stay on the shelf after release (common practice: four weeks)",
            28),
    ANSWER_RATIO(
            Group.REPEATS,
            Kind.NUMBER,
            "likelihood ratio",
            1,
            1e12,
            "A new reading confirms or refutes a cause where it is so many times likelier under one of the two than under the other (Kass and Raftery 1995, J. Am. Stat. Assoc. 90:773, call 20 to 150 strong evidence; from memory)",
            20),
    ANSWER_SPREAD(
            Group.REPEATS,
            Kind.NUMBER,
            "standard deviations of a difference of two readings",
            0.5,
            1000,
            "How far a mistake that states no right value moves a result, as a standard deviation; the laboratory may choose otherwise: no source was found",
            5),
    ANSWER_FITS(
            Group.REPEATS,
            Kind.NUMBER,
            "probability",
            0.5,
            0.999999999,
            "New readings agree with neither value where they lie beyond this probability from the nearer one; the laboratory may choose otherwise: no source was found",
            0.999),
    RECORD_WEIGHT(
            Group.EVIDENCE,
            Kind.NUMBER,
            "cases",
            0.01,
            1e6,
            "What the policy's rate of a mistake counts as beside the laboratory's own record: so many cases that happened; one case gives way soonest; the laboratory may choose otherwise: no source was found",
            1);

    /** What a setting decides about. */
    public enum Group {
        CONTROL_SOILS("Control soils"),
        REQUIRED_CONTROL("Required control"),
        EVIDENCE("Evidence for calling a cause"),
        TRAYS_AND_RUNS("Trays and runs"),
        NOT_DRY("Soils that were not dry"),
        SINGLE_SOILS("Single soils"),
        RELATIONS("Relations between results"),
        GROUPS("Differences between probes, balances, people and hours"),
        CALIBRATION("Wrong standards"),
        CHECK_SOLUTIONS("Check solutions"),
        DRIFT("Drift"),
        BLANKS("Blanks"),
        CARRY_OVER("Carry-over"),
        DILUTIONS("Dilutions"),
        DUPLICATES("Duplicates"),
        INTERFERENCE("Interference"),
        REPEATS("Soils read again"),
        POSSIBLE("What a reading can be"),
        SHELF("Shelf");

        private final String title;

        Group(String title) {
            this.title = title;
        }

        /** For a heading. */
        public String title() {
            return title;
        }
    }

    /** What may stand in a setting. */
    public enum Kind {
        /** Any number in the range. */
        NUMBER,
        /** A whole number in the range. */
        WHOLE,
        /** One number or more, each in the range. */
        LIST
    }

    private final Group group;
    private final Kind kind;
    private final String unit;
    private final double least;
    private final double most;
    private final String reason;
    private final List<Double> byDefault;

    Setting(Group group, Kind kind, String unit, double least, double most, String reason, double... byDefault) {
        this.group = group;
        this.kind = kind;
        this.unit = unit;
        this.least = least;
        this.most = most;
        this.reason = reason;
        this.byDefault = Arrays.stream(byDefault).boxed().toList();
    }

    /** The setting of a name in a file. */
    public static Optional<Setting> named(String key) {
        return Arrays.stream(values())
                .filter(setting -> setting.key().equals(key))
                .findFirst();
    }

    /** Its name in files, such as {@code tray_evidence}. */
    public String key() {
        return name().toLowerCase(Locale.ROOT);
    }

    public Group group() {
        return group;
    }

    public Kind kind() {
        return kind;
    }

    /** The unit its numbers are in. */
    public String unit() {
        return unit;
    }

    /** Smallest number allowed. */
    public double least() {
        return least;
    }

    /** Largest number allowed. */
    public double most() {
        return most;
    }

    /** What it decides and why the default is what it is. */
    public String reason() {
        return reason;
    }

    /** The numbers this program ships with: one, or several of a list. */
    public List<Double> byDefault() {
        return byDefault;
    }

    /** What may stand there, such as {@code a whole number from 0 to 36500 (days)}. */
    public String allowed() {
        String range = "from " + shortest(least) + " to " + shortest(most) + " (" + unit + ")";
        return switch (kind) {
            case NUMBER -> "a number " + range;
            case WHOLE -> "a whole number " + range;
            case LIST -> "a list of numbers " + range;
        };
    }

    /** Whether these numbers may stand there. */
    public boolean allows(List<Double> numbers) {
        return (kind == Kind.LIST ? !numbers.isEmpty() : numbers.size() == 1)
                && numbers.stream()
                        .allMatch(number -> number >= least
                                && number <= most
                                && (kind != Kind.WHOLE || number == Math.rint(number)));
    }

    /** A number as it is written in a file: whole ones without a decimal mark, no digit more than it needs. */
    public static String shortest(double number) {
        return number == Math.rint(number) && Math.abs(number) < 1e9
                ? String.valueOf((long) number)
                : String.valueOf(number).replace("E", "e");
    }
}
