package steamleaf.bench.journey;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.WebSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.openqa.selenium.By;
import org.openqa.selenium.ElementNotInteractableException;
import org.openqa.selenium.NotFoundException;
import org.openqa.selenium.StaleElementReferenceException;
import org.openqa.selenium.TimeoutException;
import org.openqa.selenium.WebDriver;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.interactions.Actions;
import org.openqa.selenium.json.Json;
import org.openqa.selenium.support.ui.WebDriverWait;

/**
 * Somebody with a browser: looks, clicks, holds, types. A page's parts are replaced while one
 * looks, so each look is a fresh one.
 */
final class Visitor implements AutoCloseable {
    private static final Duration PATIENCE = Duration.ofSeconds(20);
    private static final Path DRIVER = Path.of("/usr/bin/chromedriver");
    private static final Path BROWSER = Path.of("/usr/bin/chromium");

    private final ChromeDriver browser;
    private final String address;

    Visitor(String address, Path profile) {
        for (Path needed : List.of(DRIVER, BROWSER)) {
            if (!Files.isExecutable(needed)) {
                throw new IllegalStateException(
                        needed + " is missing; install chromium and chromium-driver");
            }
        }
        ChromeOptions options = new ChromeOptions();
        options.setBinary(BROWSER.toFile());
        options.addArguments(
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
                "--disable-dev-shm-usage",
                // no push service can be reached from a test, wherever it runs
                "--gcm-checkin-url=http://127.0.0.1:9/",
                "--gcm-registration-url=http://127.0.0.1:9/",
                "--gcm-mcs-endpoint=http://127.0.0.1:9/",
                "--window-size=1024,700",
                "--user-data-dir=" + profile);
        browser =
                new ChromeDriver(
                        new ChromeDriverService.Builder()
                                .usingDriverExecutable(DRIVER.toFile())
                                .usingAnyFreePort()
                                .build(),
                        options);
        this.address = address;
    }

    void open(String path) {
        browser.get(address + path);
    }

    String path() {
        return String.valueOf(browser.getCurrentUrl()).substring(address.length());
    }

    /** What a person reads on the page, no-break spaces as spaces. */
    String text() {
        return text("body");
    }

    String text(String selector) {
        return await(
                "text of " + selector,
                driver ->
                        driver.findElement(By.cssSelector(selector))
                                .getText()
                                .replace('\u00a0', ' '));
    }

    /** What stands there now, empty if it is not there. */
    String textOrNothing(String selector) {
        try {
            return browser.findElement(By.cssSelector(selector)).getText().replace('\u00a0', ' ');
        } catch (NotFoundException | StaleElementReferenceException e) {
            return "";
        }
    }

    boolean sees(String selector) {
        return !browser.findElements(By.cssSelector(selector)).isEmpty();
    }

    /** An attribute of the first such thing, null if there is none. */
    @Nullable String attribute(String selector, String name) {
        try {
            List<WebElement> found = browser.findElements(By.cssSelector(selector));
            return found.isEmpty() ? null : found.getFirst().getAttribute(name);
        } catch (StaleElementReferenceException e) {
            return null;
        }
    }

    int count(String selector) {
        return browser.findElements(By.cssSelector(selector)).size();
    }

    /** Clicks what is there now; false if it is gone or goes just then. */
    boolean clicked(String selector) {
        return now(selector, WebElement::click);
    }

    /** Types into what is there now. */
    boolean typed(String selector, String text) {
        return now(
                selector,
                field -> {
                    field.clear();
                    field.sendKeys(text);
                });
    }

    private boolean now(String selector, Consumer<WebElement> act) {
        try {
            act.accept(browser.findElement(By.cssSelector(selector)));
            return true;
        } catch (NotFoundException
                | StaleElementReferenceException
                | ElementNotInteractableException e) {
            return false;
        }
    }

    void click(String selector) {
        await(
                "a click on " + selector,
                driver -> {
                    driver.findElement(By.cssSelector(selector)).click();
                    return true;
                });
    }

    /** A link by its words. */
    void follow(String words) {
        await(
                "the link \"" + words + "\"",
                driver -> {
                    driver.findElement(By.partialLinkText(words)).click();
                    return true;
                });
    }

