package org.tenmesh.core.causes;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.judgement.CauseKind;

/**
 * The lasting name of a cause, made of its content and never of a number in a list.
 *
 * <p>The content is the kind and every determination the cause touches: run, lab number, method, analyte. So the key of a cause changes
 * when, and only when, a determination is added to what it touches or leaves it. A cause that touches no determination (a gate that is
 * shut before the first soil, control soils that trend) has its run, method, analytes and evidence as content instead. Other runs and
 * other causes of the day are not part of it.
 *
 * @param kind what went wrong
 * @param place where, for people: the run ({@code ICP1-02}), the first run and how many more ({@code PH2-01+5}), or the trays that were
 *     moved ({@code T0174+T0175})
 * @param content {@value #HEX} hexadecimal digits of the SHA-256 digest of the content
 */
public record CauseKey(CauseKind kind, String place, String content) {
    /** Hexadecimal digits of the content's digest: 40 bits, so that two causes of one kind and place never share a key by chance. */
    static final int HEX = 10;

    static CauseKey of(CauseKind kind, String place, List<Stretch> stretches) {
        Sha256 content = new Sha256().text(kind.word());
        boolean touches = stretches.stream().anyMatch(one -> !one.touched().isEmpty());
        stretches.stream().sorted(Stretch.BY_PLACE).forEach(one -> {
            if (touches) {
                one.touched()
                        .forEach(key -> content.text(one.run())
                                .text(key.labNumber().text())
                                .text(key.method())
                                .text(key.analyte()));
            } else {
                content.text(one.run()).text(one.method()).texts(one.analytes()).text(one.evidence());
            }
        });
        return new CauseKey(kind, place, content.hex().substring(0, HEX));
    }

    /** {@code drift@ICP2-02#3f9a21c40b}: kind, place, content. */
    public String text() {
        return kind.word() + "@" + place + "#" + content;
    }

    /** The key with this text; empty when the text is no key, as the ordinals of version 0.1 are none. */
    public static Optional<CauseKey> of(String text) {
        int place = text.indexOf('@');
        int content = text.lastIndexOf('#');
        return place < 0 || content < place
                ? Optional.empty()
                : CauseKind.of(text.substring(0, place))
                        .map(kind ->
                                new CauseKey(kind, text.substring(place + 1, content), text.substring(content + 1)));
    }

    @Override
    public String toString() {
        return text();
    }
}
