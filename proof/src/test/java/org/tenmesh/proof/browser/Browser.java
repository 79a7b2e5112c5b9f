package org.tenmesh.proof.browser;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.openqa.selenium.By;
import org.openqa.selenium.Dimension;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebDriverException;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.interactions.Actions;

/** Chromium of the system, driven by keys only: nothing here can click. */
final class Browser implements AutoCloseable {
    private static final int MOST_TABS = 400;
    /** Further than this nobody goes with the Tab key. */
    private static final int MOST_STOPS = 30;

    private static final Duration PATIENCE = Duration.ofSeconds(60);

    private final ChromeDriver driver;

    private Browser(ChromeDriver driver) {
        this.driver = driver;
    }

    /** Starts it, or skips the test in plain words where there is none. */
    static Browser start(Path downloads) {
        Optional<Path> chromium = onPath("chromium").or(() -> onPath("chromium-browser"));
        Optional<Path> chromedriver = onPath("chromedriver");
        assumeTrue(
                chromium.isPresent() && chromedriver.isPresent(),
                "skipped: no chromium with chromedriver on the PATH (Debian: apt-get install chromium"
                        + " chromium-driver)");
        ChromeOptions options = new ChromeOptions();
        options.setBinary(chromium.get().toFile());
        options.addArguments(
                "--headless=new",
                "--no-sandbox",
                "--disable-dev-shm-usage",
                "--disable-gpu",
                "--window-size=1440,1000",
                "--lang=en");
        options.setExperimentalOption(
                "prefs",
                Map.of(
                        "download.default_directory",
                        downloads.toString(),
                        "plugins.always_open_pdf_externally",
                        true,
                        // Without it a second file that no hand asked for is kept back.
                        "profile.default_content_setting_values.automatic_downloads",
                        1));
        ChromeDriverService service = new ChromeDriverService.Builder()
                .usingDriverExecutable(chromedriver.get().toFile())
                .usingAnyFreePort()
                .withTimeout(Duration.ofSeconds(60))
                .build();
        ChromeDriver driver = new ChromeDriver(service, options);
        driver.manage().timeouts().pageLoadTimeout(Duration.ofSeconds(60));
        return new Browser(driver);
    }

