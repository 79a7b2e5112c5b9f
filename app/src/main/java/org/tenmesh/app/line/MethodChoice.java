package org.tenmesh.app.line;

import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.methods.MethodFiles;

/** Which method definitions a command uses: those shipped, or a laboratory's own over them. */
public final class MethodChoice {
    public static final Shape.Option OPTION =
            Shape.Option.of("--methods", "DIR", "the laboratory's own method files, over those shipped");

    private MethodChoice() {}

    /** What to say of a method that is not there. */
    public static CannotUse unknown(String typed, MethodBook methods) {
        return new CannotUse("there is no method \"" + typed + "\"" + Nearest.perhaps(typed, methods.ids())
                + "; tenmesh methods lists those there are");
    }

    /** The methods, all versions. */
    public static MethodBook of(Shape.Given given) {
        try {
            return given.text("--methods")
                    .map(folder -> MethodFiles.read(GivenFolder.of(folder, "a folder of method files")))
                    .orElseGet(MethodFiles::shipped);
        } catch (UnusableFile wrong) {
            throw new CannotUse(String.valueOf(wrong.getMessage()));
        }
    }
}
