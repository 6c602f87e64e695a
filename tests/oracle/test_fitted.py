"""Places of what is fitted to flats, in the DXF as ezdxf reads it and shapely measures it: how far the sides of a place lie
from the sides of its piece, in turn round it, against the plate's own rectangle and the pyramid's geometry."""

import math

import ezdxf
import pytest
import shapely

HEAD = """
prop case { title: "Case", of: foam6 }
stock foam6 { as: foam, thick: 6 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }
"""
RING = "as: ring, of: dee20, tab: webbing20"


def closed(folder, report, layer):
    """The straight-sided closed lines of a layer in the only sheet's DXF, counter-clockwise."""
    [sheet] = report["sheets"]
    [name] = [f for f in sheet["files"] if f.endswith(".dxf")]
    out = []
    for line in ezdxf.readfile(folder.parent / name).modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        if not line.closed:
            continue
        ring = shapely.Polygon([(x, y) for x, y, *_ in line.get_points()]).simplify(0.001)
        out.append(shapely.geometry.polygon.orient(ring))
    return out


def sides(ring):
    points = list(ring.exterior.coords)
    return [shapely.LineString(pair) for pair in zip(points, points[1:])]


def apart(place, piece):
    """From the place to each side of its piece, in turn counter-clockwise."""
    return [side.distance(place) for side in sides(piece)]


def in_turn(found, asked):
    """Whether one list is the other, begun elsewhere."""
    n = len(asked)
    return any(found[i:] + found[:i] == pytest.approx(asked, abs=0.01) for i in range(n))


def fitted(folder, report):
    """The only place and the piece it lies in."""
    [place] = closed(folder, report, "place")
    [piece] = [p for p in closed(folder, report, "cut") if p.contains(place)]
    return place, piece


def test_a_ring_on_a_plate_lies_where_a_ruler_finds_it(built):
    folder, report = built(
        HEAD
        + "plate board { shape: rectangle(across: 120 mm by 200 mm) }\n"
        + f"attachment eye on board {{ {RING}, level: 150 mm, shift: toward(left: 30 mm) }}\n"
    )
    place, piece = fitted(folder, report)
    assert place.area == pytest.approx(20 * 25, abs=0.02)
    # Below it 125, to its right 20, over its bar 50, to its left 80.
    assert in_turn(apart(place, piece), [125, 20, 50, 80])


@pytest.mark.parametrize("level", [60, 150])
def test_a_ring_on_a_panel_lies_where_the_pyramid_has_it(built, level):
    folder, report = built(
        HEAD
        + "shell body { made: panels, at 0 mm: rectangle(across: 120 mm by 120 mm)"
        + ", at 200 mm: rectangle(across: 180 mm by 180 mm) }\n"
        + f"attachment eye on body {{ {RING}, level: {level} mm, facing: left }}\n"
    )
    place, piece = fitted(folder, report)
    slant = math.hypot(200, 30)
    up, wide = level / 200 * slant, 120 + 60 * level / 200
    # Beside the bar's ends, square to a side that leans 30 in each slant.
    beside = (wide / 2 - 10) * slant / math.hypot(slant, 30)
    at_foot = ((wide - 60 * 25 / slant) / 2 - 10) * slant / math.hypot(slant, 30)
    assert in_turn(apart(place, piece), [up - 25, min(beside, at_foot), slant - up, min(beside, at_foot)])


def test_a_ring_on_a_folded_wall_lies_on_its_face(built):
    folder, report = built(
        HEAD
        + "shell body { made: folded, seam: butt(facing: back), at 0 mm to 150 mm: rectangle(across: 120 mm by 90 mm) }\n"
        + f"attachment eye on body {{ {RING}, level: 100 mm, facing: front }}\n"
    )
    place, piece = fitted(folder, report)
    # Half a side, two faces and half of the one it lies on to either end: it lies in the strip's middle.
    low, high = place.bounds, piece.bounds
    found = sorted(apart(place, piece))
    assert found[:2] == pytest.approx([50, 75], abs=0.01)
    ends = [s for s in sides(piece) if s.length == pytest.approx(150, abs=0.01)]
    assert len(ends) == 2 and ends[0].distance(place) == pytest.approx(ends[1].distance(place), abs=0.01), (low, high)
