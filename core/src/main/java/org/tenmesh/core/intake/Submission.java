package org.tenmesh.core.intake;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.Optional;

/**
 * What one client sent in one box, with its worksheet.
 *
 * @param submission the laboratory's name for it, unique in a day
 * @param client who sent it
 * @param receivedAt when the box arrived
 * @param promisedOn the day its results are due
 * @param originCountry ISO 3166-1 alpha-2
 * @param originRegion state, county or zone, as written
 * @param packageName the named set of methods asked for
 * @param waterSupplied whether the client's own irrigation water came along; empty when not known
 * @param note anything written on the worksheet
 */
public record Submission(
        String submission,
        String client,
        OffsetDateTime receivedAt,
        Optional<LocalDate> promisedOn,
        Optional<String> originCountry,
        Optional<String> originRegion,
        Optional<String> packageName,
        Optional<Boolean> waterSupplied,
        Optional<String> note) {}
