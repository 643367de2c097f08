package steamleaf.sim.board;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import steamleaf.sim.plant.Actuation;
import steamleaf.sim.plant.Sensing;

/** Everything in the plant that a wire can lead to, by the name used in board and fault files. */
public final class Terminals {
    /** Puts a level on a terminal that switches. */
    interface Switch {
        void set(Actuation actuation, boolean on);
    }

    /** Puts a share, 0 to 1, on a terminal that can be anywhere between. */
    interface Lever {
        void set(Actuation actuation, double share);
    }

    /** What a humidity probe is exposed to. */
    record Climate(
            ToDoubleFunction<Sensing> temperatureC, ToDoubleFunction<Sensing> relativeHumidity) {}

    /** What a bridge is exposed to, and the unit of it. */
    record Load(ToDoubleFunction<Sensing> value, String unit) {}

    static final String WATCHDOG = "watchdog";

    final Map<String, Predicate<Sensing>> contacts = new LinkedHashMap<>();
    final Map<String, ToDoubleFunction<Sensing>> temperatures = new LinkedHashMap<>();
    final Map<String, Climate> climates = new LinkedHashMap<>();
    final Map<String, Load> loads = new LinkedHashMap<>();
    final Map<String, Switch> switches = new LinkedHashMap<>();
    final Map<String, Lever> levers = new LinkedHashMap<>();

    Terminals(int ovens) {
        line();
        for (int i = 0; i < ovens; i++) {
            oven(i);
        }
    }

    private void line() {
        contacts.put("emergency-stop", s -> s.emergencyStopHealthy);
        contacts.put("permit-key", s -> s.permitKeyOn);
        contacts.put("start-button", s -> s.startButton);
        contacts.put("reset-button", s -> s.resetButton);
        contacts.put("confirm-button", s -> s.confirmButton);
        contacts.put("silence-button", s -> s.silenceButton);
        contacts.put("contactor-feedback", s -> s.contactorClosed);
        contacts.put("supply", s -> s.supplyHealthy);
        contacts.put("smoke-detector", s -> s.smokeHealthy);
        contacts.put("hood-closed", s -> s.hoodClosed);
        contacts.put("hood-locked", s -> s.hoodLocked);
        contacts.put("steam-available", s -> s.steamAvailable);
        contacts.put("over-pressure", s -> s.overPressureHealthy);
        contacts.put("extractor-airflow", s -> s.extractorProven);
        contacts.put("belt-pulse", s -> s.beltPulse);

        temperatures.put("chest-a", s -> s.chestAC);
        temperatures.put("chest-b", s -> s.chestBC);
        climates.put("room", new Climate(s -> s.roomC, s -> s.roomRh));
        loads.put("barometer", new Load(s -> s.roomPressureKPa, "kPa"));

        switches.put("contactor", (a, on) -> a.contactorCoil = on);
        switches.put(WATCHDOG, (_, _) -> {}); // its edges count, not its level
        switches.put("steam-valve", (a, on) -> a.steamValve = on);
        switches.put("second-steam-valve", (a, on) -> a.secondSteamValve = on);
        switches.put("belt-run", (a, on) -> a.beltRun = on);
        switches.put("extractor", (a, on) -> a.extractor = on);
        switches.put("hood-unlock", (a, on) -> a.hoodUnlock = on);
        switches.put("horn", (a, on) -> a.horn = on);
        switches.put("lamp-red", (a, on) -> a.lampRed = on);
        switches.put("lamp-yellow", (a, on) -> a.lampYellow = on);
        switches.put("lamp-green", (a, on) -> a.lampGreen = on);
        switches.put("lamp-blue", (a, on) -> a.lampBlue = on);
        levers.put("belt-speed", (a, share) -> a.beltSpeed = share);
    }

    private void oven(int i) {
        String oven = "oven-" + (i + 1) + ".";
        contacts.put(oven + "door-switch", s -> s.doorClosed[i]);
        contacts.put(oven + "airflow", s -> s.airflowProven[i]);
        contacts.put(oven + "high-limit", s -> s.highLimitHealthy[i]);
        contacts.put(oven + "heater-current", s -> s.heaterCurrent[i]);
        temperatures.put(oven + "air", s -> s.airC[i]);
        climates.put(oven + "exhaust", new Climate(s -> s.exhaustC[i], s -> s.exhaustRh[i]));
        loads.put(oven + "scale", new Load(s -> s.scaleKg[i], "kg"));
        switches.put(oven + "heater", (a, on) -> a.heater[i] = on);
        switches.put(oven + "fan", (a, on) -> a.fan[i] = on);
        levers.put(oven + "damper", (a, share) -> a.damper[i] = share);
    }
}
