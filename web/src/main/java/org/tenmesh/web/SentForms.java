package org.tenmesh.web;

import io.javalin.config.JavalinConfig;
import io.javalin.config.SizeUnit;
import io.javalin.http.Context;
import io.javalin.http.HandlerType;
import io.javalin.http.UploadedFile;
import java.io.InputStream;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;

/** Forms as browsers send them: plain ones everywhere, ones with a file where a route takes one. */
final class SentForms {
    private static final int LONGEST_FIELD = 2000;
    private static final int MOST_FILE_MB = 2;
    private static final String TAKES_FILE = "takes-file";
    /** What is no part of a plain file name: folders before it, and control characters. */
    private static final Pattern NAMELESS = Pattern.compile("^.*[/\\\\]|[\\p{Cntrl}]");

    private SentForms() {}

    static void limit(JavalinConfig config) {
        config.jetty.multipartConfig.maxFileSize(MOST_FILE_MB, SizeUnit.MB);
        config.jetty.multipartConfig.maxTotalRequestSize(MOST_FILE_MB + 1, SizeUnit.MB);
        config.jetty.multipartConfig.maxInMemoryFileSize(MOST_FILE_MB + 1, SizeUnit.MB);
    }

    /** Before anything of the request is read. */
    static void expect(Context ctx, Route route) {
        ctx.attribute(TAKES_FILE, route.takesFile());
    }

    /** What no page of ours sends; empty when the request can be read. */
    static Optional<String> unreadable(Context ctx) {
        Map<String, List<String>> fields = new HashMap<>(ctx.queryParamMap());
        if (ctx.method() == HandlerType.POST) {
            if (!isPlain(ctx) && !carriesFile(ctx)) {
                return Optional.of("A form is sent as application/x-www-form-urlencoded; files are not taken here.");
            }
            try {
                fields.putAll(ctx.formParamMap());
            } catch (Exception broken) {
                // The server's own, checked ones among them, which the library does not declare.
                return Optional.of("The form cannot be read, or its file is larger than " + MOST_FILE_MB + " MB.");
            }
        }
        for (List<String> values : fields.values()) {
            for (String value : values) {
                if (value.indexOf('\0') >= 0) {
                    return Optional.of("A field holds a character that is no text (NUL).");
                }
                if (value.length() > LONGEST_FIELD) {
                    return Optional.of(
                            "A field has " + value.length() + " characters; " + LONGEST_FIELD + " are the most.");
                }
            }
        }
        return Optional.empty();
    }

    static boolean isPlain(Context ctx) {
        String type = text(ctx.contentType());
        return type.isEmpty() || type.toLowerCase(Locale.ROOT).startsWith("application/x-www-form-urlencoded");
    }

    private static boolean carriesFile(Context ctx) {
        return Boolean.TRUE.equals(ctx.attribute(TAKES_FILE))
                && text(ctx.contentType()).toLowerCase(Locale.ROOT).startsWith("multipart/form-data");
    }

    /** The first file of each field; none of a form that cannot be read. */
    static Map<String, Visit.Upload> files(Context ctx) {
        Map<String, Visit.Upload> files = new HashMap<>();
        if (!carriesFile(ctx)) {
            return files;
        }
        try {
            for (Map.Entry<String, List<UploadedFile>> field :
                    ctx.uploadedFileMap().entrySet()) {
                for (UploadedFile file : field.getValue()) {
                    try (InputStream content = file.content()) {
                        files.putIfAbsent(
                                field.getKey(),
                                new Visit.Upload(
                                        NAMELESS.matcher(text(file.filename())).replaceAll(""),
                                        content.readAllBytes()));
                    }
                }
            }
        } catch (Exception broken) {
            // The server's own, checked ones among them, which the library does not declare.
            return Map.of();
        }
        return files;
    }

    private static String text(@Nullable String text) {
        return text == null ? "" : text;
    }
}
