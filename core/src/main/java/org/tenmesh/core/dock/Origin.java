package org.tenmesh.core.dock;

/**
 * Where soils were taken, which decides whether they are regulated; never the address of who sent them.
 *
 * @param country ISO 3166-1 alpha-2; empty text where nobody said it
 * @param region state, county or zone as written; may be empty
 */
public record Origin(String country, String region) {
    /** Nobody said it. */
    public static final Origin MISSING = new Origin("", "");

    /** @throws IllegalArgumentException where a country is not two capital letters, or a region has none */
    public Origin {
        if (!country.matches("([A-Z]{2})?") || country.isEmpty() && !region.isEmpty() || region.length() > 200) {
            throw new IllegalArgumentException(
                    "origin \"" + country + "\", \"" + region
                            + "\": expected two capital letters by ISO 3166-1, such as IE, and a region of at most 200 characters");
        }
    }

    public boolean missing() {
        return country.isEmpty();
    }

    @Override
    public String toString() {
        return missing() ? "not stated" : region.isEmpty() ? country : country + ", " + region;
    }
}
