package org.tenmesh.web.people;

import java.util.Arrays;
import java.util.List;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Rights;

/**
 * Who lets whom in. A link or a role gives whoever gets it the rights of that role, so nobody gives one whose rights they
 * lack: the roles that see the key of the hidden controls are given by quality, all others by whoever is in charge. A
 * person never passes from one side to the other.
 */
public final class Admission {
    private Admission() {}

    /** Whether somebody of this role may add people of that role, issue links for them and change them. */
    static boolean may(PersonRole who, PersonRole whom) {
        return Rights.SEALED.contains(whom) ? who == PersonRole.QUALITY : who == PersonRole.IN_CHARGE;
    }

    /** The roles whose people this role looks after; none for most. */
    static List<PersonRole> lookedAfterBy(PersonRole who) {
        return Arrays.stream(PersonRole.values()).filter(whom -> may(who, whom)).toList();
    }
}