    /** Another page by its name in the menu. */
    void page(String name) {
        click(".menu summary");
        await(
                "the page \"" + name + "\" in the menu",
                driver -> {
                    driver.findElement(By.cssSelector(".menu nav"))
                            .findElement(By.linkText(name))
                            .click();
                    return true;
                });
    }

    void type(String selector, String text) {
        await(
                "typing into " + selector,
                driver -> {
                    WebElement field = driver.findElement(By.cssSelector(selector));
                    field.clear();
                    field.sendKeys(text);
                    return true;
                });
    }

    /**
     * Holds a button down until it has had enough, lets go, and waits for what the page then says.
     */
    void hold(String selector, String then) {
        Actions hand = new Actions(browser);
        await(
                "holding " + selector,
                driver -> {
                    hand.clickAndHold(driver.findElement(By.cssSelector(selector))).perform();
                    return true;
                });
        await("the end of holding", _ -> sees(selector) && !sees(selector + ".holding"));
        hand.release().perform();
        awaitText(then);
    }

    void awaitText(String words) {
        await(
                "\"" + words + "\"",
                driver ->
                        driver.findElement(By.tagName("body"))
                                .getText()
                                .replace('\u00a0', ' ')
                                .contains(words));
    }

    /** What became of a command; the page shows it only for a while. */
    void awaitAnswer(String words) {
        Set<String> heard = new LinkedHashSet<>();
        try {
            await(
                    "the answer \"" + words + "\"",
                    _ -> {
                        heard.add(textOrNothing("#answer"));
                        return heard.stream().anyMatch(answer -> answer.contains(words));
                    });
        } catch (AssertionError e) {
            throw new AssertionError("the answers were " + heard + "; " + e.getMessage(), e);
        }
    }

    <T> T await(String what, Function<WebDriver, T> look) {
        try {
            return new WebDriverWait(browser, PATIENCE, Duration.ofMillis(100))
                    .ignoring(RuntimeException.class)
                    .until(look);
        } catch (TimeoutException e) {
            throw new AssertionError(
                    "waited in vain for "
                            + what
                            + " at "
                            + path()
                            + ":\n"
                            + browser.findElement(By.tagName("body")).getText(),
                    e);
        }
    }

    /** Lets the page live on for a moment: until it says something else, or a second has passed. */
    void moment() {
        String before = textOrNothing("body");
        linger(() -> before.equals(textOrNothing("body")));
    }

    /** Lets the page live on for a moment, while something is as it is. */
    void linger(BooleanSupplier still) {
        try {
            new WebDriverWait(browser, Duration.ofSeconds(1), Duration.ofMillis(50))
                    .until(_ -> !still.getAsBoolean());
        } catch (TimeoutException e) {
            // nothing new; the caller looks again
        }
    }

    /** Another screen. */
    void screen(int width, int height) {
        browser.executeCdpCommand(
                "Emulation.setDeviceMetricsOverride",
                Map.of("width", width, "height", height, "deviceScaleFactor", 1, "mobile", false));
    }

    /**
     * What does not fit on the screen: a page that scrolls sideways, a label that does not fit its
     * button or whose words are torn apart. It may break at spaces and zero-width spaces.
     */
    String misfits() {
        return String.valueOf(
                browser.executeScript(
                        """
                        const page = document.documentElement;
                        const misfits = page.scrollWidth > page.clientWidth ? ['sideways'] : [];
                        const torn = word => { // glyphs of one line may come from two fonts
                          const range = document.createRange();
                          const tops = [];
                          for (let i = word.from; i < word.to; i++) {
                            range.setStart(word.node, i);
                            range.setEnd(word.node, i + 1);
                            tops.push(range.getBoundingClientRect().top);
                          }
                          return Math.max(...tops) - Math.min(...tops) > 8;
                        };
                        for (const button of document.querySelectorAll('button, a.button')) {
                          if (!button.checkVisibility()) continue;
                          const label = button.textContent.trim();
                          if (button.scrollWidth > button.clientWidth
                              || button.scrollHeight > button.clientHeight) {
                            misfits.push('too long: ' + label);
                          }
                          const texts = document.createTreeWalker(button, NodeFilter.SHOW_TEXT);
                          for (let node = texts.nextNode(); node; node = texts.nextNode()) {
                            for (const found of node.data.matchAll(/[^ \\n\\u200b]+/g)) {
                              const from = found.index;
                              if (torn({node, from, to: from + found[0].length})) {
                                misfits.push('torn: ' + found[0] + ' in ' + label);
                              }
                            }
                          }
                        }
                        return misfits.join('; ');
                        """));
    }

