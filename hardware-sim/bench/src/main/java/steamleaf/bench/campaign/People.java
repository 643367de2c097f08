package steamleaf.bench.campaign;

import steamleaf.bench.Hands;
import steamleaf.bench.Rig;

/** Who is at the line: the hands that do the day's work, and whoever comes when it was mended. */
public final class People {
    private final Hands hands;
    private final Rescue rescue;
    private final Watch watch;

    public People(Rig rig, Hands hands, Watch watch) {
        this.hands = hands;
        this.watch = watch;
        rescue = new Rescue(rig, hands, why -> watch.note(Check.CANNOT_RUN, "line", why));
    }

    /** Several times a second of line time. */
    public void look() {
        try {
            hands.look();
        } catch (IllegalStateException e) {
            watch.note(Check.PEOPLE_FAILED, "line", hands.doing() + ": " + e.getMessage());
            hands.drop();
        }
        rescue.look();
    }

    boolean fit() {
        return rescue.fit();
    }
}
