package org.tenmesh.web.http;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Style sheet, scripts and mark, each under a name with the hash of what is in it, so that browsers may keep them. */
public final class Assets {
    /** One file. */
    public record Asset(String address, String contentType, byte[] bytes) {}

    private static final String STYLES = "tenmesh.css";
    private static final List<String> FONTS =
            List.of("noto-sans-latin.woff2", "noto-sans-latin-ext.woff2", "noto-sans-greek.woff2");

    private final Map<String, Asset> byName = new LinkedHashMap<>();
    private final Map<String, Asset> byAddress = new LinkedHashMap<>();

    public Assets() {
        String styles = new String(read(STYLES), StandardCharsets.UTF_8);
        for (String font : FONTS) {
            // A style sheet names a font by its plain name, a browser asks for it by the name that changes with its
            // bytes.
            styles = styles.replace('"' + font + '"', '"' + add(font, "font/woff2", read(font)) + '"');
        }
        add(STYLES, "text/css; charset=utf-8", styles.getBytes(StandardCharsets.UTF_8));
        add("tenmesh.js", "text/javascript; charset=utf-8", read("tenmesh.js"));
        add("bench.js", "text/javascript; charset=utf-8", read("bench.js"));
        add("mark.svg", "image/svg+xml", read("mark.svg"));
    }

    private String add(String name, String type, byte[] bytes) {
        int dot = name.lastIndexOf('.');
        String address = "/assets/" + name.substring(0, dot) + "-" + digest(bytes) + name.substring(dot);
        Asset asset = new Asset(address, type, bytes);
        byName.put(name, asset);
        byAddress.put(address, asset);
        return address;
    }

    /** The address of a file by its plain name. */
    public String address(String name) {
        Asset asset = byName.get(name);
        if (asset == null) {
            throw new IllegalArgumentException("no asset " + name);
        }
        return asset.address();
    }

    public Optional<Asset> at(String address) {
        return Optional.ofNullable(byAddress.get(address));
    }

    private static byte[] read(String name) {
        try (InputStream in = Assets.class.getResourceAsStream("/org/tenmesh/web/assets/" + name)) {
            if (in == null) {
                throw new IllegalStateException("the program lacks its own file " + name);
            }
            return in.readAllBytes();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** First 64 bits of the SHA-256, as text. */
    private static String digest(byte[] bytes) {
        return hash(bytes).substring(0, 16);
    }

    public static String hash(String text) {
        return hash(text.getBytes(StandardCharsets.UTF_8));
    }

    public static String hash(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
