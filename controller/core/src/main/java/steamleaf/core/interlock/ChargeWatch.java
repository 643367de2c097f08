package steamleaf.core.interlock;

/**
 * Whether the door was seen open between two charges, so that a door contact stuck closed shows.
 *
 * @param charge 0 for none
 * @param seenOpen the door was seen open since the charge last changed
 * @param proven the door was seen open before this charge's heat
 */
record ChargeWatch(long charge, boolean seenOpen, boolean proven) {
    ChargeWatch next(long nowCharge, boolean doorOpen) {
        if (nowCharge != charge) {
            return new ChargeWatch(nowCharge, doorOpen, nowCharge == 0 || seenOpen || doorOpen);
        }
        return doorOpen && !(seenOpen && proven) ? new ChargeWatch(charge, true, true) : this;
    }
}
