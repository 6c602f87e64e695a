"""Plates against shapely: the bevel lines of the cut file are the outline's own buffer with mitred corners, and areas are
those that shapely finds."""

import math

import ezdxf
import pytest
import shapely


def polygon(entity):
    """A closed polyline as a polygon, arcs by chords within 0.001 mm."""
    points = []
    for x, y, *_, bulge in entity.get_points("xyseb"):
        points.append((x, y, bulge))
    out = []
    for (ax, ay, b), (bx, by, _) in zip(points, points[1:] + points[:1]):
        out.append((ax, ay))
        if b:
            sweep = 4 * math.atan(b)
            chord = math.hypot(bx - ax, by - ay)
            radius = chord / (2 * math.sin(abs(sweep) / 2))
            n = max(2, math.ceil(abs(sweep) / math.sqrt(8 * 0.0005 / radius)))
            mx, my = (ax + bx) / 2, (ay + by) / 2
            far = radius * math.cos(sweep / 2) * (1 if b > 0 else -1)
            cx, cy = mx - (by - ay) / chord * far, my + (bx - ax) / chord * far
            start = math.atan2(ay - cy, ax - cx)
            out += [(cx + radius * math.cos(start + sweep * k / n), cy + radius * math.sin(start + sweep * k / n)) for k in range(1, n)]
    return shapely.Polygon(out)


@pytest.mark.parametrize(
    "shape, wide",
    [
        ("outline(points: [-36 mm by 0 mm, 36 mm by 0 mm, 42 mm by 280 mm, 0 mm by 400 mm, -42 mm by 280 mm])", 30),
        ("oval(across: 90 mm by 140 mm)", 20),
        ("outline(points: [0 mm by 0 mm, 80 mm by 0 mm, 80 mm by 30 mm, 30 mm by 30 mm, 30 mm by 90 mm, 0 mm by 90 mm])", 9),
        ("rectangle(across: 70 mm by 50 mm, corner: 16 mm)", 12),
    ],
)
def test_a_bevel_line_is_the_outline_drawn_in(built, shape, wide):
    folder, report = built(f'prop p {{ title: "P", of: foam6 }}\nplate one {{ shape: {shape}, bevel: wedge(wide: {wide} mm) }}\n')
    [path] = (folder / "cut").glob("*.dxf")
    space = ezdxf.readfile(path).modelspace()
    closed = {e.dxf.layer: polygon(e) for e in space.query("LWPOLYLINE") if e.dxf.layer in ("cut", "bevel")}
    outline, mark = closed["cut"], closed["bevel"]
    asked = outline.buffer(-wide, join_style="mitre", mitre_limit=50)
    assert asked.hausdorff_distance(mark) < 0.03
    assert mark.area == pytest.approx(asked.area, rel=2e-4)
    assert report["pieces"][0]["area"] == pytest.approx(outline.area, rel=2e-5)
