package steamleaf.monitor.notice;

import java.util.List;
import steamleaf.contract.Language;

/** Makes the text of a notice. */
public interface Wording {
    /**
     * @param text plain, lines broken
     */
    record Text(String title, String text) {}

    /**
     * @param about the most urgent first, not empty
     * @param page address of the pages
     */
    Text of(Language language, Watch.Kind kind, List<Watch.Case> about, String page);
}
