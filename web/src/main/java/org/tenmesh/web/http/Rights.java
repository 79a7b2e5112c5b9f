package org.tenmesh.web.http;

import java.util.EnumSet;
import java.util.Set;
import org.tenmesh.store.people.PersonRole;

/** Which roles may see and do what. */
public final class Rights {
    private Rights() {}

    /** Everybody who has signed in. */
    public static final Set<PersonRole> ALL = Set.copyOf(EnumSet.allOf(PersonRole.class));

    /** Those who see verdicts. */
    public static final Set<PersonRole> FLOOR = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR);

    /** Those who see which lab numbers are hidden controls. */
    public static final Set<PersonRole> SEALED = Set.of(PersonRole.QUALITY, PersonRole.AUDITOR);

    /** Those who act on causes. */
    public static final Set<PersonRole> ACT = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY);

    /** Those who see submissions, releases and reports. */
    public static final Set<PersonRole> CLIENTS =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.CLIENT_SERVICE, PersonRole.AUDITOR);

    /** Those who see trays. */
    public static final Set<PersonRole> TRAYS =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH, PersonRole.AUDITOR);
}
