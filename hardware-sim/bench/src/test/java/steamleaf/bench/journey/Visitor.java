package steamleaf.bench.journey;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.openqa.selenium.By;
import org.openqa.selenium.StaleElementReferenceException;
import org.openqa.selenium.TimeoutException;
import org.openqa.selenium.WebDriver;
import org.openqa.selenium.WebDriverException;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.interactions.Actions;
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

    void click(String selector) {
        await(
                "a click on " + selector,
                driver -> {
                    driver.findElement(By.cssSelector(selector)).click();
                    return true;
                });
    }

    /** Clicks if it is still there: what is wanted changes while one reaches for it. */
    boolean clicked(String selector) {
        try {
            List<WebElement> found = browser.findElements(By.cssSelector(selector));
            if (found.isEmpty()) {
                return false;
            }
            found.getFirst().click();
            return true;
        } catch (WebDriverException e) {
            return false;
        }
    }

    /** Types if it is still there. */
    boolean typed(String selector, String text) {
        try {
            WebElement field = browser.findElement(By.cssSelector(selector));
            field.clear();
            field.sendKeys(text);
            return true;
        } catch (WebDriverException e) {
            return false;
        }
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
        String before = browser.findElement(By.tagName("body")).getText();
        try {
            new WebDriverWait(browser, Duration.ofSeconds(1), Duration.ofMillis(100))
                    .ignoring(RuntimeException.class)
                    .until(
                            driver ->
                                    !driver.findElement(By.tagName("body"))
                                            .getText()
                                            .equals(before));
        } catch (TimeoutException e) {
            // nothing new; the caller looks again
        }
    }

    @Override
    public void close() {
        browser.quit();
    }
}
