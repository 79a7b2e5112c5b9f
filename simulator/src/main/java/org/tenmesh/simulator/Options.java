package org.tenmesh.simulator;

import java.time.ZoneId;
import java.util.List;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;
import org.tenmesh.simulator.soils.Mixture;

/**
 * How the invented laboratory works and what its clients send.
 *
 * @param metersGivePh whether the last pH robot sends pH instead of potential and temperature
 * @param inProgress whether the day is seen while the last runs are still to come and one is being read
 * @param balanceDecimals decimals of a gram the balances show, 3 or 4
 * @param zone where the laboratory is
 * @param everyMethod whether clients ask for ten packages over all routine methods; otherwise every soil gets pH, loss on ignition
 *     and Mehlich-3
 * @param keyWells whether every tray keeps one well empty; otherwise a tray holds twelve soils
 * @param grounds the kinds of ground; each client's is drawn from them, one may stand more than once
 * @param likeness how alike the soils of a client and of a field are
 * @param controlsKnown from which earlier runs the laboratory knows its control soils
 * @param noise how errors of measurement are spread
 * @param mixture how far soils depart from fields of alike soils on one ground
 */
public record Options(
        boolean metersGivePh,
        boolean inProgress,
        int balanceDecimals,
        ZoneId zone,
        boolean everyMethod,
        boolean keyWells,
        List<Ground> grounds,
        Likeness likeness,
        ControlsKnown controlsKnown,
        Noise noise,
        Mixture mixture) {
    /** With the three methods alone. */
    public Options(boolean metersGivePh, boolean inProgress, int balanceDecimals, ZoneId zone) {
        this(metersGivePh, inProgress, balanceDecimals, zone, false);
    }

    /** With key wells, and arable soils as alike as usual. */
    public Options(boolean metersGivePh, boolean inProgress, int balanceDecimals, ZoneId zone, boolean everyMethod) {
        this(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                true,
                List.of(Ground.ARABLE),
                Likeness.usual(),
                ControlsKnown.usual(),
                Noise.usual(),
                Mixture.none());
    }

    public Options {
        if (balanceDecimals < 3 || balanceDecimals > 4) {
            throw new IllegalArgumentException("balances show 3 or 4 decimals, found " + balanceDecimals);
        }
        grounds = List.copyOf(grounds);
        if (grounds.isEmpty()) {
            throw new IllegalArgumentException("clients' soils come from one kind of ground or more, found none");
        }
    }

    /** A finished day; robots send potentials; balances show 0.1 mg; Dublin. */
    public static Options defaults() {
        return new Options(false, false, 4, ZoneId.of("Europe/Dublin"));
    }

    /** These with or without key wells. */
    public Options withKeyWells(boolean kept) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                kept,
                grounds,
                likeness,
                controlsKnown,
                noise,
                mixture);
    }

    /** These on other ground; of several each client gets one. */
    public Options on(Ground... others) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                keyWells,
                List.of(others),
                likeness,
                controlsKnown,
                noise,
                mixture);
    }

    /** These with soils more or less alike. */
    public Options with(Likeness other) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                keyWells,
                grounds,
                other,
                controlsKnown,
                noise,
                mixture);
    }

    /** These in a laboratory that knows its control soils from other runs. */
    public Options knowing(ControlsKnown other) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                keyWells,
                grounds,
                likeness,
                other,
                noise,
                mixture);
    }

    /** These with other errors of measurement. */
    public Options with(Noise other) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                keyWells,
                grounds,
                likeness,
                controlsKnown,
                other,
                mixture);
    }

    /** These with other clients. */
    public Options with(Mixture other) {
        return new Options(
                metersGivePh,
                inProgress,
                balanceDecimals,
                zone,
                everyMethod,
                keyWells,
                grounds,
                likeness,
                controlsKnown,
                noise,
                other);
    }
}
