package steamleaf.app.assemble;

import steamleaf.app.io.Drive;
import steamleaf.app.io.Hardware;
import steamleaf.core.interlock.AllowedOutputs;
import steamleaf.core.interlock.Annunciation;
import steamleaf.core.reading.Readings;

/** The line's screws as the cycle sees them. */
public interface Pins {
    /** One pass over all chips. */
    Readings scan(long cycle);

    /**
     * @return what the hardware took
     */
    Drive.Taken drive(AllowedOutputs outputs, Annunciation annunciation);

    /** Everything off, as far as it can be reached. */
    void allOff();

    /** One edge for the watchdog relay. */
    void pulse();

    /** The opened board. */
    static Pins of(Hardware hardware) {
        return new Pins() {
            @Override
            public Readings scan(long cycle) {
                return hardware.scan().scan(cycle);
            }

            @Override
            public Drive.Taken drive(AllowedOutputs outputs, Annunciation annunciation) {
                return hardware.drive().apply(outputs, annunciation);
            }

            @Override
            public void allOff() {
                hardware.drive().allOff();
            }

            @Override
            public void pulse() {
                hardware.drive().pulse();
            }
        };
    }
}
