package org.tenmesh.app.laboratory;

import java.util.List;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.exchange.day.Known;
import org.tenmesh.store.record.LaboratoryRecord;

/** What earlier imports brought, for a day folder that goes on with them. */
record KnownInStore(LaboratoryRecord record) implements Known {
    @Override
    public boolean labNumber(String register, LabNumber labNumber) {
        return !record.known(register, List.of(labNumber)).isEmpty();
    }

    @Override
    public boolean material(String register, String material) {
        return record.knowsMaterial(register, material);
    }

    @Override
    public boolean standard(String register, String method, String standard) {
        return record.knowsStandard(register, method, standard);
    }
}
