package org.tenmesh.proof.command;

import java.io.PrintWriter;
import java.io.StringWriter;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;

/** A command that was run in this process, with what it wrote. */
record Ran(int status, String out, String err) {
    static Ran tenmesh(Object... words) {
        String[] typed = new String[words.length];
        for (int i = 0; i < words.length; i++) {
            typed[i] = words[i].toString();
        }
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        int status = Main.run(new Console(new PrintWriter(out), new PrintWriter(err), false), typed);
        return new Ran(status, out.toString(), err.toString());
    }
}
