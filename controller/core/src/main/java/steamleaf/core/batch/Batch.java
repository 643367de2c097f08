package steamleaf.core.batch;

import java.util.List;
import steamleaf.core.reading.UnitId;

/**
 * A charge's way through the line. It has its oven from the plan to the packing, and the steamer
 * while it steams.
 *
 * @param recipe the version it runs, whatever becomes of the recipe later
 * @param dwellS time under steam, adjusted for ripeness
 * @param heatS how long heat was on
 */
public record Batch(
        String id,
        UnitId oven,
        Recipe recipe,
        double dwellS,
        Procedure procedure,
        Charge charge,
        List<Prompt> prompts,
        List<Sample> samples,
        double heatS) {
    public Batch {
        prompts = List.copyOf(prompts);
        samples = List.copyOf(samples);
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
        return switch (procedure.phase()) {
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

    Batch with(Procedure newProcedure) {
        return new Batch(id, oven, recipe, dwellS, newProcedure, charge, prompts, samples, heatS);
    }

    Batch with(Charge newCharge) {
        return new Batch(id, oven, recipe, dwellS, procedure, newCharge, prompts, samples, heatS);
    }

    Batch withPrompts(List<Prompt> newPrompts) {
        return new Batch(id, oven, recipe, dwellS, procedure, charge, newPrompts, samples, heatS);
    }

    Batch withSamples(List<Sample> newSamples) {
        return new Batch(id, oven, recipe, dwellS, procedure, charge, prompts, newSamples, heatS);
    }

    Batch withHeat(double newHeatS) {
        return new Batch(id, oven, recipe, dwellS, procedure, charge, prompts, samples, newHeatS);
    }
}
