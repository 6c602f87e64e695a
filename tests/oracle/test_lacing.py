"""Lacings read back from the drawings: holes by ezdxf, their distances by shapely, and the lace laid over them by a
ruler's sum that knows only the cone the piece is rolled from."""

import math

import ezdxf
import pytest
import shapely
from conftest import ROOT, build

THICK = 4.0


def piece_and_holes(folder, wide):
    """Of every contour with an open seam: its straight sides, the middle of its arcs, and the round holes in it."""
    [path] = sorted((folder / "cut").glob("foam4-*.dxf"))
    space = ezdxf.readfile(path).modelspace()
    circles = [c for c in space.query("CIRCLE") if c.dxf.layer == "cut-inner"]
    assert all(abs(2 * c.dxf.radius - wide) < 2e-3 for c in circles)
    for line in space.query("LWPOLYLINE"):
        if line.dxf.layer != "cut":
            continue
        points = list(line.get_points("xyb"))
        around = points[1:] + points[:1]
        straight = [((a[0], a[1]), (b[0], b[1])) for a, b in zip(points, around) if abs(a[2]) < 1e-9]
        outline = shapely.Polygon([p.vec2 for p in ezdxf.path.make_path(line).flattening(0.001)])
        held = [c.dxf.center.vec2 for c in circles if outline.contains(shapely.Point(c.dxf.center.vec2))]
        centres = [ezdxf.math.bulge_center(a[:2], b[:2], a[2]) for a, b in zip(points, around) if abs(a[2]) > 1e-9]
        assert all(c.distance(centres[0]) < 0.05 for c in centres), "both rims are arcs about the cone's point"
        apex = tuple(sum(axis) / len(centres) for axis in zip(*[(c.x, c.y) for c in centres]))
        yield straight, apex, [(h.x, h.y) for h in held]


def test_bracers_laced_from_their_drawing(tmp_path):
    folder, report = build(ROOT / "examples" / "bracers" / "bracers.prop", tmp_path)
    [lacing] = report["lacings"]
    made = list(piece_and_holes(folder, 6.0))
    assert len(made) == 2
    for sides, apex, holes in made:
        assert len(sides) == 2 and len(holes) == 12
        rows = []
        for side in sides:
            line = shapely.LineString(side)
            own = [h for h in holes if line.distance(shapely.Point(h)) < 20]
            assert len(own) == 6
            for h in own:
                assert line.distance(shapely.Point(h)) == pytest.approx(12.0, abs=5e-3)
            along = sorted((line.project(shapely.Point(h)), h) for h in own)
            assert along[0][0] == pytest.approx(12.0, abs=5e-3)
            assert line.length - along[-1][0] == pytest.approx(12.0, abs=5e-3)
            steps = [b[0] - a[0] for a, b in zip(along, along[1:])]
            # (190 - 24) / 5, the side a little longer than the wall's own line.
            assert steps == pytest.approx([lacing["rows"][0]["pitch"]] * 5, abs=5e-3)
            assert steps[0] == pytest.approx(33.2, abs=0.05)
            rows.append([h for _, h in along])
        # Pair 1 is at the wrist, where the cone is narrow.
        rows = [sorted(row, key=lambda h: math.dist(h, apex)) for row in rows]
        long = lace(rows, apex)
        assert long == pytest.approx(lacing["lace"]["over"], abs=0.02)
    # Foam and its lining of ticking.
    assert abs(lacing["lace"]["through"] - 12 * (THICK + 0.4)) < 1e-9
    assert lacing["lace"]["long"] == pytest.approx(long + 12 * (THICK + 0.4) + 2 * 250, abs=0.02)


def lace(rows, apex):
    """The bar outside, crossing inside and outside by turns, on faces half the thickness away: each hole's distance
    from the point grows by that over the tangent of the cone's half angle, its angle stays."""
    turn = (282 - 168) / 190  # of the whole cone: forearm less wrist over the wall's length
    sine = turn / (2 * math.pi)
    cotangent = math.sqrt(1 - sine * sine) / sine
    middle = [sum(h[i] for row in rows for h in row) - 12 * apex[i] for i in (0, 1)]

    def polar(hole):
        v = (hole[0] - apex[0], hole[1] - apex[1])
        dot, cross = v[0] * middle[0] + v[1] * middle[1], v[0] * middle[1] - v[1] * middle[0]
        # From the seam, not from the sector's middle.
        return math.hypot(*v), turn / 2 - abs(math.atan2(cross, dot))

    def across(i, j, depth):
        (r, a), (s, b) = polar(rows[0][i]), polar(rows[1][j])
        r, s = r + depth * cotangent, s + depth * cotangent
        return math.sqrt(r * r + s * s - 2 * r * s * math.cos(a + b))

    outside, inside = THICK / 2, -THICK / 2
    legs = [across(k, k + 1, face) + across(k + 1, k, face) for k, face in enumerate([inside, outside] * 2 + [inside])]
    return across(0, 0, outside) + sum(legs)
