package org.tenmesh.core.causes;

/**
 * How far what was read in one place, by one instrument or one person, or in one hour lies from the others of its kind, with client,
 * field and the soils' other results taken out.
 *
 * @param kind what the soils are grouped by: {@code channel}, {@code instrument}, {@code operator}, {@code well}, {@code hour}
 * @param group which one
 * @param method the method's id
 * @param analyte symbol
 * @param size in {@code unit}, at the middle of the day's soils
 * @param low lower end of the 95 % interval
 * @param high upper end
 * @param unit as written in files
 * @param soils how many soils of the group it rests on
 * @param log10Chance log10 of the chance of so large a difference without a fault
 * @param told whether it is told as real, with the day's share of false ones controlled
 */
public record GroupDifference(
        String kind,
        String group,
        String method,
        String analyte,
        double size,
        double low,
        double high,
        String unit,
        int soils,
        double log10Chance,
        boolean told) {}
