package org.tenmesh.web.http;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jsoup.nodes.Entities;
import org.tenmesh.print.pictures.PictureFiles;

/**
 * The pictures with axes of a page, read from the page itself: a file shows what the page shows and nothing else, for every role. Pages
 * that are lists of what to do (Today, Causes) have no links to files; the page of each thing has them.
 */
public final class PagePictures {
    private static final String BEGIN = "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"";
    /** What follows the beginning of a picture with axes. */
    private static final List<String> KINDS = List.of("along\"", "rows\"", "wells\"");

    private static final String END = "</svg>";
    private static final String TITLE = "<title>";
    private static final Pattern LIST = Pattern.compile("/(days/[^/]+/)?(today|causes)?");
    /** A picture that scrolls stands in an element of its own; the links are beneath it and do not scroll. */
    private static final String FRAME_END = "</div>";

    private PagePictures() {}

    /** A page's text with links to files beneath each of its pictures. */
    public static String linked(String html, String path, String query) {
        if (LIST.matcher(path).matches() || !html.contains("<svg xmlns")) {
            return html;
        }
        String before = "?" + (query.isEmpty() ? "" : Entities.escape(query) + "&amp;");
        StringBuilder out = new StringBuilder(html.length() + 2048);
        int copied = 0;
        int number = 0;
        for (Place picture : in(html)) {
            number++;
            String title = title(html, picture, number);
            int end = html.startsWith(FRAME_END, picture.end()) ? picture.end() + FRAME_END.length() : picture.end();
            out.append(html, copied, end)
                    .append("<p class=\"files\">")
                    .append(link(before, "svg", number, title))
                    .append(' ')
                    .append(link(before, "png", number, title))
                    .append("</p>");
            copied = end;
        }
        return out.append(html, copied, html.length()).toString();
    }

    private record Place(int begin, int end) {}

    /** A page is long and has few pictures, so it is not read character by character. */
    private static List<Place> in(String html) {
        List<Place> places = new ArrayList<>();
        int begin = html.indexOf(BEGIN);
        while (begin >= 0) {
            int kind = begin + BEGIN.length();
            int from = kind;
            int end = html.indexOf(END, kind);
            if (end >= 0 && KINDS.stream().anyMatch(word -> html.startsWith(word, from))) {
                places.add(new Place(begin, end + END.length()));
                kind = end;
            }
            begin = html.indexOf(BEGIN, kind);
        }
        return places;
    }

    /** The title is escaped where it is drawn. */
    private static String title(String html, Place picture, int number) {
        int begin = html.indexOf(TITLE, picture.begin()) + TITLE.length();
        int end = html.indexOf('<', begin);
        return begin < TITLE.length() || begin > picture.end() ? "picture " + number : html.substring(begin, end);
    }

    private static String link(String before, String kind, int number, String title) {
        String word = kind.toUpperCase(Locale.ROOT);
        return "<a href=\"" + before + "file=" + kind + "&amp;picture=" + number + "\" aria-label=\"" + word + " of "
                + title + "\">" + word + "</a>";
    }

    /**
     * A file of one of a page's pictures.
     *
     * @param html the page
     * @param kind {@code svg} or {@code png}
     * @param number which one, from 1
     * @param name of the file, without number and ending
     * @return empty when there is no such picture or kind
     */
    public static Optional<Answer.Download> file(String html, String kind, String number, String name) {
        if (!kind.equals("svg") && !kind.equals("png")) {
            return Optional.empty();
        }
        List<String> pictures = new ArrayList<>();
        in(html).forEach(found -> pictures.add(html.substring(found.begin(), found.end())));
        int which = number.matches("\\d{1,4}") ? Integer.parseInt(number) : 1;
        if (which < 1 || which > pictures.size()) {
            return Optional.empty();
        }
        String picture = pictures.get(which - 1);
        String file = name + "-picture-" + which + "." + kind;
        return Optional.of(
                kind.equals("svg")
                        ? new Answer.Download(PictureFiles.svg(picture), "image/svg+xml", file)
                        : new Answer.Download(PictureFiles.png(picture), "image/png", file));
    }
}
