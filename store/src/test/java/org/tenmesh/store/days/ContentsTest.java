package org.tenmesh.store.days;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.RecordComponent;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.Function;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.journal.RowDigests;

final class ContentsTest {
    /** A record, one that differs in every component, and how digests of it are taken. */
    private record Pair(Record one, Record other, Function<Record, RowDigests> digests) {
        @Override
        public String toString() {
            return one.getClass().getSimpleName();
        }
    }

    static Stream<Pair> records() {
        LabNumber first = new LabNumber("26329-0001-X");
        LabNumber second = new LabNumber("26329-0002-X");
        OffsetDateTime at = OffsetDateTime.parse("2026-11-25T06:30:00.250+01:00");
        return Stream.of(
                new Pair(
                        new Submission(
                                "S1",
                                "A client",
                                at,
                                Optional.empty(),
                                Optional.of("IE"),
                                Optional.empty(),
                                Optional.empty(),
                                Optional.of(false),
                                Optional.empty()),
                        new Submission(
                                "S2",
                                "Another",
                                at.plusSeconds(1),
                                Optional.of(LocalDate.of(2026, 11, 28)),
                                Optional.empty(),
                                Optional.of("Cork"),
                                Optional.of("standard"),
                                Optional.empty(),
                                Optional.of("wet")),
                        one -> new Contents()
                                .submissions(List.of((Submission) one))
                                .of(Contents.Kind.SUBMISSION)),
                new Pair(
                        new Soil(
                                first,
                                Optional.of("S1"),
                                OptionalInt.of(1),
                                Optional.of("field"),
                                OptionalDouble.of(0),
                                OptionalDouble.empty(),
                                Optional.empty(),
                                Optional.empty(),
                                Soil.Matter.SOIL),
                        new Soil(
                                second,
                                Optional.of("S2"),
                                OptionalInt.empty(),
                                Optional.of("lawn"),
                                OptionalDouble.of(15),
                                OptionalDouble.of(30),
                                Optional.of("standard"),
                                Optional.of(true),
                                Soil.Matter.WATER),
                        one -> new Contents().soils(List.of((Soil) one)).of(Contents.Kind.SOIL)),
                new Pair(
                        new TestPackage("a", "A", List.of(new TestPackage.Asked("ph-water-1-1", List.of()))),
                        new TestPackage("b", "B", List.of(new TestPackage.Asked("ph-water-1-1", List.of("pH")))),
                        one -> new Contents()
                                .packages(List.of((TestPackage) one))
                                .of(Contents.Kind.PACKAGE)),
                new Pair(
                        new Shortage(first, "ph-water-1-1"),
                        new Shortage(second, "mehlich3-icp"),
                        one -> new Contents().shortages(List.of((Shortage) one)).of(Contents.Kind.SHORTAGE)),
                new Pair(
                        new Tray("T1", List.of(new Tray.Place(new Well(0), Optional.of(first), Tray.Purpose.SOIL))),
                        new Tray("T2", List.of(new Tray.Place(new Well(1), Optional.of(first), Tray.Purpose.SOIL))),
                        one -> new Contents().trays(List.of((Tray) one)).of(Contents.Kind.TRAY)),
                new Pair(
                        new Material("LOAM-A", "ph-water-1-1", "pH", 6.42, 0.05, Unit.PH, OptionalInt.of(120)),
                        new Material(
                                "CLAY-B", "ph-cacl2", "K", 6.43, 0.5, Unit.MILLIGRAM_PER_LITRE, OptionalInt.empty()),
                        one -> new Contents().materials(List.of((Material) one)).of(Contents.Kind.MATERIAL)),
                new Pair(
                        new Standard(
                                "ph-water-1-1",
                                "B7",
                                "pH",
                                7,
                                Unit.PH,
                                OptionalDouble.of(0.05),
                                OptionalDouble.empty()),
                        new Standard(
                                "mehlich3-icp",
                                "S3",
                                "K",
                                50,
                                Unit.MILLIGRAM_PER_LITRE,
                                OptionalDouble.empty(),
                                OptionalDouble.of(5)),
                        one -> new Contents().standards(List.of((Standard) one)).of(Contents.Kind.STANDARD)),
                new Pair(
                        new ReleasedResult(
                                first,
                                "ph-water-1-1",
                                "2026-01-01",
                                "pH",
                                OptionalDouble.of(6.1),
                                "[pH]",
                                "6.1",
                                "0.1",
                                ""),
                        new ReleasedResult(
                                second,
                                "mehlich3-icp",
                                "2026-01-02",
                                "K",
                                ReleasedCase.HELD,
                                OptionalDouble.empty(),
                                "mg/kg",
                                "",
                                "",
                                "drift",
                                "drift"),
                        one -> Contents.results(List.of((ReleasedResult) one))));
    }

