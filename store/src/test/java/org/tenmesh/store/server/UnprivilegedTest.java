package org.tenmesh.store.server;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

final class UnprivilegedTest {
    @Test
    void callsProgramsThroughANamespaceWhereThereIsOne() {
        assertThat(Unprivileged.chooseForRoot(true).command(List.of("initdb", "-D", "x")))
                .containsExactly("unshare", "--user", "initdb", "-D", "x");
    }

    @Test
    void callsProgramsAsTheyAreForAnOrdinaryUser() {
        assertThat(new Unprivileged(List.of(), Optional.empty()).command(List.of("initdb", "-D", "x")))
                .containsExactly("initdb", "-D", "x");
    }
}
