package org.tenmesh.core.custody;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * Where a soil was taken, as the client wrote it. Not where the parcel was sent from.
 *
 * @param country ISO 3166-1 alpha-2, upper case; empty where none is known
 * @param places region, county and whatever smaller place was named, in any order
 */
public record Origin(Optional<String> country, List<String> places) {
    private static final Set<String> COUNTRIES = Set.copyOf(Arrays.asList(Locale.getISOCountries()));

    public Origin {
        if (country.filter(code -> !COUNTRIES.contains(code)).isPresent()) {
            throw new IllegalArgumentException(
                    "a country is a code of two letters of ISO 3166-1, found " + country.get());
        }
        places = places.stream().map(String::strip).toList();
        if (places.stream().anyMatch(Names::saysNothing)) {
            throw new IllegalArgumentException("a place has a name, found " + places);
        }
    }

    /** Whether these two letters are a country. */
    public static boolean isCountry(String code) {
        return COUNTRIES.contains(code);
    }

    /**
     * From what stands on a worksheet.
     *
     * @param country as written; what is no country code counts as not said, so that it is asked for
     * @param places region and county, each as written, such as "Lee County, Alabama"; what says nothing ("unknown") counts as not said
     */
    public static Origin written(Optional<String> country, List<String> places) {
        List<String> named = new ArrayList<>();
        for (String text : places) {
            for (String part : Names.saysNothing(text) ? new String[0] : text.split("[,;|]| / ")) {
                if (!Names.saysNothing(part)) {
                    named.add(part.strip());
                }
            }
        }
        return new Origin(
                country.map(code -> code.strip().toUpperCase(Locale.ROOT)).filter(COUNTRIES::contains), named);
    }

    /** In words: "US, Alabama, Lee County". */
    public String words() {
        List<String> words = new ArrayList<>();
        country.ifPresent(words::add);
        words.addAll(places);
        return words.isEmpty() ? "not stated" : String.join(", ", words);
    }
}
