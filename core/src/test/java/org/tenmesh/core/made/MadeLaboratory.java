package org.tenmesh.core.made;

import java.util.Set;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.ReportForms;

/** A laboratory for tests: unnamed, in UTC, by the usual policy, until a test says otherwise. */
public final class MadeLaboratory {
    private String name;
    private String zone;
    private String address;
    private boolean invented;
    private Policy policy;
    private Set<String> advice;
    private String register;
    private AcceptedFailures acceptedFailures;
    private ReportForms reports;

    private MadeLaboratory(Laboratory like) {
        name = like.name();
        zone = like.zone();
        address = like.address();
        invented = like.invented();
        policy = like.policy();
        advice = like.advice();
        register = like.register();
        acceptedFailures = like.acceptedFailures();
        reports = like.reports();
    }

    public static MadeLaboratory named(String name) {
        MadeLaboratory made = new MadeLaboratory(Laboratory.unnamed());
        made.name = name;
        return made;
    }

    /** The invented laboratory of the examples. */
    public static MadeLaboratory ashgrove() {
        return named("Ashgrove Soil Laboratory").in("Europe/Dublin").invented(true);
    }

    public static MadeLaboratory like(Laboratory other) {
        return new MadeLaboratory(other);
    }

    public MadeLaboratory in(String newZone) {
        zone = newZone;
        return this;
    }

    public MadeLaboratory at(String newAddress) {
        address = newAddress;
        return this;
    }

    public MadeLaboratory invented(boolean isInvented) {
        invented = isInvented;
        return this;
    }

    public MadeLaboratory policy(Policy newPolicy) {
        policy = newPolicy;
        return this;
    }

    public MadeLaboratory advice(String... regions) {
        advice = Set.of(regions);
        return this;
    }

    public MadeLaboratory register(String newRegister) {
        register = newRegister;
        return this;
    }

    public MadeLaboratory acceptedFailures(AcceptedFailures asked) {
        acceptedFailures = asked;
        return this;
    }

    public MadeLaboratory reports(ReportForms forms) {
        reports = forms;
        return this;
    }

    public Laboratory laboratory() {
        return new Laboratory(name, zone, address, invented, policy, advice, register, acceptedFailures, reports);
    }
}
