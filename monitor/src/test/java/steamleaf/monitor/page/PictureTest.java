package steamleaf.monitor.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.StringReader;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.xml.sax.InputSource;
import steamleaf.contract.Language;
import steamleaf.monitor.store.Rows.Point;

final class PictureTest {
    private static final double T0 = 1_778_500_800; // 2026-05-11T12:00:00Z

    private static Point point(double atS, double moisture) {
        return new Point(T0 + atS, "oven-1", moisture, 0.01, moisture, 38, 80, 80, 60, 0.4, 2, 0.5);
    }

    private static List<Point> fall(int count) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            points.add(point(i * 20.0, 0.8 - 0.75 * i / count));
        }
        return points;
    }

    private static String draw(Picture.Scene scene, int width, int height) {
        return Picture.draw(Language.ENGLISH, ZoneOffset.UTC, scene, width, height);
    }

    private static Picture.Scene scene(List<Point> points, List<Picture.Mark> marks) {
        return new Picture.Scene(
                points,
                List.of(
                        new Picture.Stage("dry", T0, T0 + 6_000),
                        new Picture.Stage("roll", T0 + 6_000, T0 + 7_000)),
                marks,
                List.of(new Picture.Ring(T0 + 5_000, 0.5, "ring")),
                null);
    }

    @Test
    void thePictureIsWellFormedAndDescribesItself() throws Exception {
        String svg =
                draw(scene(fall(400), List.of(new Picture.Mark(T0 + 3_000, "<b>\"&"))), 1_290, 430);
        DocumentBuilderFactory.newInstance()
                .newDocumentBuilder()
                .parse(new InputSource(new StringReader(svg)));
        assertTrue(svg.contains("aria-label=\"Leaf moisture over time, from 80"));
        assertTrue(svg.contains("&lt;b&gt;&quot;&amp;"));
        assertFalse(svg.contains("NaN"));
    }

    @Test
    void nothingToDrawIsNothing() {
        assertEquals("", draw(scene(List.of(), List.of()), 340, 330));
        assertEquals("", draw(scene(List.of(point(0, Double.NaN)), List.of()), 340, 330));
    }

    @Test
    void aHoleInTheRecordIsAHoleInTheCurve() {
        List<Point> points = fall(200);
        points.subList(80, 140).clear();
        String svg = draw(scene(points, List.of()), 340, 330);
        String curve = svg.substring(svg.indexOf("class=\"leaf\""));
        curve = curve.substring(0, curve.indexOf("/>"));
        assertEquals(2, curve.chars().filter(c -> c == 'M').count(), curve);
    }

    @Test
    void whereItWillLandIsDashedAndTimed() {
        Picture.Scene scene =
                new Picture.Scene(
                        fall(100),
                        List.of(),
                        List.of(),
                        List.of(),
                        new Picture.Landing(T0 + 2_000, 0.08, 0.006, T0 + 2_760, 120, 0.055));
        String svg = draw(scene, 340, 330);
        assertTrue(svg.contains("leaf ahead"));
        assertTrue(svg.contains(">12:46<"));
        assertTrue(svg.contains("Expected to reach 5.5\u00a0% at about 12:46."));
    }
}
