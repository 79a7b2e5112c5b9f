package org.tenmesh.app.reference;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** The committed page of the policy is what the program writes now. */
class PolicyPageTest {
    @Test
    void thePageIsTheOneTheProgramWrites() throws Exception {
        assertThat(Files.readString(Path.of("..", "docs", "policy.md")))
                .as("renew the page with: ./tenmesh policy --page docs/policy.md")
                .isEqualTo(PolicyCommand.page());
    }
}