    /** The person allows what the page asks for. */
    void allowNotifications() {
        browser.executeCdpCommand(
                "Browser.grantPermissions",
                Map.of(
                        "origin",
                        address.substring(0, address.length() - 1),
                        "permissions",
                        List.of("notifications")));
    }

    /** What the browser's push service would deliver to the page's worker, decrypted. */
    void deliverPush(String data) {
        browser.executeCdpCommand("ServiceWorker.enable", Map.of());
        browser.executeCdpCommand(
                "ServiceWorker.deliverPushMessage",
                Map.of(
                        "origin",
                        address.substring(0, address.length() - 1),
                        "registrationId",
                        "0", // the first worker of this profile
                        "data",
                        data));
    }

    /** What a script on the page comes to; a promise is waited for. */
    @Nullable Object script(String expression) {
        return browser.executeAsyncScript(
                "const done = arguments[arguments.length - 1]; Promise.resolve("
                        + expression
                        + ").then(done, e => done('failed: ' + e));");
    }

    /** What a script inside the page's service worker comes to; a promise is waited for. */
    String inWorker(String expression) {
        Map<?, ?> options =
                (Map<?, ?>) browser.getCapabilities().getCapability("goog:chromeOptions");
        try (HttpClient http = HttpClient.newHttpClient()) {
            String list =
                    http.send(
                                    HttpRequest.newBuilder(
                                                    URI.create(
                                                            "http://"
                                                                    + options.get("debuggerAddress")
                                                                    + "/json/list"))
                                            .build(),
                                    HttpResponse.BodyHandlers.ofString())
                            .body();
            List<Map<String, Object>> targets = new Json().toType(list, Json.LIST_OF_MAPS_TYPE);
            String worker =
                    targets.stream()
                            .filter(t -> "service_worker".equals(t.get("type")))
                            .map(t -> String.valueOf(t.get("webSocketDebuggerUrl")))
                            .findFirst()
                            .orElseThrow(() -> new AssertionError("no worker: " + list));
            String question =
                    new Json()
                            .toJson(
                                    Map.of(
                                            "id",
                                            1,
                                            "method",
                                            "Runtime.evaluate",
                                            "params",
                                            Map.of(
                                                    "expression",
                                                    expression,
                                                    "awaitPromise",
                                                    true,
                                                    "returnByValue",
                                                    true)));
            CompletableFuture<String> answer = new CompletableFuture<>();
            WebSocket socket =
                    http.newWebSocketBuilder()
                            .buildAsync(URI.create(worker), new Answer(answer))
                            .get(20, TimeUnit.SECONDS);
            socket.sendText(question, true).get(20, TimeUnit.SECONDS);
            String said = answer.get(20, TimeUnit.SECONDS);
            socket.abort();
            return said;
        } catch (IOException | ExecutionException | java.util.concurrent.TimeoutException e) {
            throw new AssertionError(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new AssertionError(e);
        }
    }

    /** The answer among what comes. */
    private static final class Answer implements WebSocket.Listener {
        private final StringBuilder parts = new StringBuilder();
        private final CompletableFuture<String> whole;

        Answer(CompletableFuture<String> whole) {
            this.whole = whole;
        }

        @Override
        public @Nullable CompletionStage<?> onText(
                WebSocket socket, CharSequence part, boolean last) {
            parts.append(part);
            if (last) {
                if (parts.toString().startsWith("{\"id\":")) {
                    whole.complete(parts.toString()); // not an event
                }
                parts.setLength(0);
            }
            socket.request(1);
            return null;
        }
    }

    @Override
    public void close() {
        browser.quit();
    }
}
