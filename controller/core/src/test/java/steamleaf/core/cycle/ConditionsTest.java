package steamleaf.core.cycle;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.core.alarm.AlarmCondition;
import steamleaf.core.alarm.AlarmKind;
import steamleaf.core.batch.Batch;
import steamleaf.core.batch.Charge;
import steamleaf.core.batch.Floor;
import steamleaf.core.batch.Operation;
import steamleaf.core.batch.OvenSlot;
import steamleaf.core.batch.Phase;
import steamleaf.core.batch.Place;
import steamleaf.core.batch.Procedure;
import steamleaf.core.batch.ProcedureState;
import steamleaf.core.batch.Recipe;
import steamleaf.core.batch.StockRecipes;
import steamleaf.core.reading.UnitId;

class ConditionsTest {
    private static final AlarmCondition OUT_OF_REACH =
            new AlarmCondition(UnitId.oven(1), AlarmKind.TARGET_OUT_OF_REACH);

    private final TinyLine line = new TinyLine(1);

    /** The standard recipe with another last drying, still warming its empty oven. */
    private List<AlarmCondition> warming(
            ProcedureState state, double lastAirC, double roomC, double roomRh) {
        Recipe standard = StockRecipes.standard();
        List<Operation> procedure =
                standard.procedure().stream()
                        .map(
                                operation ->
                                        operation instanceof Operation.Dry dry
                                                        && dry.endMoisture() < 0.1
                                                ? new Operation.Dry(
                                                        lastAirC,
                                                        dry.leafMaxC(),
                                                        dry.endMoisture(),
                                                        dry.damper(),
                                                        dry.longestS(),
                                                        dry.turn(),
                                                        dry.askForSample())
                                                : operation)
                        .toList();
        Batch batch =
                new Batch(
                        "batch-1",
                        1,
                        UnitId.oven(1),
                        new Recipe("standard", 9, 0.05, procedure),
                        50.0,
                        new Procedure(state, null, 0.0, 0, 0.0, new Phase.Warming(0.0)),
                        new Charge(
                                List.of(), List.of("41"), 0.0, false, 4000, Place.HEAP, Double.NaN),
                        List.of(),
                        List.of(),
                        -1,
                        false);
        Floor empty = line.state.floor();
        Floor floor =
                new Floor(
                        empty.stock(),
                        List.of(new OvenSlot(batch, false, 0.0, null, null, null)),
                        empty.numbers(),
                        empty.armed(),
                        empty.buttons(),
                        empty.answered());
        return Conditions.of(
                line.settings,
                floor,
                line.state.guard(),
                line.state.leaves(),
                List.of(),
                roomC,
                roomRh,
                60.0);
    }

    /**
     * By hand: saturation 4.246 kPa at 30 °C and 7.384 kPa at 40 °C (ASHRAE Fundamentals ch. 1,
     * table 3, from memory), so a = 0.95 · 4.246/7.384 = 0.546; modified Halsey with design section
     * 4's constants gives X = (e^(3.38 − 0.8)/−ln a)^(1/1.81) = 5.5 % d.b., that is 5.2 % w.b.
     */
    @Test
    void airThatLeavesTheLeafTooWetIsAlarmedWhileTheOvenIsStillWarming() {
        assertEquals(0.052, Conditions.restMoisture(40.0, 30.0, 0.95), 0.001);
        assertTrue(warming(ProcedureState.RUNNING, 40.0, 30.0, 0.95).contains(OUT_OF_REACH));
        assertFalse(
                warming(ProcedureState.RUNNING, 40.0, 30.0, 0.80).contains(OUT_OF_REACH),
                "a drier room");
        assertFalse(
                warming(ProcedureState.RUNNING, 75.0, 30.0, 0.95).contains(OUT_OF_REACH),
                "warmer air");
    }

    @Test
    void aPlanOrARoomThatIsNotKnownAlarmsNothing() {
        assertFalse(warming(ProcedureState.PLANNED, 40.0, 30.0, 0.95).contains(OUT_OF_REACH));
        assertFalse(warming(ProcedureState.RUNNING, 40.0, Double.NaN, 0.95).contains(OUT_OF_REACH));
        assertFalse(warming(ProcedureState.RUNNING, 40.0, 30.0, Double.NaN).contains(OUT_OF_REACH));
    }

    /** Rooms a processor works in: the stock recipes always end dry. */
    @Test
    void noStockRecipeIsEverAlarmedInARoomPeopleCanWorkIn() {
        for (Recipe recipe : StockRecipes.all()) {
            for (Operation operation : recipe.procedure()) {
                if (operation instanceof Operation.Dry dry) {
                    assertTrue(Conditions.restMoisture(dry.airC(), 40.0, 1.0) < dry.endMoisture());
                }
            }
        }
    }
}
