package steamleaf.app.link;

import java.time.Instant;
import java.util.List;
import steamleaf.contract.AlarmLive;
import steamleaf.contract.AnswerMessage;
import steamleaf.contract.LearnedLive;
import steamleaf.contract.LineDescription;
import steamleaf.contract.RecipeDescription;
import steamleaf.contract.UnitLive;

/** What the control cycle offers to the outside. No call waits, and none fails. */
public interface Offers {
    /** Somebody would take a live state now; making one in other cycles is for nothing. */
    boolean wantsLive();

    void live(List<UnitLive> units);

    void alarm(AlarmLive alarm);

    void learned(LearnedLive learned);

    void answer(String client, AnswerMessage answer);

    void describe(LineDescription line, List<RecipeDescription> recipes);

    /** Where the line is now, for answers that never reach the cycle. */
    void moment(long cycle, Instant at);

    /** Nobody is there. */
    Offers NONE =
            new Offers() {
                @Override
                public boolean wantsLive() {
                    return false;
                }

                @Override
                public void live(List<UnitLive> units) {}

                @Override
                public void alarm(AlarmLive alarm) {}

                @Override
                public void learned(LearnedLive learned) {}

                @Override
                public void answer(String client, AnswerMessage answer) {}

                @Override
                public void describe(LineDescription line, List<RecipeDescription> recipes) {}

                @Override
                public void moment(long cycle, Instant at) {}
            };
}
