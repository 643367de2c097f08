package steamleaf.contract;

/** The languages in which sentences are made. */
public enum Language {
    ENGLISH,
    JAPANESE
}
