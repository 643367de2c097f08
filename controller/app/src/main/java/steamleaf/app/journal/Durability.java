package steamleaf.app.journal;

/** When a record counts as kept, and may be sent. */
public enum Durability {
    /** When the disk has confirmed it: a power cut does not take it back. */
    SYNCED,
    /** When the operating system has it: for handed-in time, where no power cut is survived. */
    WRITTEN
}
