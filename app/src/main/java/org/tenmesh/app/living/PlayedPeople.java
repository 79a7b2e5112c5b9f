package org.tenmesh.app.living;

import java.io.IOException;
import java.net.URI;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The people of the invented laboratory and what they do on the pages. */
public final class PlayedPeople {
    private static final Pattern ORDER = Pattern.compile("href=\"([^\"]*/causes/[^\"]+/order)\"");

    private static final Pattern EARLIER = Pattern.compile("href=\"(/days/[^\"/]+)/submissions\"");
    private static final String PLACE = "P-A1-01";
    private static final String REGULATED_PLACE = "P-R1-01";

    private final PlayedPerson inCharge;
    private final PlayedBench bench;
    private final PlayedDock dock;
    private final String password;
    private boolean signedIn;

    /**
     * @param names of the people: in charge, quality, bench, client service
     * @param pages where the pages are
     */
    public PlayedPeople(List<String> names, URI pages, String password) {
        this.inCharge = new PlayedPerson(names.get(0), pages);
        this.bench = new PlayedBench(new PlayedPerson(names.get(2), pages));
        this.dock = new PlayedDock(new PlayedPerson(names.get(3), pages), password);
        this.password = password;
    }

    void begin() throws IOException, InterruptedException {
        bench.begin(inCharge());
    }

    /** The next thing at the bench; what of an earlier day went to an instrument with it. */
    Optional<PlayedBench.Handed> benchTurn() throws IOException, InterruptedException {
        return bench.turn();
    }

    /** Lab numbers of which no vessel of a portion was filled; may be asked by another thread. */
    Set<String> unfilled(String portion) {
        return bench.unfilled(portion);
    }

    void act(Story.Deed deed) throws IOException, InterruptedException {
        switch (deed.kind()) {
            case SHEET -> dock.sheet();
            case BOX -> dock.box();
            case BOOK_IN -> dock.bookIn();
            case SETTLE -> dock.settle();
            case LOAD -> dock.load(EarlierRack.TODAY);
            case RACK_OUT -> bench.rackOut(EarlierRack.YESTERDAY, EarlierRack.MILL, EarlierRack.MASSES_NOW_G);
            case RACK_IN -> bench.rackIn(EarlierRack.TODAY);
            case LOOK_AGAIN -> bench.lookAgain();
            case ENTER -> bench.enter(REGULATED_PLACE);
            case SHELVE -> bench.shelve(PLACE);
            case ORDER -> order();
            case RELEASE -> release();
        }
    }

    private PlayedPerson inCharge() throws IOException, InterruptedException {
        if (!signedIn) {
            inCharge.signIn(password);
            signedIn = true;
        }
        return inCharge;
    }

    /** A page of the newest day and of every earlier one on which something is still to be done. */
    private List<String> everyDay(String page) throws IOException, InterruptedException {
        List<String> pages = new ArrayList<>(List.of(page));
        Matcher earlier = EARLIER.matcher(inCharge().open("/today").html());
        while (earlier.find()) {
            pages.add(earlier.group(1) + page);
        }
        return pages;
    }

    /** Orders what every open cause asks for, one after the other. */
    private void order() throws IOException, InterruptedException {
        List<String> asked = new ArrayList<>();
        for (String list : everyDay("/causes")) {
            Matcher found = ORDER.matcher(inCharge.open(list).html());
            while (found.find()) {
                asked.add(found.group(1));
            }
        }
        for (String path : asked.stream().distinct().toList()) {
            for (PlayedPerson.Form form : inCharge.open(path).forms()) {
                if (form.action().endsWith("/causes/act")) {
                    inCharge.sent(form.with("action", "order-redo"));
                }
            }
        }
    }

    /** Signs every submission that is complete. */
    private void release() throws IOException, InterruptedException {
        for (String page : everyDay("/release")) {
            for (PlayedPerson.Form form : inCharge.open(page).forms()) {
                if (form.action().endsWith("/release") && !form.ticks().isEmpty()) {
                    PlayedPerson.Form signed = form.with("password", password);
                    for (String submission : form.ticks().keySet()) {
                        signed = signed.ticked(submission);
                    }
                    inCharge.sent(signed);
                }
            }
        }
    }
}
