package steamleaf.sim.fault;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.List;
import org.junit.jupiter.api.Test;
import steamleaf.sim.board.Board;
import steamleaf.sim.board.Circuit;
import steamleaf.sim.plant.Plant;
import steamleaf.sim.plant.PlantSettings;
import steamleaf.sim.text.FileMistakes;

class FaultTimelineTest {
    private final FaultCatalogue catalogue =
            new FaultCatalogue(new Circuit(Board.stock(), 1), new Plant(PlantSettings.stock(), 1));

    private List<Fault> read(String text) {
        return FaultTimeline.parse("f.yaml", text, catalogue).faults();
    }

    @Test
    void faultsAreReadByTheirBeginning() {
        List<Fault> faults =
                read(
                        """
                        - {at: 2 h, component: oven-1.air, kind: drift, duration: 10 min, size: -3 K/h}
                        - {at: 90 s, component: oven-2.scale, kind: knocked, duration: rest, size: 0.4 kg}
                        - {at: 1.5 min, component: oven-1.air, kind: swapped, duration: 30 s, with: oven-3.air}
                        - {at: 0 s, component: oven-1.damper, kind: stuck-at, duration: 1 h, size: 0.25}
                        """);
        assertEquals(4, faults.size());
        assertEquals("oven-1.damper stuck-at 0.25 1", faults.get(0).toString());
        assertEquals(90, faults.get(1).atS());
        assertEquals(Double.POSITIVE_INFINITY, faults.get(1).durationS());
        assertEquals(0.4, faults.get(1).size());
        assertEquals("oven-3.air", faults.get(2).with());
        assertEquals(7200, faults.get(3).atS());
        assertEquals(7800, faults.get(3).endS());
        assertEquals(-3, faults.get(3).size());
        assertNull(faults.get(3).with());
    }

    @Test
    void everyMistakeIsToldAtOnceWithItsPlaceAndWhatIsAllowed() {
        FileMistakes refused =
                assertThrows(
                        FileMistakes.class,
                        () ->
                                read(
                                        """
                                        - {at: 1200, component: oven-1.air, kind: open, duration: 60 s}
                                        - {at: 10 s, component: oven-9.air, kind: open, duration: 60 s}
                                        - {at: 10 s, component: i2c-1, kind: hangs, duration: 60 s}
                                        - {at: 10 s, component: oven-1.damper, kind: stuck-at, duration: 60 s}
                                        - {at: 10 s, component: oven-1.damper, kind: stuck-at, duration: 5 s, size: 1.5}
                                        - {at: 10 s, component: oven-2.air, kind: drift, duration: 5 s, size: 3}
                                        - {at: 10 s, component: oven-2.air, kind: open, duration: 0 s, size: 3}
                                        - at: 10 s
                                          component: oven-2.air
                                          kind: swapped
                                          with: oven-2.exhaust
                                          until: 40 s
                                        - {at: 10 s, component: room, kind: missing, duration: rest}
                                        - {at: 20 s, component: room, kind: missing, duration: 1 s, with: barometer}
                                        - oven-1.air
                                        """));
        assertEquals(
                List.of(
                        "f.yaml:1: [1].at = 1200, allowed: a time from 0 s to 2592000 s, with its unit: s, min or h",
                        "f.yaml:2: [2].component = oven-9.air, allowed: a known name. Nearest to \"oven-9.air\":"
                                + " oven-1.air, oven-2.air, oven-3.air",
                        "f.yaml:3: [3].kind = hangs, allowed: hung",
                        "f.yaml:4: [4] lacks size",
                        "f.yaml:5: [5].size = 1.5, allowed: 0 to 1",
                        "f.yaml:6: [6].size = 3, allowed: -1000 to 1000 K/h, with the unit",
                        "f.yaml:7: [7].duration = 0 s, allowed: a time from 0.1 s to 2592000 s, with its unit: s, min or h",
                        "f.yaml:7: [7].size = 3, allowed: no size, oven-2.air open has none",
                        "f.yaml:8: [8] lacks duration",
                        "f.yaml:11: [8].with = oven-2.exhaust, allowed: chest-a, chest-b, oven-1.air, oven-3.air",
                        "f.yaml:12: [8].until is not known here, allowed: at, component, kind, duration, size, with",
                        "f.yaml:14: [10].with = barometer, allowed: no partner, room missing has none",
                        "f.yaml:15: [11] = oven-1.air, allowed: a mapping (key: value)"),
                refused.lines());
    }

