package org.tenmesh.web;

import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import io.javalin.Javalin;
import io.javalin.config.JavalinConfig;
import io.javalin.http.Context;
import io.javalin.http.Cookie;
import io.javalin.http.HandlerType;
import io.javalin.http.HttpResponseException;
import io.javalin.http.SameSite;
import java.net.URI;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.capture.Capture;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.Session;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.capture.SentPieces;
import org.tenmesh.web.cards.RunUnderWayCard;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.days.LiveRuns;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.days.StoredLaboratory;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.Assets;
import org.tenmesh.web.http.Frame;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PagePictures;
import org.tenmesh.web.http.PageTables;
import org.tenmesh.web.http.Passwords;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.people.SentForm;
import org.tenmesh.web.people.SignInPages;
import org.tenmesh.web.programs.Endpoint;
import org.tenmesh.web.programs.Interface;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/**
 * The laboratory's pages over HTTP. May be used by several threads.
 *
 * <pre>{@code
 * try (Server server = Server.start(ServerSettings.local(8080), store, MethodFiles.shipped(), Clock.systemUTC())) {
 *     System.out.println(server.oneTimeLink("M. Whelan", Duration.ofHours(1)));
 *     ...
 * }
 * }</pre>
 */
public final class Server implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Server.class);
    private static final String CONSOLE = "console of the machine";
    // As long as somebody who came by a link may choose a password without the old one.
    private static final Duration LINK_SETS_PASSWORD = Duration.ofHours(1);

    private static final long SLOWEST_BYTES_PER_S = 100;
    private static final String FORM_IS_THERE = "form-is-there";
    private static final String DAY = "day";
    private static final String SESSION = "tenmesh-session";
    private static final String VISITOR = "tenmesh-visitor";
    private static final String LOOK = "tenmesh-look";
    private static final String POLICY =
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; "
                    + "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    private final ServerSettings settings;
    private final Clock clock;
    private final LaboratoryStore store;
    private final CurrentDay currentDay;
    private final PageContext pages;
    private final LiveRuns liveRuns;
    private final OpenPages openPages;

    private final List<Route> routes;
    private final Interface programs;
    private final Refusals refusals;
    private final Bodies bodies = new Bodies();
    private final Optional<SentPieces> sent;
    private final Assets assets = new Assets();
    private final SecureRandom random = new SecureRandom();
    private final TemplateEngine templates =
            TemplateEngine.createPrecompiled(null, ContentType.Html, Server.class.getClassLoader(), "org.tenmesh.web");
    private final Javalin javalin;

    private Server(
            ServerSettings settings,
            LaboratoryStore store,
            MethodBook methods,
            Clock clock,
            Judge judge,
            Optional<Capture> capture,
            Optional<SheetReader> sheets) {
        this.settings = settings;
        this.clock = clock;
        this.store = store;
        this.currentDay = new CurrentDay(store, methods, judge, clock, clock.millis());
        this.pages = new PageContext(
                store,
                methods,
                clock,
                settings.sessionLasts(),
                settings.benchLocksAfter(),
                currentDay,
                settings.visitorsMayBe(),
                capture,
                sheets);
        this.routes = Pages.routes(pages);
        this.programs = new Interface(pages);
        this.refusals = new Refusals(store, System::nanoTime);
        this.sent = capture.map(one -> new SentPieces(one, store.programs()));
        this.liveRuns = new LiveRuns(store, methods, currentDay, this::drawn);
        this.openPages = new OpenPages(
                currentDay,
                liveRuns,
                token -> store.session(token, settings.idleLasts(), false).isPresent());
        this.javalin = Javalin.create(this::configure);
    }

    /**
     * Loads and judges the newest day, then listens.
     *
     * @param methods all versions, as the judge uses them
     * @throws RuntimeException when the port is taken or the store does not answer; nothing is left running then
     */
    public static Server start(ServerSettings settings, Store store, MethodBook methods, Clock clock) {
        return start(settings, store, methods, clock, Optional.empty(), Optional.empty());
    }

    /**
     * The same with the sources that readings come from, and with what reads worksheets.
     *
     * @param capture closed by the caller, after the server
     */
    public static Server start(
            ServerSettings settings,
            Store store,
            MethodBook methods,
            Clock clock,
            Optional<Capture> capture,
            Optional<SheetReader> sheets) {
        return start(settings, new StoredLaboratory(store), methods, clock, Judge.HOUSE, capture, sheets);
    }

    static Server start(
            ServerSettings settings,
            LaboratoryStore store,
            MethodBook methods,
            Clock clock,
            Judge judge,
            Optional<Capture> capture,
            Optional<SheetReader> sheets) {
        Server server = new Server(settings, store, methods, clock, judge, capture, sheets);
        try {
            server.currentDay.start();
            server.liveRuns.start();
            server.javalin.start(settings.host(), settings.port());
        } catch (RuntimeException e) {
            server.close();
            throw e;
        }
        return server;
    }

    /** Where the pages are, such as {@code http://127.0.0.1:8080/}. */
    public URI address() {
        String host = settings.host().equals("0.0.0.0") || settings.host().isEmpty() ? "localhost" : settings.host();
        return URI.create("http://" + host + ":" + javalin.port() + "/");
    }

    /** An address that signs this person in once, within the time it lasts. The journal says that the console issued it. */
    public URI oneTimeLink(String person, Duration lasts) {
        return address().resolve("/enter/" + store.oneTimeToken(person, lasts, CONSOLE));
    }

    /** The hash to keep for a password, for {@link Person#passwordHash()}. */
    public static String passwordHash(String password) {
        return Passwords.hash(password);
    }

    /** Stops listening. The store stays open. */
    @Override
    public void close() {
        liveRuns.close();
        currentDay.close();
        openPages.close();
        javalin.stop();
    }

    /** The newest day as the pages show it now; empty before there is one. */
    public Optional<Desk> day() {
        return currentDay.desk();
    }

    /** The scope that a token needs for each line of the interface's route table, {@code GET /interface/v1/changes}; empty text for none. */
    public Map<String, String> interfaceTable() {
        Map<String, String> table = new TreeMap<>();
        programs.endpoints()
                .forEach(one -> table.put(
                        one.method() + " " + one.path(),
                        one.scope().map(Scope::word).orElse("")));
        return table;
    }

    /** The parameters that each line of the interface's route table takes behind the question mark. */
    public Map<String, Set<String>> interfaceParameters() {
        Map<String, Set<String>> table = new TreeMap<>();
        programs.endpoints().forEach(one -> table.put(one.method() + " " + one.path(), one.parameters()));
        return table;
    }

    List<Route> routes() {
        return routes;
    }

    /** Everything that the web server answers, as {@code GET /path}: for the test that nothing stands beside the tables. */
    List<String> answered() {
        return javalin.unsafe.internalRouter.allHttpHandlers().stream()
                .map(one -> one.endpoint.method + " " + one.endpoint.path)
                .toList();
    }

    CurrentDay currentDay() {
        return currentDay;
    }

    private void configure(JavalinConfig config) {
        config.startup.showJavalinBanner = false;
        config.startup.showOldJavalinVersionWarning = false;
        config.startup.startupWatcherEnabled = false;
        config.http.maxRequestSize = 1_000_000;
        config.http.generateEtags = false;
        SentForms.limit(config);
        // Who sends more slowly than this is gone, or means no good. Answers have no such rate: an open page is told
        // seldom.
        config.jetty.modifyHttpConfiguration(http -> http.setMinRequestDataRate(SLOWEST_BYTES_PER_S));
        config.routes.before(Server::harden);
        config.routes.get("/assets/{name}", this::asset);
        for (Endpoint endpoint : programs.endpoints()) {
            HandlerType verb = endpoint.method().equals("GET") ? HandlerType.GET : HandlerType.POST;
            config.routes.addHttpHandler(verb, endpoint.path(), ctx -> programs.answer(ctx, endpoint));
        }
        sent.ifPresent(pieces -> config.routes.post(SentPieces.PATH, pieces::take));
        config.routes.get("/favicon.ico", ctx -> ctx.redirect(assets.address("mark.svg")));
        for (Route route : routes) {
            HandlerType verb = route.verb() == Route.Verb.GET ? HandlerType.GET : HandlerType.POST;
            config.routes.addHttpHandler(verb, route.path(), ctx -> answer(ctx, route));
            if (route.isOfADay()) {
                config.routes.addHttpHandler(verb, "/days/{day}" + route.path(), ctx -> answer(ctx, route));
            }
        }
        config.routes.exception(
                Refused.class,
                (e, ctx) -> show(ctx, visit(ctx), Answer.refused(409, "Not done", String.valueOf(e.getMessage()))));
        config.routes.exception(Passwords.Busy.class, (e, ctx) -> {
            ctx.header("Retry-After", "5");
            show(
                    ctx,
                    visit(ctx),
                    Answer.refused(
                            503,
                            "Busy",
                            "Too many people sign in, sign or send something at this moment. Nothing was done; wait a few seconds and "
                                    + "try again."));
        });
        config.routes.exception(HttpResponseException.class, this::plainly);
        config.routes.exception(Exception.class, this::failed);
    }

    private static void harden(Context ctx) {
        ctx.header("Content-Security-Policy", POLICY);
        ctx.header("X-Content-Type-Options", "nosniff");
        ctx.header("Referrer-Policy", "same-origin");
        ctx.header("Cross-Origin-Opener-Policy", "same-origin");
        ctx.header("Cross-Origin-Resource-Policy", "same-origin");
        ctx.header("Cache-Control", "no-store");
    }

    private void asset(Context ctx) {
        Optional<Assets.Asset> asset = assets.at(ctx.path());
        if (asset.isEmpty()) {
            show(ctx, visit(ctx), Answer.notFound());
            return;
        }
        ctx.header("Cache-Control", "public, max-age=31536000, immutable");
        ctx.contentType(asset.get().contentType()).result(asset.get().bytes());
    }

    private void answer(Context ctx, Route route) {
        SentForms.expect(ctx, route);
        Optional<String> unreadable;
        if (route.verb() == Route.Verb.POST) {
            String address = from(ctx);
            if (!bodies.begin(address)) {
                throw new Passwords.Busy();
            }
            try {
                unreadable = SentForms.unreadable(ctx);
            } finally {
                bodies.end(address);
            }
            ctx.attribute(FORM_IS_THERE, unreadable.isEmpty());
        } else {
            unreadable = SentForms.unreadable(ctx);
        }
        Visit visit = visit(ctx);
        if (unreadable.isPresent()) {
            show(ctx, visit, Answer.refused(400, "Not done", unreadable.get() + " Nothing was done."));
            return;
        }
        if (!route.open() && visit.person().isEmpty()) {
            if (route.verb() == Route.Verb.GET) {
                String query = text(ctx.queryString());
                String to = ctx.path() + (query.isEmpty() ? "" : "?" + query);
                String asked = to.equals("/") ? "" : "?to=" + Words.part(to);
                boolean had = !text(ctx.cookie(SESSION)).isEmpty();
                ctx.redirect(
                        ofTheBench(ctx.path()) ? "/badge" + asked + (had ? "&locked=yes" : "") : "/sign-in" + asked);
            } else {
                refusals.form(visit, route, "not signed in");
                // Only a page that was made for the session that has ended can know this.
                boolean ours = !Senders.isElsewhere(ctx)
                        && csrfOf(text(ctx.cookie(SESSION))).equals(visit.form("csrf"));
                show(
                        ctx,
                        visit,
                        ours && SentForm.canBeKept(visit.form())
                                ? SignInPages.ended(pages, visit, new SentForm(ctx.path(), visit.form()))
                                : Answer.refused(
                                        403,
                                        "Signed out",
                                        "Nothing was done. Sign in again, then repeat what you did."));
            }
            return;
        }
        if (!route.open() && !visit.may(route.roles())) {
            refusals.role(visit, route);
            show(ctx, visit, Answer.notFound());
            return;
        }
        boolean elsewhere = route.verb() == Route.Verb.POST && Senders.isElsewhere(ctx);
        if (elsewhere || (route.verb() == Route.Verb.POST && !csrf(ctx, visit).equals(visit.form("csrf")))) {
            refusals.form(visit, route, elsewhere ? "sent by a page of another site" : "without the form's token");
            show(
                    ctx,
                    visit,
                    Answer.refused(
                            403,
                            "Not done",
                            "The form did not come from a page of this sign-in, so nothing was done. Open the page "
                                    + "again and repeat it."));
            return;
        }
        boolean dayGiven = !visit.part(DAY).isEmpty();
        if (route.isOfADay() && !dayGiven && route.verb() == Route.Verb.GET) {
            Optional<String> lasting = LastingAddress.of(store, route, visit, ctx.path(), text(ctx.queryString()));
            if (lasting.isPresent()) {
                ctx.status(303).header("Location", lasting.get());
                return;
            }
        }
        if (dayGiven && visit.desk().isEmpty()) {
            show(ctx, visit, Answer.notFound());
            return;
        }
        show(ctx, visit, route.page().answer(visit));
    }

    /** Bench pages are opened by badge, and locked ones again. */
    private static boolean ofTheBench(String path) {
        return path.startsWith("/bench") || path.matches("/days/[^/]+/bench/.*");
    }

    private Visit visit(Context ctx) {
        return visit(ctx, text(ctx.cookie(SESSION)));
    }

    private Visit visit(Context ctx, String token) {
        // A page that redraws itself is no use of the session: nobody need be there.
        boolean used = text(ctx.header("X-Tenmesh-Redraw")).isEmpty();
        Optional<Session> session =
                token.isEmpty() ? Optional.empty() : store.session(token, settings.idleLasts(), used);
        Map<String, String> query = new HashMap<>();
        ctx.queryParamMap().forEach((name, values) -> query.put(name, values.isEmpty() ? "" : values.get(0)));
        Map<String, String> form = new HashMap<>();
        // What says that a form is refused must not ask for that form again.
        boolean formIsThere = Boolean.TRUE.equals(ctx.attribute(FORM_IS_THERE));
        Map<String, Visit.Upload> files = formIsThere && session.isPresent() ? SentForms.files(ctx) : Map.of();
        if (formIsThere && (SentForms.isPlain(ctx) || !files.isEmpty())) {
            ctx.formParamMap().forEach((name, values) -> form.put(name, values.isEmpty() ? "" : values.get(0)));
        }
        Optional<Desk> newest = currentDay.desk();
        String day = ctx.pathParamMap().getOrDefault(DAY, "");
        // Before sign-in nothing of an earlier day is loaded.
        Optional<Desk> desk = day.isEmpty() || session.isEmpty() ? newest : currentDay.desk(day);
        return new Visit(
                session.map(Session::person),
                desk,
                desk.map(Desk::name).equals(newest.map(Desk::name)),
                currentDay.versionToken(),
                currentDay.open(),
                currentDay.notJudged(),
                session.isPresent() ? token : "",
                from(ctx),
                session.filter(s -> s.startedAt().plus(LINK_SETS_PASSWORD).isAfter(clock.instant()))
                        .flatMap(Session::linkIssuer),
                session.flatMap(Session::locksAfter),
                (settings.overTls() ? "https" : ctx.scheme()) + "://" + text(ctx.host()),
                ctx.pathParamMap(),
                query,
                form,
                files);
    }

    /** The address asked from. Behind a proxy it is the last one of X-Forwarded-For, which the proxy itself wrote. */
    private String from(Context ctx) {
        String forwarded = settings.overTls() ? text(ctx.header("X-Forwarded-For")) : "";
        return forwarded.isEmpty()
                ? ctx.ip()
                : forwarded.substring(forwarded.lastIndexOf(',') + 1).strip();
    }

    private static String text(@Nullable String text) {
        return text == null ? "" : text;
    }

    /** Every form carries this; only a page that was sent to this browser can know it. */
    private String csrf(Context ctx, Visit visit) {
        if (visit.person().isPresent()) {
            return csrfOf(visit.token());
        }
        String visitor = text(ctx.cookie(VISITOR));
        if (visitor.isEmpty()) {
            String given = ctx.attribute(VISITOR);
            visitor = given == null ? "" : given;
        }
        if (visitor.isEmpty()) {
            byte[] bytes = new byte[24];
            random.nextBytes(bytes);
            visitor = Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
            ctx.attribute(VISITOR, visitor);
            ctx.cookie(cookie(VISITOR, visitor, -1));
        }
        return Assets.hash("visitor " + visitor);
    }

    private static String csrfOf(String token) {
        return Assets.hash("form " + token);
    }

    /** It outlives the session, so that a form sent after its end is known to come from a page of ours. */
    private Cookie sessionCookie(String token) {
        return cookie(
                SESSION, token, (int) settings.sessionLasts().multipliedBy(2).toSeconds());
    }

    private Cookie cookie(String name, String value, int maxAgeS) {
        return new Cookie(name, value, "/", maxAgeS, settings.overTls(), true, "", SameSite.STRICT);
    }

    private void show(Context ctx, Visit visit, Answer answer) {
        if (answer instanceof Answer.Moved moved) {
            moved.session().ifPresent(token -> {
                if (token.isEmpty()) {
                    ctx.cookie(cookie(SESSION, "", 0));
                } else {
                    ctx.cookie(sessionCookie(token));
                }
            });
            ctx.status(303).header("Location", kept(ctx, visit, moved.to()));
        } else if (answer instanceof Answer.Entered entered) {
            ctx.cookie(sessionCookie(entered.session()));
            show(ctx, visit(ctx, entered.session()), entered.page());
        } else if (answer instanceof Answer.Download download) {
            ctx.contentType(download.contentType())
                    .header("Content-Disposition", "attachment; filename=\"" + download.name() + "\"")
                    .result(download.bytes());
        } else if (answer instanceof Answer.Text text) {
            ctx.status(text.status()).contentType(text.contentType()).result(text.body());
        } else if (answer instanceof Answer.Live) {
            openPages.listen(ctx, visit.may(Rights.FLOOR), text(ctx.cookie(SESSION)));
        } else if (answer instanceof Answer.Look look) {
            ctx.cookie(cookie(LOOK, look.look(), look.look().isEmpty() ? 0 : 31_536_000));
            ctx.status(303).header("Location", look.back());
        } else if (answer instanceof Answer.Shown shown) {
            String look = text(ctx.cookie(LOOK));
            Frame frame = Frame.of(
                    shown.title(),
                    visit,
                    csrf(ctx, visit),
                    look.equals("light") || look.equals("dark") ? look : "",
                    ctx.path(),
                    assets);
            Map<String, Object> model = new HashMap<>(shown.model());
            model.put("frame", frame);
            StringOutput out = new StringOutput(64 * 1024);
            templates.render(shown.template() + ".jte", model, out);
            String query = text(ctx.queryString());
            String page = kept(visit, PagePictures.linked(PageTables.linked(out.toString(), query), ctx.path(), query));
            Optional<Answer.Download> file = visit.query("file").isEmpty() || shown.status() != 200
                    ? Optional.empty()
                    : file(page, visit, fileName(ctx.path()));
            if (file.isPresent()) {
                show(ctx, visit, file.get());
            } else {
                ctx.status(shown.status()).html(page);
            }
        }
    }

    private static Optional<Answer.Download> file(String page, Visit visit, String name) {
        String kind = visit.query("file");
        return PageTables.file(page, kind, visit.query("table"), name)
                .or(() -> PagePictures.file(page, kind, visit.query("picture"), name));
    }

    /** What a file of a page is called: its address without what no file system takes. */
    private static String fileName(String path) {
        String name = path.replaceAll("[^A-Za-z0-9._-]+", "-").replaceAll("^-+|-+$", "");
        return name.isEmpty() ? "tenmesh" : name.substring(0, Math.min(80, name.length()));
    }

    /** A page's links lead to the day that it shows. */
    private static String kept(Visit visit, String html) {
        return visit.person().isEmpty()
                ? html
                : visit.desk()
                        .map(desk -> DayAddress.in(html, desk.name(), visit.newest()))
                        .orElse(html);
    }

    /** Where a form of a day leads to is on that day; lists of the newest day are found without it. */
    private static String kept(Context ctx, Visit visit, String to) {
        boolean list = to.indexOf('/', 1) < 0;
        return visit.desk().isEmpty() || !ctx.path().startsWith("/days/") || (visit.newest() && list)
                ? to
                : DayAddress.on(visit.desk().get().name(), to);
    }

    /** A run under way as a part of a page. */
    private String drawn(RunUnderWayCard card) {
        StringOutput out = new StringOutput(4 * 1024);
        templates.render("under-way.jte", Map.of("card", card), out);
        return out.toString();
    }

    private void plainly(HttpResponseException e, Context ctx) {
        if (Interface.isItsPath(ctx.path())) {
            Interface.refuse(ctx, e.getStatus());
        } else if (e.getStatus() == 404 || e.getStatus() == 405) {
            show(ctx, visit(ctx), Answer.notFound());
        } else {
            show(
                    ctx,
                    visit(ctx),
                    Answer.refused(e.getStatus(), "Not done", "The request could not be read. Nothing was done."));
        }
    }

    private void failed(Exception e, Context ctx) {
        byte[] bytes = new byte[4];
        random.nextBytes(bytes);
        String mark = java.util.HexFormat.of().formatHex(bytes);
        LOG.error("fault {} at {} {}", mark, ctx.method(), ctx.path(), e);
        if (Interface.isItsPath(ctx.path())) {
            Interface.failed(ctx, mark);
            return;
        }
        List<String> words = new ArrayList<>(List.of(
                "Something failed inside the program. Nothing was lost; what was read stays stored.",
                "Give the administrator the reference " + mark + ": the log says beside it what happened."));
        Answer answer = Answer.refused(500, "That did not work", String.join(" ", words));
        try {
            show(ctx, visit(ctx), answer);
        } catch (RuntimeException again) {
            ctx.status(500).contentType("text/plain; charset=utf-8").result(String.join("\n", words));
        }
    }
}
