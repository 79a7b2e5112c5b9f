package org.tenmesh.store.server;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class StartAgainTest {
    @Test
    void thePauseGrowsToFiveMinutesAndNoFurther() {
        assertThat(IntStream.of(0, 1, 2, 3, 8, 9, 31, 64, 1000).mapToObj(EmbeddedServer::againAfterSeconds))
                .containsExactly(1L, 2L, 4L, 8L, 256L, 300L, 300L, 300L, 300L);
    }
}
