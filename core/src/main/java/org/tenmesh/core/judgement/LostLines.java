package org.tenmesh.core.judgement;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.IntPredicate;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;

/** Holds the soils of a run that rest on a line of the input that could not be taken, or are guarded by what it states. */
final class LostLines {
    private final RunTable table;
    private final Set<String> hiddenMaterials;

    /** @param hidden the sealed key as far as it could be taken */
    LostLines(RunTable table, Map<LabNumber, String> hidden) {
        this.table = table;
        hiddenMaterials = Set.copyOf(hidden.values());
    }

    /** @param lost of this run's method, or of any */
    void judge(List<LostLine> lost, Consumer<Draft> drafts) {
        if (table.lastSoil() < 0) {
            return;
        }
        for (LostLine line : lost) {
            IntPredicate touched = line.kind() == LostLine.Kind.SOIL
                    ? row -> line.name().equals(Optional.of(table.at(row, 0).identity()))
                    : row -> true;
            OptionalInt only = line.analyte().map(table::column).orElse(OptionalInt.empty());
            boolean ofAnother = line.method().isEmpty() && line.analyte().isPresent() && only.isEmpty();
            if (ofAnother || !isRead(line)) {
                continue;
            }
            Draft draft = new Draft(
                            table,
                            CauseKind.CONTROL_MISSING,
                            Verdict.HOLD,
                            line.file(),
                            "",
                            "Put right in " + line.file() + " what problems.csv names, then judge the day again.")
                    .says(line.place() + ", which states " + line.kind().states() + ", could not be taken");
            for (int column = 0; column < table.columns(); column++) {
                if (only.isEmpty() || only.getAsInt() == column) {
                    for (int row = table.firstSoil(); row <= table.lastSoil(); row++) {
                        if (touched.test(row)) {
                            draft.touch(row, column);
                        }
                    }
                }
            }
            if (!draft.cells().isEmpty()) {
                drafts.accept(draft);
            }
        }
    }

    // Whether the run read what the line is about; a line without a name may be about anything of its kind.
    private boolean isRead(LostLine line) {
        return switch (line.kind()) {
            case SOIL -> line.name().isPresent();
            case HIDDEN_CONTROL -> line.name().isEmpty() || reads(line.name(), Set.of(Role.SAMPLE, Role.DUPLICATE));
            case MATERIAL ->
                line.name().map(hiddenMaterials::contains).orElse(!hiddenMaterials.isEmpty())
                        || reads(line.name(), Set.of(Role.CONTROL));
            case STANDARD -> reads(line.name(), Set.of(Role.STANDARD, Role.VERIFICATION));
        };
    }

    private boolean reads(Optional<String> name, Set<Role> roles) {
        Readings readings = table.run().readings();
        for (int i = 0; i < readings.size(); i++) {
            if (roles.contains(readings.role(i))
                    && (name.isEmpty() || name.get().equals(readings.identity(i)))) {
                return true;
            }
        }
        return false;
    }
}
