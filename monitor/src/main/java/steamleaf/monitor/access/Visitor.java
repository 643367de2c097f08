package steamleaf.monitor.access;

import steamleaf.contract.Language;

/**
 * Who looks at the page, as far as a browser without an account can say.
 *
 * @param by the name chosen on the page, empty when none was
 * @param token goes into each form and must come back with it
 */
public record Visitor(Language language, String by, String token) {}
