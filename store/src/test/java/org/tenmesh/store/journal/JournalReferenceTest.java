package org.tenmesh.store.journal;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.tenmesh.store.rows.Json;

final class JournalReferenceTest {
    /**
     * National Institute of Standards and Technology, FIPS PUB 180-4 "Secure Hash Standard" (2015); example values for
     * SHA-256 as published by NIST beside it: the one-block message "abc" and the empty message.
     */
    @Test
    void hashesTheMessagesOfTheStandard() {
        assertThat(Journal.sha256("abc")).isEqualTo("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assertThat(Journal.sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"))
                .isEqualTo("248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    }

    /**
     * Two records chained outside this program: SHA-256 of 64 zeros as text followed by the first record, then of that
     * hash as text followed by the second. Computed with coreutils' sha256sum (GNU coreutils 9.1).
     */
    @Test
    void chainsAsComputedOutside() {
        String first =
                Journal.chain(Journal.START, "{\"seq\":1,\"sample\":\"26110417H\",\"test\":\"P\",\"value\":\"41.7\"}");
        assertThat(first).isEqualTo("b84e276f4a7c682fe7b456919148747ebdc9e613d584c35bacbe0e6d01534c11");
        assertThat(Journal.chain(first, "{\"seq\":2,\"sample\":\"26110417H\",\"test\":\"P\",\"value\":\"47.1\"}"))
                .isEqualTo("970af1d62be36a4f63a669554e576b51dcd8e4dd950ef5bf765ca039c70bb44b");
    }

    /**
     * Rundgren, Jordan, Erdtman, RFC 8785 "JSON Canonicalization Scheme" (2020), section 3.2.2.2 (strings) with the
     * example string of section 3.2.2, and section 3.2.3 (keys sorted by UTF-16 code units).
     */
    @Test
    void writesStringsAndKeysAsTheCanonicalSchemeSays() {
        assertThat(Json.text("\u20ac$\u000f\nA'B\"\\\\\"/")).isEqualTo("\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"");
        assertThat(Json.object(
                        "\u20ac", "Euro Sign",
                        "\r", "Carriage Return",
                        "\ufb33", "Hebrew Letter Dalet With Dagesh",
                        "1", "One",
                        "\ud83d\ude00", "Emoji: Grinning Face",
                        "\u0080", "Control",
                        "\u00f6", "Latin Small Letter O With Diaeresis"))
                .isEqualTo("{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\","
                        + "\"\u00f6\":\"Latin Small Letter O With Diaeresis\",\"\u20ac\":\"Euro Sign\","
                        + "\"\ud83d\ude00\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}");
    }
}
