package org.tenmesh.proof.demo;

import java.io.File;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import org.openqa.selenium.By;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;

/**
 * Takes the pictures of {@code docs/demo.md} from a demo that was just started, each at its time of the played day.
 *
 * <pre>{@code DemoPictures http://127.0.0.1:8484/ docs/demo 2}</pre>
 *
 * for one that was started with {@code --speed 2}. WebP, 1440 pixels wide; the pages are those that any visitor of the demo can open.
 */
public final class DemoPictures {
    private static final int WIDTH = 1440;
    private static final int HEIGHT = 1000;
    private static final int QUALITY = 72;
    private static final int MOST_LOOKS = 100;
    private static final long LOOKS_MILLIS = 200;
    private static final Duration SETTLES = Duration.ofMillis(900);

    /**
     * One picture.
     *
     * @param at from the start of the day, at the usual speed
     * @param role as the button of the page to sign in says it
     * @param then the first link to such an address is followed; empty text = none
     */
    private record Shot(Duration at, String role, String path, String then, String name) {}

    private static final List<Shot> SHOTS = List.of(
            shot(30, "bench", "/bench", "bench"),
            shot(50, "bench", "/bench", ".*/bench/T0016", "tray"),
            shot(90, "client service", "/dock", "/dock/SUB-[0-9]+-4", "dock"),
            shot(120, "in charge", "/today", "gate-shut"),
            shot(210, "in charge", "/causes", "causes"),
            shot(300, "in charge", "/today", "ordered"),
            shot(450, "in charge", "/release", "release"),
            shot(520, "in charge", "/today", "released"),
            shot(540, "quality", "/charts", "charts"),
            shot(560, "auditor", "/journal", "journal"),
            shot(570, "auditor", "/regulated", "regulated"),
            shot(580, "auditor", "/trays/T0003", ".*/soils/[0-9-]+[A-Z0-9]", "story"));

    private DemoPictures() {}

    private static Shot shot(int seconds, String role, String path, String name) {
        return shot(seconds, role, path, "", name);
    }

    private static Shot shot(int seconds, String role, String path, String then, String name) {
        return new Shot(Duration.ofSeconds(seconds), role, path, then, name);
    }

    public static void main(String[] args) throws IOException, InterruptedException {
        URI pages = URI.create(args[0]);
        Path folder = Files.createDirectories(Path.of(args[1]));
        double speed = args.length > 2 ? Double.parseDouble(args[2]) : 1;
        long start = System.nanoTime();
        ChromeOptions options = new ChromeOptions();
        options.setBinary(onPath("chromium").toFile());
        options.addArguments(
                "--headless=new",
                "--no-sandbox",
                "--disable-dev-shm-usage",
                "--disable-gpu",
                "--window-size=" + WIDTH + "," + HEIGHT,
                "--lang=en");
        ChromeDriver driver = new ChromeDriver(
                new ChromeDriverService.Builder()
                        .usingDriverExecutable(onPath("chromedriver").toFile())
                        .usingAnyFreePort()
                        .build(),
                options);
        try {
            String role = "";
            for (Shot shot : SHOTS) {
                long waits = Math.round(shot.at().toMillis() / speed) - (System.nanoTime() - start) / 1_000_000;
                Thread.sleep(Math.max(0, waits));
                if (!role.equals(shot.role())) {
                    signIn(driver, pages, shot.role());
                    role = shot.role();
                }
                driver.get(pages.resolve(shot.path()).toString());
                follow(driver, shot.then());
                Thread.sleep(SETTLES.toMillis());
                save(driver, folder.resolve(shot.name() + ".webp"));
                System.out.printf(
                        "%3d s  %s  %s%n",
                        Math.round((System.nanoTime() - start) / 1e9 * speed), shot.name(), driver.getCurrentUrl());
            }
        } finally {
            driver.quit();
        }
    }

    /** Named, so that nothing is looked for on the network. */
    private static Path onPath(String program) {
        return Arrays.stream(System.getenv("PATH").split(File.pathSeparator))
                .map(folder -> Path.of(folder, program))
                .filter(Files::isExecutable)
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("there is no " + program + " on the PATH"));
    }

    private static void signIn(ChromeDriver driver, URI pages, String role) throws InterruptedException {
        driver.get(pages.resolve("/sign-in").toString());
        driver.manage().deleteAllCookies();
        driver.get(pages.resolve("/sign-in").toString());
        driver.findElements(By.name("name")).stream()
                .filter(button -> button.getText().startsWith(role + ":"))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("nobody is \"" + role + "\" at " + driver.getCurrentUrl()))
                .click();
        // The next page is asked for when this one has come, else the sign-in overtakes it.
        for (int i = 0; i < MOST_LOOKS && driver.getCurrentUrl().contains("/sign-in"); i++) {
            Thread.sleep(LOOKS_MILLIS);
        }
    }

    private static void follow(ChromeDriver driver, String then) {
        if (then.isEmpty()) {
            return;
        }
        String to = driver.findElements(By.cssSelector("main a[href]")).stream()
                .map(link -> String.valueOf(link.getDomProperty("href")))
                .filter(href -> URI.create(href).getRawPath().matches(then))
                .findFirst()
                .orElse(driver.getCurrentUrl());
        driver.get(to);
    }

    private static void save(ChromeDriver driver, Path file) throws IOException {
        Object data = driver.executeCdpCommand("Page.captureScreenshot", Map.of("format", "webp", "quality", QUALITY))
                .get("data");
        Files.write(file, Base64.getDecoder().decode(String.valueOf(data)));
    }
}
