package org.tenmesh.print.report;

import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import gg.jte.output.StringOutput;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.time.OffsetDateTime;
import java.util.GregorianCalendar;
import java.util.List;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.print.pictures.PictureFiles;
import org.tenmesh.print.tables.TableFiles;

/**
 * Tables of a record with a head, for an inspector: as PDF, tagged, with the shipped fonts, and without access to anything outside.
 *
 * @param laboratory whose record it is
 * @param invented whether the laboratory is invented: each page says so
 * @param facts sentences under the title
 * @param pictures after the tables, as they are drawn for a page; see {@link PictureFiles}
 * @param madeAt when it was made
 * @param madeBy who asked for it
 */
public record RecordFile(
        String laboratory,
        boolean invented,
        String title,
        List<String> facts,
        List<TableFiles.Table> tables,
        List<Picture> pictures,
        OffsetDateTime madeAt,
        String madeBy) {
    public RecordFile {
        facts = List.copyOf(facts);
        tables = List.copyOf(tables);
        pictures = List.copyOf(pictures);
    }

    /**
     * One picture.
     *
     * @param says what is to be seen, for who cannot see it
     * @param svg as it stands on the page
     */
    public record Picture(String caption, String says, String svg) {
        /** As it is read without the page, for the file. */
        public String onPaper() {
            return PictureFiles.inline(svg);
        }
    }

    /** Digest of everything it says but when and by whom it was made, so that two printouts can be compared. */
    public String sha256() {
        Sha256 digest = new Sha256().text(laboratory).text(title).texts(facts).number(tables.size());
        for (TableFiles.Table table : tables) {
            digest.text(table.caption())
                    .texts(table.columns())
                    .number(table.rows().size());
            table.rows().forEach(digest::texts);
        }
        pictures.forEach(
                picture -> digest.text(picture.caption()).text(picture.says()).text(picture.svg()));
        return digest.hex();
    }

    /** As PDF. */
    public byte[] pdf() {
        StringOutput html = new StringOutput(64 * 1024);
        Reports.TEMPLATES.render("report/record.jte", this, html);
        ByteArrayOutputStream bytes = new ByteArrayOutputStream(64 * 1024);
        try (PdfBoxRenderer renderer = Reports.renderer(html.toString())) {
            renderer.layout();
            renderer.createPDFWithoutClosing();
            PDDocument document = renderer.getPdfDocument();
            document.getDocumentInformation().setCreationDate(GregorianCalendar.from(madeAt.toZonedDateTime()));
            document.save(bytes);
            document.close();
        } catch (IOException failed) {
            throw new UncheckedIOException("the record " + title + " cannot be written", failed);
        }
        return bytes.toByteArray();
    }
}
