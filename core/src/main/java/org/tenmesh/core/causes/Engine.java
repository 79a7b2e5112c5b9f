package org.tenmesh.core.causes;

/** The code that judges, as the keys of its stages name it. */
public final class Engine {
    /**
     * Raised with every change of the code after which the same inputs may give another result, cause, verdict, gate or sentence: what was
     * kept under the version before is then judged again. A test holds a day against it.
     */
    public static final int VERSION = 8;

    private Engine() {}
}
