package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Isolated;
import org.slf4j.LoggerFactory;
import org.tenmesh.store.people.PersonRole;

/** A server that is stopped while pages are open: the pages are let go first, and the log stays quiet. Hears every line. */
@Isolated
class StoppingPageTest {
    @Test
    void letsOpenPagesGoWithoutAWordInTheLog() throws Exception {
        Logger root = (Logger) LoggerFactory.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
        ListAppender<ILoggingEvent> heard = new ListAppender<>();
        heard.start();
        root.addAppender(heard);
        try {
            Ashgrove ashgrove = Ashgrove.open(24);
            Browser quality = ashgrove.as(PersonRole.QUALITY);
            List<BlockingQueue<String>> pages = new ArrayList<>();
            for (int i = 0; i < 8; i++) {
                pages.add(quality.listen("/live"));
            }
            for (BlockingQueue<String> page : pages) {
                assertThat(page.poll(10, TimeUnit.SECONDS)).isNotNull();
            }
            ashgrove.server().currentDay().renew();
            ashgrove.close();
            // What the server's threads had left to say they say by now.
            Thread.sleep(500);
        } finally {
            root.detachAppender(heard);
        }
        assertThat(List.copyOf(heard.list))
                .filteredOn(event -> event.getLevel().isGreaterOrEqual(Level.WARN))
                .extracting(ILoggingEvent::getFormattedMessage)
                .isEmpty();
    }

    @Test
    void followsNobodyOnceStopped() {
        Ashgrove ashgrove = Ashgrove.open(24);
        ashgrove.close();
        List<String> told = new ArrayList<>();
        ashgrove.server().currentDay().follow(told::add);
        ashgrove.server().currentDay().renew();
        assertThat(told).isEmpty();
    }
}