    /** A component that a later version adds and that no digest covers could be changed unseen. */
    @ParameterizedTest
    @MethodSource("records")
    void coversEveryComponent(Pair pair) throws Exception {
        RecordComponent[] components = pair.one().getClass().getRecordComponents();
        Class<?>[] types =
                Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new);
        String before = pair.digests().apply(pair.one()).sha256();
        for (int changed = 0; changed < components.length; changed++) {
            Object[] values = new Object[components.length];
            for (int i = 0; i < components.length; i++) {
                values[i] = components[i].getAccessor().invoke(i == changed ? pair.other() : pair.one());
            }
            Record mixed =
                    (Record) pair.one().getClass().getDeclaredConstructor(types).newInstance(values);
            assertThat(pair.digests().apply(mixed).sha256())
                    .as("%s.%s", pair, components[changed].getName())
                    .isNotEqualTo(before);
        }
    }

    @Test
    void coversEveryPlaceOfATray() {
        Tray.Place place = new Tray.Place(new Well(0), Optional.of(new LabNumber("26329-0001-X")), Tray.Purpose.SOIL);
        List<Tray.Place> others = List.of(
                new Tray.Place(new Well(1), place.labNumber(), place.purpose()),
                new Tray.Place(place.well(), Optional.empty(), place.purpose()),
                new Tray.Place(place.well(), place.labNumber(), Tray.Purpose.KEY));
        assertThat(others).allSatisfy(other -> assertThat(tray(other)).isNotEqualTo(tray(place)));
    }

    /**
     * Written with printf and hashed with coreutils' sha256sum (GNU coreutils 9.1): the row's text, then the line of its digest,
     * a blank and its name. A change of this text would make every day that was taken look tampered with.
     */
    @Test
    void takesTheSameDigestAsEver() {
        RowDigests shortages = new Contents()
                .shortages(List.of(new Shortage(new LabNumber("26329-0001-X"), "ph-water-1-1")))
                .of(Contents.Kind.SHORTAGE);

        assertThat(shortages.byName())
                .containsEntry(
                        "26329-0001-X, ph-water-1-1",
                        "95313f1dd9bb777541fa88bb0fe73e42d756a7131a03d35f0994bb89df3650b7");
        assertThat(shortages.sha256()).isEqualTo("39cdda8a70dd2a76493e70147d9d161711ca1a099731a73a94663ae64dbcfb20");
    }

    /** The digest of a run counts roles and units by their place: new ones go to the end. */
    @Test
    void rolesAndUnitsKeepTheirPlaces() {
        String roles =
                String.join(" ", Arrays.stream(Role.values()).map(Role::word).toList());
        String units =
                String.join(" ", Arrays.stream(Unit.values()).map(Unit::ucum).toList());

        assertThat(roles).startsWith("standard verification blank control sample duplicate wash");
        assertThat(units)
                .startsWith(
                        "mV Cel g mL mS/cm dS/m mg/L mg/kg cmol/kg mmol/L meq/L mol/L g/L g/kg mg/dm3 cm [lb_av]/[acr_us] [ston_av]/[acr_us] kg/har t/har % [pH] /s {A} 1");
    }

    private static String tray(Tray.Place place) {
        return new Contents()
                .trays(List.of(new Tray("T1", List.of(place))))
                .of(Contents.Kind.TRAY)
                .sha256();
    }
}
