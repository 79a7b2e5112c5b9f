package org.tenmesh.core.methods;

/**
 * For how long soil that was stored may be read again and still be compared with what was read before.
 *
 * @param comparableDays days from the date that its lab number carries to the start of the run, 1 to 36500
 */
public record StoredSoil(int comparableDays, Source source) {
    public StoredSoil {
        if (comparableDays < 1 || comparableDays > 36_500) {
            throw new IllegalArgumentException("stored soil is compared for 1 to 36500 days, found " + comparableDays);
        }
    }
}
