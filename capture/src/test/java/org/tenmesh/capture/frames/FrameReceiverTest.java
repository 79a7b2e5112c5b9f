package org.tenmesh.capture.frames;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class FrameReceiverTest {
    private final List<String> kept = new ArrayList<>();
    private final List<String> told = new ArrayList<>();
    private int notNow;
    private final FrameReceiver receiver = new FrameReceiver(new FrameReceiver.Records() {
        @Override
        public boolean keep(String record) {
            if (notNow > 0) {
                notNow--;
                return false;
            }
            kept.add(record);
            return true;
        }

        @Override
        public void tell(String what) {
            told.add(what);
        }
    });

    private String send(byte[] bytes) throws InterruptedException {
        StringBuilder answers = new StringBuilder();
        for (byte one : bytes) {
            Optional<Integer> answer = receiver.next(one & 0xff);
            answer.ifPresent(value -> answers.append(value == Frame.ACK ? "A" : value == Frame.NAK ? "N" : "?"));
        }
        return answers.toString();
    }

    private String send(int control) throws InterruptedException {
        return send(new byte[] {(byte) control});
    }

    @Test
    void acknowledgesWhatIsKept() throws InterruptedException {
        assertThat(send(Frame.ENQ)).isEqualTo("A");
        assertThat(send(new Frame(1, "H|\\^&\r", true).bytes())).isEqualTo("A");
        assertThat(send(new Frame(2, "P|1\r", true).bytes())).isEqualTo("A");
        assertThat(send(Frame.EOT)).isEmpty();
        assertThat(kept).containsExactly("H|\\^&", "P|1");
        assertThat(receiver.inSession()).isFalse();
        assertThat(send(new Frame(3, "L|1|N\r", true).bytes()))
                .as("outside a session")
                .isEmpty();
    }

    @Test
    void putsARecordOfSeveralFramesTogether() throws InterruptedException {
        send(Frame.ENQ);
        assertThat(send(new Frame(1, "C|1|I|a long ", false).bytes())).isEqualTo("A");
        assertThat(kept).isEmpty();
        assertThat(send(new Frame(2, "remark|G\r", true).bytes())).isEqualTo("A");
        assertThat(kept).containsExactly("C|1|I|a long remark|G");
    }

    @Test
    void refusesAWrongChecksumAndTakesTheFrameWhenItComesAgain() throws InterruptedException {
        send(Frame.ENQ);
        byte[] broken = new Frame(1, "P|1\r", true).bytes();
        broken[3] ^= 1;
        assertThat(send(broken)).isEqualTo("N");
        assertThat(told.get(0)).startsWith("checksum 3E of frame 1: expected");
        assertThat(send(new Frame(1, "P|1\r", true).bytes())).isEqualTo("A");
        assertThat(kept).containsExactly("P|1");
    }

    @Test
    void acknowledgesAFrameThatComesAgainBecauseTheAnswerWasLostAndKeepsItOnce() throws InterruptedException {
        send(Frame.ENQ);
        byte[] frame = new Frame(1, "P|1\r", true).bytes();
        assertThat(send(frame)).isEqualTo("A");
        assertThat(send(frame)).isEqualTo("A");
        assertThat(kept).containsExactly("P|1");
        assertThat(send(new Frame(5, "L|1|N\r", true).bytes()))
                .as("frames are missing")
                .isEqualTo("N");
    }

    @Test
    void doesNotAcknowledgeWhatIsNotDurable() throws InterruptedException {
        send(Frame.ENQ);
        notNow = 2;
        byte[] frame = new Frame(1, "P|1\rO|1|A\r", true).bytes();
        assertThat(send(frame)).isEqualTo("N");
        assertThat(send(frame)).isEqualTo("N");
        assertThat(kept).isEmpty();
        assertThat(send(frame)).isEqualTo("A");
        assertThat(kept).containsExactly("P|1", "O|1|A");
    }

    @Test
    void keepsTheFirstRecordOfAFrameOnceWhenTheSecondIsNotDurable() throws InterruptedException {
        send(Frame.ENQ);
        byte[] frame = new Frame(1, "P|1\rO|1|A\r", true).bytes();
        FrameReceiver.Records once = new FrameReceiver.Records() {
            private int calls;

            @Override
            public boolean keep(String record) {
                calls++;
                if (calls == 2) {
                    return false;
                }
                kept.add(record);
                return true;
            }

            @Override
            public void tell(String what) {
                told.add(what);
            }
        };
        FrameReceiver other = new FrameReceiver(once);
        other.next(Frame.ENQ);
        for (int round = 0; round < 2; round++) {
            for (byte one : frame) {
                other.next(one & 0xff);
            }
        }
        assertThat(kept).containsExactly("P|1", "O|1|A");
    }

    @Test
    void endsASessionWithoutAFrameFor30Seconds() throws InterruptedException {
        send(Frame.ENQ);
        send("\u00021P|".getBytes(StandardCharsets.ISO_8859_1));
        receiver.quiet(Duration.ofSeconds(29));
        assertThat(receiver.inSession()).isTrue();
        receiver.quiet(Duration.ofSeconds(30));
        assertThat(receiver.inSession()).isFalse();
        assertThat(told.get(0)).startsWith("no frame for 30 s");
        assertThat(send(Frame.ENQ)).isEqualTo("A");
        assertThat(send(new Frame(1, "H|\\^&\r", true).bytes())).isEqualTo("A");
        assertThat(kept).containsExactly("H|\\^&");
    }

    @Test
    void aFrameThatIsCutIsRefusedAndOneTooLongToo() throws InterruptedException {
        send(Frame.ENQ);
        assertThat(send("\u00021P|1\u0002".getBytes(StandardCharsets.ISO_8859_1)))
                .isEqualTo("N");
        assertThat(send(("\u00021" + "x".repeat(70_000)).getBytes(StandardCharsets.ISO_8859_1)))
                .isEqualTo("N");
        assertThat(told).hasSize(2);
        assertThat(kept).isEmpty();
    }
}
