package steamleaf.app.driver.tca9548a;

/**
 * What a switch-over came to. Anything but {@link Selected} means: do not talk to what should be
 * behind it.
 */
public sealed interface Answer {

    /**
     * The control register reads as written.
     *
     * @param control control register, one bit per open channel
     */
    record Selected(int control) implements Answer {}

    /**
     * The control register reads otherwise; whoever answers now may be the wrong chip.
     *
     * @param control control register as found
     */
    record NotSelected(int control) implements Answer {}

    /**
     * The bus gave nothing usable.
     *
     * @param why what the bus said
     */
    record NoAnswer(String why) implements Answer {}
}
