package org.tenmesh.web.http;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/** Style sheet, scripts and mark, each under a name with the hash of what is in it, so that browsers may keep them. */
public final class Assets {
    /** One file. */
    public record Asset(String address, String contentType, byte[] bytes) {}

    private static final Map<String, String> TYPES = Map.of(
            "tenmesh.css", "text/css; charset=utf-8",
            "tenmesh.js", "text/javascript; charset=utf-8",
            "mark.svg", "image/svg+xml");

    private final Map<String, Asset> byName = new LinkedHashMap<>();
    private final Map<String, Asset> byAddress = new LinkedHashMap<>();

    public Assets() {
        TYPES.forEach((name, type) -> {
            byte[] bytes = read(name);
            int dot = name.lastIndexOf('.');
            String address = "/assets/" + name.substring(0, dot) + "-" + digest(bytes) + name.substring(dot);
            Asset asset = new Asset(address, type, bytes);
            byName.put(name, asset);
            byAddress.put(address, asset);
        });
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
