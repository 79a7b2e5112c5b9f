package org.tenmesh.print.labels;

import java.util.OptionalInt;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Well;

/**
 * What stands on one label. It carries nothing that a hidden control could be told from: a soil's label has no client and no label of the
 * client's, because a control has none.
 *
 * @param bars what the scanner reads, 1 to 48 printable ASCII characters
 * @param large the same for people
 * @param line a second line, may be empty
 * @param regulated whether it is for regulated soil, shown by shape and word
 * @param keyWell the well that shows how a tray lies, index 0 to 11; empty for whatever is no tray
 */
public record Label(String bars, String large, String line, boolean regulated, OptionalInt keyWell) {
    /** @throws IllegalArgumentException where the bars cannot hold the text */
    public Label {
        Labels.encoded(bars);
    }

    /** @param where its tray and well, such as {@code T0001 B3} */
    public static Label soil(LabNumber labNumber, String where, boolean regulated) {
        return new Label(labNumber.text(), labNumber.text(), where, regulated, OptionalInt.empty());
    }

    public static Label tray(String tray, OptionalInt keyWell, boolean regulated) {
        String line = keyWell.isPresent() ? "key well " + new Well(keyWell.getAsInt()) : "";
        return new Label(tray, "Tray " + tray, line, regulated, keyWell);
    }

    public static Label rack(String rack, boolean regulated) {
        return new Label(rack, "Rack " + rack, "", regulated, OptionalInt.empty());
    }

    /** @param line for people, such as the client and how many soils came */
    public static Label box(String submission, String line, boolean regulated) {
        return new Label(submission, submission, line, regulated, OptionalInt.empty());
    }

    /** @param code of a box of the shelf */
    public static Label shelfBox(String code, boolean regulated) {
        return new Label(code, "Box " + code, "shelf", regulated, OptionalInt.empty());
    }

    /** @param code of a place of the shelf */
    public static Label shelfPlace(String code, boolean regulated) {
        return new Label(code, "Place " + code, "shelf", regulated, OptionalInt.empty());
    }

    /**
     * A person's badge.
     *
     * @param code what the scanner reads
     */
    public static Label badge(String code, String name, String role) {
        return new Label(code, name, role, false, OptionalInt.empty());
    }
}
