package org.tenmesh.core.digest;

/** An immutable thing, too large to be gone through again each time, that knows the digest of its own content. */
public interface Digested {
    /** SHA-256 of the content, 64 hexadecimal digits: equal for equal content only. */
    String digest();
}
