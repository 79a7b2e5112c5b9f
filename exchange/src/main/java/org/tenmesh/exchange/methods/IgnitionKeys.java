package org.tenmesh.exchange.methods;

import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.yaml.Section;

/** The keys of a loss on ignition. */
final class IgnitionKeys {
    private IgnitionKeys() {}

    static IgnitionMethod read(Method.Head head, Section own) {
        double dryCelsius = Values.positive(own, "dry_celsius");
        double dryHours = Values.positive(own, "dry_hours");
        double ashCelsius = Values.positive(own, "ash_celsius");
        double ashHours = Values.positive(own, "ash_hours");
        int knownsFirst = own.whole("knowns_first", 0, 1000);
        double least = Values.positive(own, "least_dry_soil_g");
        double most = Values.positive(own, "most_dry_soil_g");
        double highest = Values.positive(own, "highest_loi_pct");
        double limit = Values.positive(own, "duplicate_limit_pct");
        double floor = own.number("duplicate_floor_pct");
        Section line = own.section("organic_matter");
        IgnitionMethod.Regression regression = new IgnitionMethod.Regression(
                line.date("version"),
                line.number("slope"),
                line.number("intercept"),
                Values.source(line.section("source")));
        line.nothingElse();
        return new IgnitionMethod(
                head,
                dryCelsius,
                dryHours,
                ashCelsius,
                ashHours,
                knownsFirst,
                least,
                most,
                highest,
                limit,
                floor,
                regression);
    }
}
