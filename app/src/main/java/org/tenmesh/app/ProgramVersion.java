package org.tenmesh.app;

/** The version of this program, as built. */
final class ProgramVersion {
    private ProgramVersion() {}

    /** Its text; {@code unpackaged} where the classes run without their jar. */
    static String text() {
        String built = ProgramVersion.class.getPackage().getImplementationVersion();
        return built == null ? "unpackaged" : built;
    }
}
