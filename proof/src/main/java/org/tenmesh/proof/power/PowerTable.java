package org.tenmesh.proof.power;

import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** All numbers of the study as a table. */
record PowerTable(Measured measured) {
    String csv() {
        StringBuilder csv = new StringBuilder("part,row,curve,size,measure,count,of,share,low,high,asked\r\n");
        for (Study.Counted counted : measured.rows()) {
            for (String measure : List.of("found", "named", "told", "extent", "further", "atRate", "byRegression")) {
                Rate rate = counted.measure(measure);
                if (rate.of() > 0) {
                    csv(csv, counted.row(), measure, rate);
                }
            }
        }
        measured.clean().forEach((where, days) -> {
            days.causes()
                    .forEach((kind, sum) -> csv.append(String.format(
                            Locale.ROOT,
                            "\"clean days, %s\",\"%s\",,,days with it,%d,%d,%.5f,%.5f,%.5f,\r\n",
                            where,
                            kind,
                            sum[0],
                            days.days(),
                            new Rate(sum[0], days.days()).share(),
                            new Rate(sum[0], days.days()).low(),
                            new Rate(sum[0], days.days()).high())));
            Rate unfit = new Rate(days.unfit(), days.determinations());
            csv.append(String.format(
                    Locale.ROOT,
                    "\"clean days, %s\",determinations not fit,,,determinations,%d,%d,%.6f,%.6f,%.6f,\r\n",
                    where,
                    unfit.count(),
                    unfit.of(),
                    unfit.share(),
                    unfit.low(),
                    unfit.high()));
        });
        return csv.toString();
    }

    private static void csv(StringBuilder csv, Row row, String measure, Rate rate) {
        csv.append(String.format(
                Locale.ROOT,
                "\"%s\",\"%s\",\"%s\",%s,%s,%d,%d,%.4f,%.4f,%.4f,%s\r\n",
                row.part(),
                row.name(),
                row.curve(),
                row.curve().isEmpty() ? "" : Row.plain(row.size()),
                measure,
                rate.count(),
                rate.of(),
                rate.share(),
                rate.low(),
                rate.high(),
                Optional.ofNullable(row.targets().get(measure))
                        .map(Object::toString)
                        .orElse("")));
    }
}
