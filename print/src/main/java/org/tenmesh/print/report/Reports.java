package org.tenmesh.print.report;

import com.openhtmltopdf.bidi.support.ICUBidiReorderer;
import com.openhtmltopdf.bidi.support.ICUBidiSplitter;
import com.openhtmltopdf.extend.FSCacheEx;
import com.openhtmltopdf.extend.FSCacheValue;
import com.openhtmltopdf.extend.impl.FSDefaultCacheStore;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.outputdevice.helper.ExternalResourceControlPriority;
import com.openhtmltopdf.pdfboxout.PdfBoxRenderer;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.render.Box;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.XRLog;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.StringReader;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.util.GregorianCalendar;
import java.util.HexFormat;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.logging.Level;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import org.apache.pdfbox.cos.COSBase;
import org.apache.pdfbox.cos.COSDictionary;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDResources;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.FontMappers;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.report.ClientReport;
import org.w3c.dom.Document;
import org.xml.sax.InputSource;
import org.xml.sax.SAXException;

/**
 * Client reports as PDF: tagged, with the shipped fonts embedded, and without any access to network or files. The same
 * report gives the same document; its dates are those of the release. Safe for use by several threads.
 */
public final class Reports {
    static final TemplateEngine TEMPLATES = TemplateEngine.createPrecompiled(
            null, ContentType.Html, Reports.class.getClassLoader(), "org.tenmesh.print");
    private static final FSCacheEx<String, FSCacheValue> METRICS = new FSDefaultCacheStore();

    static {
        FontMappers.set(new ShippedFonts());
        // the renderer's own chatter; what matters is thrown
        XRLog.listRegisteredLoggers().forEach(logger -> XRLog.setLevel(logger, Level.SEVERE));
    }

    private Reports() {}

    /** The report in the usual form: one table on A4. */
    public static byte[] pdf(ClientReport report) {
        return pdf(report, ReportForm.defaults());
    }

    /** The report in the form given. */
    public static byte[] pdf(ClientReport report, ReportForm form) {
        return made(report, form, Optional.of(ReportDigest.of(report)));
    }

    /**
     * What the report would be, each page marked as a preview and without a digest.
     *
     * @param report of a release that nobody has signed yet
     */
    public static byte[] preview(ClientReport report, ReportForm form) {
        return made(report, form, Optional.empty());
    }