    @Test
    void aFileThatIsNoListIsRefused() {
        FileMistakes refused = assertThrows(FileMistakes.class, () -> read("at: 10 s\n"));
        assertEquals(
                List.of("f.yaml:1: the file = a mapping, allowed: a list (- …)"), refused.lines());
    }

    private List<String> refused(String text) {
        return assertThrows(FileMistakes.class, () -> read(text)).lines();
    }

    @Test
    void aKeyWithoutAValueIsRefusedAndNotPassedOver() {
        assertEquals(
                List.of(
                        "f.yaml:1: [1].at = nothing, allowed: a time from 0 s to 2592000 s, with its unit: s, min or h",
                        "f.yaml:2: [2].component = nothing, allowed: a known name, for example chest-a",
                        "f.yaml:3: [3].kind = nothing, allowed: present",
                        "f.yaml:4: [4].duration = nothing, allowed: a time from 0.1 s to 2592000 s, with its unit: s, min or h",
                        "f.yaml:5: [5].size = nothing, allowed: 0 to 50000 W, with the unit",
                        "f.yaml:6: [6].with = nothing, allowed: chest-a, chest-b, oven-2.air, oven-3.air",
                        "f.yaml:7: [7].size = nothing, allowed: 0 to 1"),
                refused(
                        """
                        - {at: , component: smoke, kind: present, duration: 1 min}
                        - {at: 1 min, component: , kind: present, duration: 1 min}
                        - {at: 1 min, component: smoke, kind: , duration: 1 min}
                        - {at: 1 min, component: smoke, kind: present, duration: }
                        - {at: 1 min, component: oven-1.fire, kind: present, duration: 1 min, size: }
                        - {at: 1 min, component: oven-1.air, kind: swapped, duration: 1 min, with: ""}
                        - {at: 1 min, component: supply, kind: low, duration: 1 min, size: }
                        """));
    }

    @Test
    void aNumberIsWhatPeopleWriteAsOne() {
        String allowed = ", allowed: a time from 0 s to 2592000 s, with its unit: s, min or h";
        for (String odd :
                List.of(
                        "-5 min",
                        "5min",
                        "5  min",
                        "NaN s",
                        "Infinity s",
                        "0x1p4 s",
                        "1f s",
                        "s")) {
            assertEquals(
                    List.of("f.yaml:1: [1].at = " + odd + allowed),
                    refused("- {at: " + odd + ", component: belt, kind: blocked, duration: 1 s}"));
        }
        String entry = "- {at: 1.5e2 s, component: belt, kind: blocked, duration: .5 min}";
        assertEquals(150, read(entry).getFirst().atS());
        assertEquals(30, read(entry).getFirst().durationS());
    }

    @Test
    void whatBreaksTheSameWayTwiceIsRefusedWithTheTimesThatAreFree() {
        assertEquals(
                List.of(
                        "f.yaml:2: [2] = smoke present at 1830 s, broken that way already from 1800 s on, allowed: over at 1800 s, or not before 1860 s",
                        "f.yaml:4: [4] = belt blocked at 9 s, broken that way already from 3 s on, allowed: over at 3 s: the other one lasts for the rest"),
                refused(
                        """
                        - {at: 30 min, component: smoke, kind: present, duration: 1 min}
                        - {at: 30.5 min, component: smoke, kind: present, duration: 1 min}
                        - {at: 3 s, component: belt, kind: blocked, duration: rest}
                        - {at: 9 s, component: belt, kind: blocked, duration: 1 s}
                        """));
        assertEquals(
                2,
                read("""
                        - {at: 30 min, component: smoke, kind: present, duration: 1 min}
                        - {at: 31 min, component: smoke, kind: present, duration: 1 min}
                        """)
                        .size());
    }

    @Test
    void lineEndsAndMarksOfOtherEditorsAreNoMistake() {
        String text =
                """
                - {at: 3 s, component: belt, kind: blocked, duration: 1 s}
                - {at: 9 s, component: belt, kind: blocked, duration: rest}
                """
                        .replace("\n", "\r\n");
        assertEquals(2, read(text).size());
        assertEquals(2, read("\uFEFF" + text).size());
    }

    @Test
    void aFileThatIsNestedWithoutEndIsRefusedLikeAnyOther() {
        assertEquals(
                List.of("f.yaml:1: not readable as YAML: nested too deep"),
                refused("[".repeat(30_000) + "]".repeat(30_000)));
        assertEquals(List.of("f.yaml:1: the file is empty"), refused(""));
        assertEquals(List.of("f.yaml:1: the file is empty"), refused("# nothing broke\n"));
        assertEquals(List.of(), read("[]"));
    }
}
