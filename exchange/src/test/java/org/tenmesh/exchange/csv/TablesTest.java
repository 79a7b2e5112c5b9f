package org.tenmesh.exchange.csv;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.tenmesh.exchange.file.UnusableFile;

class TablesTest {
    private static Tables.Table table(String text) throws IOException {
        return Tables.read(new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)), "t.csv");
    }

    @Test
    void readsCellsAndKeepsLineNumbersBehindRemarks() throws IOException {
        Tables.Table table = table("# source\nx,y\n1,\"a,b\"\n# more\n2.5e3,\n");
        assertThat(table.columns()).containsExactly("x", "y");
        assertThat(table.rows()).extracting(Tables.Row::line).containsExactly(3, 5);
        assertThat(table.rows().get(0).text("y")).isEqualTo("a,b");
        assertThat(table.rows().get(1).number("x")).isEqualTo(2500);
        assertThat(table.rows().get(1).optionalNumber("y")).isEmpty();
    }

    @Test
    void saysWhereSomethingElseThanANumberStands() throws IOException {
        Tables.Row row = table("x,y\n1,two\n").rows().get(0);
        assertThatThrownBy(() -> row.number("y")).hasMessage("t.csv, line 2, y: found \"two\", expected a number");
        assertThatThrownBy(() -> row.number("z")).hasMessage("t.csv has no column z, only x, y");
    }

    @Test
    void refusesARaggedTable() {
        assertThatThrownBy(() -> table("x,y\n1\n"))
                .isInstanceOf(UnusableFile.class)
                .hasMessageContaining("t.csv, line 2: found 1 field, expected 2 fields, as in the header");
    }
}
