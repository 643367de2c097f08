package steamleaf.core.batch;

import java.util.List;
import org.jspecify.annotations.Nullable;
import steamleaf.core.reading.UnitId;

/**
 * A charge's way through the line. It has its oven from the plan to the packing, and the steamer
 * while it steams.
 *
 * @param recipe the version it runs, whatever becomes of the recipe later
 * @param number its number, unique on this line for ever
 * @param dwellS time under steam, adjusted for ripeness
 * @param sampleAskedIn the last operation in which a hand sample was asked for, -1 for none
 * @param belowFloor it left the steam with a dose below the enzyme floor
 * @param finishBy the time somebody wants it done at; null for nobody
 * @param promise when people were told it will be done; null for not told yet
 */
public record Batch(
        String id,
        long number,
        UnitId oven,
        Recipe recipe,
        double dwellS,
        Procedure procedure,
        Charge charge,
        List<Prompt> prompts,
        List<Sample> samples,
        int sampleAskedIn,
        boolean belowFloor,
        @Nullable FinishBy finishBy,
        @Nullable Promise promise) {
    public Batch {
        prompts = List.copyOf(prompts);
        samples = List.copyOf(samples);
    }

    /** Nobody waits for it at a certain time. */
    public Batch(
            String id,
            long number,
            UnitId oven,
            Recipe recipe,
            double dwellS,
            Procedure procedure,
            Charge charge,
            List<Prompt> prompts,
            List<Sample> samples,
            int sampleAskedIn,
            boolean belowFloor) {
        this(
                id,
                number,
                oven,
                recipe,
                dwellS,
                procedure,
                charge,
                prompts,
                samples,
                sampleAskedIn,
                belowFloor,
                null,
                null);
    }

    public ProcedureState state() {
        return procedure.state();
    }

    public Phase phase() {
        return procedure.phase();
    }

    public Operation operation() {
        return recipe.procedure().get(procedure.operation());
    }

    /** Whether this batch has the steamer. */
    public boolean hasSteamer() {
        return isInSteamer(procedure.phase());
    }

    static boolean isInSteamer(Phase phase) {
        return switch (phase) {
            case Phase.HeatingChest _, Phase.Feeding _, Phase.Steaming _ -> true;
            case Phase.Waiting _,
                    Phase.Warming _,
                    Phase.AwaitingPerson _,
                    Phase.Spreading _,
                    Phase.Drying _,
                    Phase.Turning _,
                    Phase.TakingOut _,
                    Phase.Working _,
                    Phase.PuttingBack _,
                    Phase.CoolingInOven _,
                    Phase.Weighing _,
                    Phase.Packing _ ->
                    false;
        };
    }

    public boolean isIn(ProcedureState state) {
        return procedure.state() == state;
    }

    /** The open prompt of this kind, if there is one. */
    public @Nullable Prompt prompt(PromptKind kind) {
        for (int i = 0; i < prompts.size(); i++) {
            if (prompts.get(i).kind() == kind) {
                return prompts.get(i);
            }
        }
        return null;
    }

    Batch with(Procedure p) {
        return changed(p, charge, prompts, samples, sampleAskedIn, belowFloor);
    }

    Batch with(Charge c) {
        return changed(procedure, c, prompts, samples, sampleAskedIn, belowFloor);
    }

    Batch withPrompts(List<Prompt> p) {
        return changed(procedure, charge, p, samples, sampleAskedIn, belowFloor);
    }

    Batch withSamples(List<Sample> s, int askedIn) {
        return changed(procedure, charge, prompts, s, askedIn, belowFloor);
    }

    Batch with(@Nullable FinishBy finish) {
        return ending(finish, promise);
    }

    Batch with(@Nullable Promise told) {
        return ending(finishBy, told);
    }

    private Batch ending(@Nullable FinishBy finish, @Nullable Promise told) {
        return new Batch(
                id,
                number,
                oven,
                recipe,
                dwellS,
                procedure,
                charge,
                prompts,
                samples,
                sampleAskedIn,
                belowFloor,
                finish,
                told);
    }

    /** The same recipe with other air for its dryings. */
    Batch by(List<Operation> operations) {
        return new Batch(
                id,
                number,
                oven,
                new Recipe(recipe.name(), recipe.version(), recipe.targetMoisture(), operations),
                dwellS,
                procedure,
                charge,
                prompts,
                samples,
                sampleAskedIn,
                belowFloor,
                finishBy,
                promise);
    }

    /** The belt takes this long, whatever the recipe's style. */
    Batch dwelling(double s) {
        return new Batch(
                id,
                number,
                oven,
                recipe,
                s,
                procedure,
                charge,
                prompts,
                samples,
                sampleAskedIn,
                belowFloor,
                finishBy,
                promise);
    }

    /** The leaf is out of the steam and on the bench. */
    Batch steamed(boolean floorReached) {
        return changed(
                procedure, charge.at(Place.BENCH), prompts, samples, sampleAskedIn, !floorReached);
    }

    private Batch changed(
            Procedure p,
            Charge c,
            List<Prompt> asked,
            List<Sample> taken,
            int askedIn,
            boolean below) {
        return new Batch(
                id, number, oven, recipe, dwellS, p, c, asked, taken, askedIn, below, finishBy,
                promise);
    }
}
