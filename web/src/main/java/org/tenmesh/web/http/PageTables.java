package org.tenmesh.web.http;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Element;
import org.jsoup.nodes.Entities;
import org.jspecify.annotations.Nullable;
import org.tenmesh.print.tables.TableFiles;
import org.tenmesh.print.tables.TableFiles.Table;

/**
 * The tables of a page, read from the page itself: a file holds what is on the page and nothing else, for every role. A picture that is
 * alone in its cell stands there in words. Figures lose the
 * spaces between thousands and take a hyphen for a minus sign, so that other programs read them as numbers.
 */
public final class PageTables {
    private static final Pattern GROUPED = Pattern.compile("[−-]?\\d{1,3}([\u2009\u202f\u00a0]\\d{3})+(\\.\\d+)?");

    private PageTables() {}

    /** Where the links to files stand in a page's text. */
    private static final String PLACE = "<!--files-->";

    /** Beyond these a link for each would be a list of its own. */
    private static final int MOST_NAMED = 4;

    /** A page's text with links to files of its tables; none where it has no table. */
    public static String linked(String html, String query) {
        int place = html.indexOf(PLACE);
        if (place < 0) {
            return html;
        }
        int tables = 0;
        for (int at = html.indexOf("<table"); at >= 0; at = html.indexOf("<table", at + 1)) {
            tables++;
        }
        StringBuilder links = new StringBuilder();
        if (tables > 0) {
            String before = "?" + (query.isEmpty() ? "" : Entities.escape(query) + "&amp;");
            links.append("<span class=\"row\"><span>")
                    .append(tables == 1 ? "Table" : "Tables")
                    .append(" of this page:</span> <a href=\"")
                    .append(before)
                    .append("file=xlsx\">workbook</a>");
            for (int i = 1; i <= tables && tables <= MOST_NAMED; i++) {
                links.append(" <a href=\"")
                        .append(before)
                        .append("file=csv&amp;table=")
                        .append(i)
                        .append("\">CSV")
                        .append(tables == 1 ? "" : " of table " + i)
                        .append("</a>");
            }
            links.append("</span>");
        }
        return html.substring(0, place) + links + html.substring(place + PLACE.length());
    }

    /**
     * A file of a page's tables.
     *
     * @param html the page
     * @param kind {@code csv} for one table, {@code xlsx} for all of them
     * @param table which one, from 1
     * @param name of the file, without its ending
     * @return empty when there is no such table or kind
     */
    public static Optional<Answer.Download> file(String html, String kind, String table, String name) {
        List<Table> tables = of(html);
        if (kind.equals("xlsx") && !tables.isEmpty()) {
            return Optional.of(new Answer.Download(
                    TableFiles.xlsx(tables),
                    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
                    name + ".xlsx"));
        }
        int which = table.matches("\\d{1,4}") ? Integer.parseInt(table) : 1;
        return kind.equals("csv") && which >= 1 && which <= tables.size()
                ? Optional.of(new Answer.Download(
                        TableFiles.csv(tables.get(which - 1)), "text/csv; charset=utf-8", name + ".csv"))
                : Optional.empty();
    }

    static List<Table> of(String html) {
        List<Table> tables = new ArrayList<>();
        for (Element table : Jsoup.parse(html).select("main table")) {
            table.select("form, script, style").remove();
            table.select("svg").forEach(PageTables::inWords);
            Element caption = table.selectFirst("caption");
            Element heading = table.closest("section") == null
                    ? null
                    : table.closest("section").selectFirst("h2, h3");
            String name = caption != null ? caption.text() : heading != null ? heading.text() : "Table";
            List<List<String>> rows = new ArrayList<>();
            table.select("tbody > tr").forEach(row -> rows.add(cells(row)));
            tables.add(new Table(name, cells(table.selectFirst("thead > tr")), rows));
        }
        return tables;
    }

    /** A picture that is all there is in its cell says in words what it shows, so that no column of a file is empty. */
    private static void inWords(Element picture) {
        Element cell = picture.closest("td, th");
        Element title = picture.selectFirst("> title");
        String words = title == null ? "" : title.wholeText();
        if (cell != null) {
            picture.remove();
            if (cell.text().isBlank()) {
                cell.appendText(words);
            }
        }
    }

    private static List<String> cells(@Nullable Element row) {
        return row == null
                ? List.of()
                : row.select("> th, > td").stream()
                        .map(cell -> plain(cell.text().strip()))
                        .toList();
    }

    private static String plain(String text) {
        return GROUPED.matcher(text).matches() || text.matches("−\\d+(\\.\\d+)?")
                ? text.replaceAll("[\u2009\u202f\u00a0]", "").replace('−', '-')
                : text;
    }
}
