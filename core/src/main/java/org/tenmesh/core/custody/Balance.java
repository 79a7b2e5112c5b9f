package org.tenmesh.core.custody;

import java.util.Map;

/**
 * What came in and where it is. Both sums are exact: whole milligrams and whole pieces.
 *
 * @param received with the parcels
 * @param vessels pieces that came with portions: cups, filters, crucibles, bags; no soil
 * @param held still in the laboratory, by the portions themselves
 * @param destroyed by charges that were signed
 * @param shipped to somebody else
 * @param lost and not found again
 * @param ordinary of which two people signed that it did not meet regulated soil
 * @param driedMg water that went off while soil dried, mg
 * @param groundAwayMg lost in grinding, by weighing before and after it, mg
 * @param differenceMg found less (positive) or more (negative) by weighing than the account said, mg
 */
public record Balance(
        Amount received,
        Amount vessels,
        Amount held,
        Amount destroyed,
        Amount shipped,
        Amount lost,
        Amount ordinary,
        long driedMg,
        long groundAwayMg,
        long differenceMg) {
    /** @param massMg soil, mg */
    public record Amount(long massMg, long pieces) {
        static final Amount NOTHING = new Amount(0, 0);

        Amount plus(long mass, long many) {
            return new Amount(Math.addExact(massMg, mass), Math.addExact(pieces, many));
        }
    }

    /** What is not explained: zero of both, always. */
    public Amount rest() {
        return new Amount(
                received.massMg
                        - held.massMg
                        - destroyed.massMg
                        - shipped.massMg
                        - lost.massMg
                        - ordinary.massMg
                        - driedMg
                        - groundAwayMg
                        - differenceMg,
                received.pieces
                        + vessels.pieces
                        - held.pieces
                        - destroyed.pieces
                        - shipped.pieces
                        - lost.pieces
                        - ordinary.pieces);
    }

    /**
     * Soil that is nowhere: ground away, lost, or found less by weighing, % of what was received; 0 where nothing was weighed, or more was found than
     * is gone.
     */
    public double gonePct() {
        long gone = Math.addExact(Math.addExact(groundAwayMg, lost.massMg), differenceMg);
        return received.massMg > 0 && gone > 0 ? 100.0 * gone / received.massMg : 0;
    }

    /** Whether it adds up. */
    public boolean exact() {
        return rest().equals(Amount.NOTHING);
    }

    static Balance of(Map<Account, Amount> accounts, Amount held) {
        return new Balance(
                outside(accounts, Account.RECEIVED, -1),
                outside(accounts, Account.VESSELS, -1),
                held,
                outside(accounts, Account.DESTROYED, 1),
                outside(accounts, Account.SHIPPED, 1),
                outside(accounts, Account.LOST, 1),
                outside(accounts, Account.ORDINARY, 1),
                outside(accounts, Account.WATER, 1).massMg,
                outside(accounts, Account.GROUND_AWAY, 1).massMg,
                outside(accounts, Account.DIFFERENCE, 1).massMg);
    }

    private static Amount outside(Map<Account, Amount> accounts, Account account, int sign) {
        Amount amount = accounts.getOrDefault(account, Amount.NOTHING);
        return new Amount(sign * amount.massMg, sign * amount.pieces);
    }

    /** Where soil and pieces come from and go to outside the laboratory's portions. */
    enum Account {
        RECEIVED,
        VESSELS,
        WATER,
        GROUND_AWAY,
        DIFFERENCE,
        DESTROYED,
        SHIPPED,
        LOST,
        ORDINARY
    }
}