    private static byte[] made(ClientReport report, ReportForm form, Optional<String> digest) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream(128 * 1024);
        try (PdfBoxRenderer renderer = renderer(report, form, digest)) {
            renderer.layout();
            withTheJdksXml(renderer::createPDFWithoutClosing);
            PDDocument document = renderer.getPdfDocument();
            settle(document, report.release(), digest.orElse("0".repeat(64)));
            document.save(bytes);
            document.close();
        } catch (IOException failed) {
            throw new UncheckedIOException(
                    "the report of submission " + report.submission().submission() + " cannot be written", failed);
        }
        return bytes.toByteArray();
    }

    /**
     * The metadata is written by the XML writer that the context's class loader finds, looked for in every library anew, which took a
     * seventh of a report's time. The JDK's own is found at once, and a report does not depend on what else is on the class path.
     */
    private static void withTheJdksXml(Painting painting) throws IOException {
        Thread thread = Thread.currentThread();
        ClassLoader before = thread.getContextClassLoader();
        thread.setContextClassLoader(ClassLoader.getPlatformClassLoader());
        try {
            painting.run();
        } finally {
            thread.setContextClassLoader(before);
        }
    }

    private interface Painting {
        void run() throws IOException;
    }

    /** Lays the report out without painting it and shows the boxes: what lies where can be tested without opening a PDF. */
    static void layOut(ClientReport report, ReportForm form, Consumer<Box> look) {
        try (PdfBoxRenderer renderer = renderer(report, form, Optional.of(ReportDigest.of(report)))) {
            renderer.layout();
            look.accept(renderer.getRootBox());
        }
    }

    private static PdfBoxRenderer renderer(ClientReport report, ReportForm form, Optional<String> digest) {
        StringOutput html = new StringOutput(64 * 1024);
        TEMPLATES.render("report/report.jte", ReportLayout.sheet(report, form, digest), html);
        return renderer(html.toString());
    }

    /** Tagged, with the shipped fonts, without access to anything outside the text. */
    static PdfBoxRenderer renderer(String html) {
        PdfRendererBuilder builder = new PdfRendererBuilder();
        builder.useFastMode();
        builder.usePdfUaAccessibility(true);
        builder.withProducer("Tenmesh");
        builder.withW3cDocument(parsed(html), null);
        builder.useExternalResourceAccessControl(
                (uri, type) -> false, ExternalResourceControlPriority.RUN_BEFORE_RESOLVING_URI);
        builder.useSVGDrawer(new BatikSVGDrawer());
        builder.useFont(() -> new ByteArrayInputStream(Glyphs.REGULAR), "Noto Sans", 400, FontStyle.NORMAL, true);
        builder.useFont(() -> new ByteArrayInputStream(Glyphs.BOLD), "Noto Sans", 700, FontStyle.NORMAL, true);
        builder.useFont(() -> new ByteArrayInputStream(Glyphs.FALLBACK), "DejaVu Sans", 400, FontStyle.NORMAL, true);
        // names written from right to left: their order, and the joined shapes of their letters
        builder.useUnicodeBidiSplitter(new ICUBidiSplitter.ICUBidiSplitterFactory());
        builder.useUnicodeBidiReorderer(new ICUBidiReorderer());
        builder.defaultTextDirection(BaseRendererBuilder.TextDirection.LTR);
        builder.usePageSupplier(Reports::page);
        builder.useCacheStore(PdfRendererBuilder.CacheStore.PDF_FONT_METRICS, METRICS);
        return builder.buildPdfRenderer();
    }

    /** Parsed here, because the renderer's own way copies the whole tree once more. */
    private static Document parsed(String html) {
        try {
            DocumentBuilderFactory factory = DocumentBuilderFactory.newDefaultInstance();
            // Drawings are known by their namespace; without it they are laid out and left empty.
            factory.setNamespaceAware(true);
            factory.setFeature("http://apache.org/xml/features/disallow-doctype-decl", true);
            return factory.newDocumentBuilder().parse(new InputSource(new StringReader(html)));
        } catch (ParserConfigurationException | SAXException | IOException broken) {
            throw new IllegalStateException("the report's template is not well formed", broken);
        }
    }

    /**
     * A page whose list of marked contents is not searched at each addition: every word of a tagged page is one, none is
     * ever added twice, and the search took half of a report's time.
     */
    private static PDPage page(PDDocument document, float width, float height, int number, int shadow) {
        COSDictionary resources = new COSDictionary();
        resources.setItem(COSName.PROPERTIES, new Unsearched());
        PDPage page = new PDPage(new PDRectangle(width, height));
        page.setResources(new PDResources(resources));
        document.addPage(page);
        return page;
    }

    private static final class Unsearched extends COSDictionary {
        @Override
        public boolean containsValue(Object value) {
            return false;
        }

        /** Written where it stands: as objects of their own the marked contents would be half of the file's objects. */
        @Override
        public void setItem(COSName key, COSBase value) {
            if (value instanceof COSDictionary) {
                value.setDirect(true);
            }
            super.setItem(key, value);
        }
    }

    /** Dates and id come from the release, so that printing again gives the same document. */
    private static void settle(PDDocument document, Release release, String digest) {
        GregorianCalendar signed = GregorianCalendar.from(release.signedAt().toZonedDateTime());
        document.getDocumentInformation().setCreationDate(signed);
        document.getDocumentInformation().setModificationDate(signed);
        document.setDocumentId(ByteBuffer.wrap(HexFormat.of().parseHex(digest)).getLong());
    }
}