    private static String axe() {
        try (InputStream in = requireNonNull(Browser.class.getResourceAsStream("/axe.min.js"), "axe.min.js")) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Optional<Path> onPath(String program) {
        String path = System.getenv("PATH");
        return Arrays.stream((path == null ? "" : path).split(File.pathSeparator, -1))
                .map(folder -> Path.of(folder).resolve(program))
                .filter(Files::isExecutable)
                .findFirst();
    }

    void open(String address) {
        driver.get(address);
    }

    /** A picture of the whole page under this name, in the folder of the property tenmesh.pictures; none where that is not set. */
    void picture(String name) {
        String folder = System.getProperty("tenmesh.pictures");
        if (folder == null) {
            return;
        }
        Object height = ask("return Math.min(document.documentElement.scrollHeight, 6000)");
        Map<String, Object> taken = driver.executeCdpCommand(
                "Page.captureScreenshot",
                Map.of(
                        "captureBeyondViewport",
                        true,
                        "clip",
                        Map.of("x", 0, "y", 0, "width", 1440, "height", height, "scale", 1)));
        try {
            Files.write(
                    Files.createDirectories(Path.of(folder)).resolve(name + ".png"),
                    Base64.getDecoder().decode(String.valueOf(taken.get("data"))));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Opens the address of a file and waits until it lies in the folder of downloads. */
    Path download(String address, Path downloads, String ending) throws IOException {
        Set<Path> before = files(downloads, ending);
        ask("location.assign('" + address + "'); return true");
        long end = System.nanoTime() + PATIENCE.toNanos();
        while (System.nanoTime() < end) {
            for (Path file : files(downloads, ending)) {
                // Chromium gives a file its name when it is whole.
                if (!before.contains(file) && Files.size(file) > 0) {
                    return file;
                }
            }
            try {
                Thread.sleep(50);
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                break;
            }
        }
        throw new AssertionError("no file *" + ending + " came from " + address);
    }

    private static Set<Path> files(Path folder, String ending) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.filter(file -> file.toString().endsWith(ending)).collect(Collectors.toSet());
        }
    }

    String address() {
        return String.valueOf(driver.getCurrentUrl());
    }

    String text() {
        return String.valueOf(driver.executeScript("return document.body.innerText"));
    }

    /** Presses Tab until what has the focus fits, as somebody without a mouse would. */
    WebElement tabTo(String what, Predicate<WebElement> fits) {
        StringBuilder passed = new StringBuilder();
        for (int i = 0; i < MOST_TABS; i++) {
            WebElement focused = driver.switchTo().activeElement();
            if (fits.test(focused)) {
                return focused;
            }
            passed.append(focused.getText()).append(" | ");
            new Actions(driver).sendKeys(Keys.TAB).perform();
        }
        throw new AssertionError("Tab never reached " + what + " at " + address() + "; it passed " + passed);
    }

    /**
     * How many stops of the keyboard from the load of the page to what is meant: none where it has the focus, on or back with Tab where a field has it,
     * and otherwise by the link that skips the menu, whose two keys count.
     */
    int stopsTo(String what, Predicate<WebElement> fits) {
        WebElement first = driver.switchTo().activeElement();
        if (fits.test(first)) {
            return 0;
        }
        boolean field = !"body".equals(first.getTagName());
        int stops = 0;
        if (!field) {
            new Actions(driver).sendKeys(Keys.TAB).perform();
            new Actions(driver).sendKeys(Keys.ENTER).perform();
            stops = 2;
        }
        int on = steps(fits, Keys.TAB);
        if (field) {
            first.sendKeys("");
            on = Math.min(on, steps(fits, Keys.SHIFT, Keys.TAB));
        }
        if (on == MOST_TABS) {
            throw new AssertionError("Tab never reached " + what + " at " + address());
        }
        return stops + on;
    }

    private int steps(Predicate<WebElement> fits, CharSequence... keys) {
        String chord = Keys.chord(keys);
        for (int stops = 1; stops <= MOST_STOPS; stops++) {
            new Actions(driver).sendKeys(chord).perform();
            if (fits.test(driver.switchTo().activeElement())) {
                return stops;
            }
        }
        return MOST_TABS;
    }

    /** What axe-core finds wrong with the page, a line each; in dark only what depends on colours. */
    List<String> wrong(boolean dark) {
        driver.executeCdpCommand(
                "Emulation.setEmulatedMedia",
                Map.of("features", List.of(Map.of("name", "prefers-color-scheme", "value", dark ? "dark" : "light"))));
        driver.executeScript("if (!window.axe) { " + axe() + " }");
        Object found = driver.executeAsyncScript("""
                const done = arguments[arguments.length - 1];
                const only = arguments[0] ? { runOnly: ["color-contrast"] } : {};
                axe.run(document, { ...only, resultTypes: ["violations"] }).then((all) => done(all.violations.map((one) =>
                    one.id + " (" + one.impact + "): " + one.nodes.slice(0, 3).map((node) => node.target + " " + node.html).join(" | "))));
                """, dark);
        return ((List<?>) requireNonNull(found)).stream().map(String::valueOf).toList();
    }

    /** Whether the last address that was opened answered with a page, and that it may be seen. */
    boolean shown() {
        return Boolean.TRUE.equals(ask("return document.contentType === 'text/html'"
                + " && performance.getEntriesByType('navigation')[0].responseStatus === 200"));
    }

    /** Where the links of the page lead. */
    List<String> links() {
        Object found = ask(
                "return [...document.querySelectorAll('a[href]:not([download])')].map((one) => one.getAttribute('href'))");
        return ((List<?>) found).stream().map(String::valueOf).toList();
    }

    /** Tabs to a link or button by its words. */
    WebElement tabToWords(String words) {
        return tabTo("\"" + words + "\"", element -> element.getText().strip().startsWith(words));
    }

    /** Presses Enter and waits until a page has come that holds these words. */
    void enter(String wordsOfTheNextPage) {
        new Actions(driver).sendKeys(Keys.ENTER).perform();
        waitFor(wordsOfTheNextPage);
    }

    void press(CharSequence keys) {
        new Actions(driver).sendKeys(keys).perform();
    }

    /**
     * Types into a field as a scanner or a hand does, and presses Enter. Each key bears the time at which the device sends it, however late
     * a busy machine comes to it.
     *
     * @param field CSS selector of what has the focus; {@code body} for nothing
     * @param pauseMs between two characters
     */
    void scan(String field, String text, int pauseMs) {
        driver.executeAsyncScript("""
                const done = arguments[arguments.length - 1];
                const [field, text, pause] = arguments;
                const focused = document.querySelector(field);
                if (field === "body") { document.activeElement.blur(); } else { focused.focus(); }
                let at = performance.now();
                const key = (name) => {
                  const event = new KeyboardEvent("keydown", { key: name, bubbles: true, cancelable: true });
                  Object.defineProperty(event, "timeStamp", { value: at });
                  at += Math.max(pause, 1);
                  return document.activeElement.dispatchEvent(event);
                };
                (async () => {
                  for (const one of text) {
                    if (key(one) && field !== "body") { document.execCommand("insertText", false, one); }
                    if (pause > 0) { await new Promise((after) => setTimeout(after, pause)); }
                  }
                  key("Enter");
                  done();
                })();
                """, field, text, pauseMs);
    }

    /** Writes into a field, in whatever fold it lies, and gives what stands in it then. */
    String write(String field, String text) {
        driver.executeScript("""
                const field = document.querySelector(arguments[0]);
                for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) { fold.open = true; }
                field.focus();
                if (arguments[1]) { document.execCommand("insertText", false, arguments[1]); }
                """, field, text);
        return written(field);
    }

    /** Chooses what an option of a list says, in whatever fold the list lies. */
    void choose(String list, String option) {
        driver.executeScript("""
                const list = document.querySelector(arguments[0]);
                for (let fold = list.closest("details"); fold; fold = fold.parentElement.closest("details")) { fold.open = true; }
                const found = [...list.options].find((one) => one.text.trim() === arguments[1] || one.value === arguments[1]);
                list.value = found.value;
                list.dispatchEvent(new Event("change", { bubbles: true }));
                """, list, option);
    }

    /** Names a file in a field that takes one. */
    void file(String field, Path file) {
        driver.findElement(By.cssSelector(field)).sendKeys(file.toString());
    }

    /** Puts the focus on a button or link, presses Enter and waits until a page has come that holds these words. */
    void enterAt(String what, String wordsOfTheNextPage) {
        driver.executeScript("""
                const what = document.querySelector(arguments[0]);
                for (let fold = what.closest("details"); fold; fold = fold.parentElement.closest("details")) { fold.open = true; }
                what.focus();
                """, what);
        enter(wordsOfTheNextPage);
    }

    boolean has(String what) {
        return !driver.findElements(By.cssSelector(what)).isEmpty();
    }

    String written(String field) {
        return String.valueOf(driver.executeScript("return document.querySelector(arguments[0]).value", field));
    }

    void waitFor(String words) {
        waitForOne(words);
    }

    /** Waits until the page that is open has nothing like this. */
    void waitUntilGone(String what) {
        long end = System.nanoTime() + PATIENCE.toNanos();
        while (System.nanoTime() < end) {
            try {
                if (!has(what)) {
                    return;
                }
                Thread.sleep(50);
            } catch (WebDriverException changing) {
                // The page is just being replaced by the next one: look again.
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                break;
            }
        }
        throw new AssertionError("still there: " + what + " at " + address() + ", found: " + text());
    }

    /** Waits until the page holds one of these. */
    void waitForOne(String... any) {
        String words = String.join("\" or \"", any);
        long end = System.nanoTime() + PATIENCE.toNanos();
        String found = "";
        while (System.nanoTime() < end) {
            try {
                found = text();
                if (Arrays.stream(any).anyMatch(found::contains)) {
                    return;
                }
                Thread.sleep(50);
            } catch (WebDriverException changing) {
                // The page is just being replaced by the next one: look again.
                found = String.valueOf(changing.getMessage());
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                break;
            }
        }
        throw new AssertionError("waited for \"" + words + "\" at " + address() + ", found: " + found);
    }

    /** Whether the page holds these words within some time. */
    boolean shows(String words, Duration within) {
        long end = System.nanoTime() + within.toNanos();
        while (System.nanoTime() < end) {
            try {
                if (text().contains(words)) {
                    return true;
                }
                Thread.sleep(50);
            } catch (WebDriverException changing) {
                // The page is just being replaced by the next one: look again.
            } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
                return false;
            }
        }
        return false;
    }

