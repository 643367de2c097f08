package steamleaf.core.batch;

import java.util.List;

/**
 * What the procedures need to know of this line.
 *
 * @param cycleS nominal cycle time
 * @param ovens oven 1 first
 * @param freshWarningH age since plucking that is remarked on
 * @param freshLimitH age that needs a person's reason
 * @param armedS how long an armed button stays armed
 * @param heatStaleS how old a page may be that starts heat
 * @param staleS how old a page may be for anything else that is not an <em>off</em>
 * @param warmWithinK the oven counts as warm this close to its first air set-point
 * @param spreadAfterS held with wet leaf inside: "take it out and spread it"
 * @param doorPatienceS a door open this long in drying holds the batch
 */
public record BatchSettings(
        double cycleS,
        List<OvenSettings> ovens,
        SteamerSettings steamer,
        List<Recipe> recipes,
        double freshWarningH,
        double freshLimitH,
        double armedS,
        double heatStaleS,
        double staleS,
        double warmWithinK,
        double spreadAfterS,
        double doorPatienceS) {
    /** How long a warm oven or leaf on the bench waits for a person. Engineering choice. */
    public static final double PERSON_PATIENCE_S = 30 * 60.0;

    /** How long leaf may be fed before steam ends by itself. Engineering choice. */
    public static final double FEED_PATIENCE_S = 15 * 60.0;

    public BatchSettings {
        ovens = List.copyOf(ovens);
        recipes = List.copyOf(recipes);
    }
}
