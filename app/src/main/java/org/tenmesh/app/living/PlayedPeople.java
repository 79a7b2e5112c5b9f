package org.tenmesh.app.living;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The people of the invented laboratory and what they do on the pages. */
public final class PlayedPeople {
    private static final Pattern ORDER = Pattern.compile("href=\"([^\"]*/causes/[^\"]+/order)\"");

    private final PlayedPerson inCharge;
    private final String password;
    private boolean signedIn;

    public PlayedPeople(PlayedPerson inCharge, String password) {
        this.inCharge = inCharge;
        this.password = password;
    }

    void act(Story.Deed deed) throws IOException, InterruptedException {
        if (!signedIn) {
            inCharge.signIn(password);
            signedIn = true;
        }
        switch (deed.kind()) {
            case ORDER -> order();
            case RELEASE -> release();
        }
    }

    /** Orders what every open cause asks for, one after the other. */
    private void order() throws IOException, InterruptedException {
        List<String> asked = new ArrayList<>();
        Matcher found = ORDER.matcher(inCharge.open("/causes").html());
        while (found.find()) {
            asked.add(found.group(1));
        }
        for (String path : asked.stream().distinct().toList()) {
            for (PlayedPerson.Form form : inCharge.open(path).forms()) {
                if (form.action().endsWith("/causes/act")) {
                    inCharge.send(form.with("action", "order-redo"));
                }
            }
        }
    }

    /** Signs every submission that is complete. */
    private void release() throws IOException, InterruptedException {
        for (PlayedPerson.Form form : inCharge.open("/release").forms()) {
            if (form.action().endsWith("/release") && !form.ticks().isEmpty()) {
                PlayedPerson.Form signed = form.with("password", password);
                for (String submission : form.ticks().keySet()) {
                    signed = signed.ticked(submission);
                }
                inCharge.send(signed);
            }
        }
    }
}
