package org.tenmesh.app.line;

/** The version of this program, as built. */
public final class ProgramVersion {
    private ProgramVersion() {}

    /** Its text; {@code unpackaged} where the classes run without their jar. */
    public static String text() {
        String built = ProgramVersion.class.getPackage().getImplementationVersion();
        return built == null ? "unpackaged" : built;
    }
}