    /** Shows the page at a width and says by how many pixels it is wider than that. */
    long overflowAt(int width) {
        driver.manage().window().setSize(new Dimension(width, 1000));
        Object over = driver.executeScript(
                "return document.documentElement.scrollWidth - document.documentElement.clientWidth");
        return over instanceof Number number ? number.longValue() : Long.MAX_VALUE;
    }

    /** By how many pixels the page that is open is wider than a screen of this width, which may be a telephone's. */
    long overflowOnScreen(int width) {
        driver.executeCdpCommand(
                "Emulation.setDeviceMetricsOverride",
                Map.of("width", width, "height", 900, "deviceScaleFactor", 1, "mobile", false));
        Object over = ask("return document.documentElement.scrollWidth - document.documentElement.clientWidth");
        driver.executeCdpCommand("Emulation.clearDeviceMetricsOverride", Map.of());
        return over instanceof Number number ? number.longValue() : Long.MAX_VALUE;
    }

    /** Cuts the network of the browser and brings it back, as the tools of the browser do. */
    void network(boolean there) {
        driver.executeCdpCommand("Network.enable", Map.of());
        driver.executeCdpCommand(
                "Network.emulateNetworkConditions",
                Map.of("offline", !there, "latency", 0, "downloadThroughput", -1, "uploadThroughput", -1));
    }

    /** What a script in the page answers. */
    Object ask(String script) {
        return requireNonNull(driver.executeScript(script));
    }

    /** Whether what has the focus shows it: an outline, a shadow or a border that others do not have. */
    boolean focusShows() {
        return Boolean.TRUE.equals(driver.executeScript("const s = getComputedStyle(document.activeElement);"
                + "return (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== 'none'"));
    }

    @Override
    public void close() {
        driver.quit();
    }
}
