"""Marks on walls against integrals: a line that rises evenly with the way round, on its face and on the flat that is
drawn, and rings as arcs of a cone's own development; lengths in the DXF by its lines and arcs as ezdxf reads them."""

import math

import ezdxf
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

HEAD = """
prop case {{ title: "Case", of: sheet }}
stock sheet {{ as: foam, thick: {thick} mm, size: 1500 mm by 1500 mm, density: 100 kg/m3, neutral: 50 % }}
"""


def long(part):
    """The length of a line or of an arc."""
    if part.dxftype() == "ARC":
        return part.dxf.radius * math.radians((part.dxf.end_angle - part.dxf.start_angle) % 360)
    assert part.dxftype() == "LINE", part.dxftype()
    return part.dxf.start.distance(part.dxf.end)


def drawn(folder, report, layer):
    """Lengths of the lines of a layer in the only sheet's DXF."""
    [sheet] = report["sheets"]
    [name] = [f for f in sheet["files"] if f.endswith(".dxf")]
    entities = ezdxf.readfile(folder.parent / name).modelspace().query(f'*[layer=="{layer}"]')
    # (Its paths would lay Bézier curves over arcs, a part in ten thousand long.)
    lengths = []
    for entity in entities:
        parts = entity.virtual_entities() if entity.dxftype() == "LWPOLYLINE" else [entity]
        lengths.append(sum(long(part) for part in parts))
    return lengths


def on_cone(low, high, tall, depth, start, end):
    """The length of a line between (facing, level) on a circular cone, both changing evenly, over the measured face's
    points along the normal at a depth."""
    slope = (high - low) / tall
    cosine = 1 / math.hypot(1, slope)
    (a, z0), (b, z1) = start, end

    def speed(t):
        radius = low + slope * (z0 + (z1 - z0) * t) + depth * cosine
        return math.hypot(radius * (b - a), (z1 - z0) / cosine)

    return quad(speed, 0, 1, epsabs=1e-11, epsrel=1e-12)[0]


@pytest.mark.parametrize("thick", [2.0, 6.0])
def test_a_path_on_a_cone_is_the_integral_of_its_way(built, thick):
    folder, report = built(
        HEAD.format(thick=thick)
        + """
shell body { at 0 mm: circle(across: 110 mm), at 160 mm: circle(across: 190 mm) }
mark way on body { path: [front by 20 mm, left + 35 deg by 130 mm, left by 10 mm] }
"""
    )
    left, further = math.pi / 2, math.pi / 2 + math.radians(35)
    spots = [(0, 20), (further, 130), (left, 10)]
    legs = list(zip(spots, spots[1:]))
    [mark] = report["marks"]
    assert mark["length"] == pytest.approx(sum(on_cone(55, 95, 160, 0, *leg) for leg in legs), abs=1e-5)
    neutral = sum(on_cone(55, 95, 160, -0.5 * thick, *leg) for leg in legs)
    [piece] = report["pieces"]
    assert piece["marks"][0]["length"] == pytest.approx(neutral, abs=0.01)
    assert sum(drawn(folder, report, "line")) == pytest.approx(neutral, abs=0.01)


def test_a_ring_on_a_cone_is_as_long_as_its_circle(built):
    folder, report = built(
        HEAD.format(thick=4.0)
        + """
shell body { at 0 mm: circle(across: 110 mm), at 160 mm: circle(across: 190 mm) }
mark ring on body { as: groove, level: 70 mm }
"""
    )
    slope = 40 / 160
    radius = 55 + slope * 70
    [mark] = report["marks"]
    assert mark["length"] == pytest.approx(2 * math.pi * radius, abs=1e-5)
    neutral = radius - 2 / math.hypot(1, slope)
    assert sum(drawn(folder, report, "groove")) == pytest.approx(2 * math.pi * neutral, abs=0.01)


def test_a_path_round_an_oval_tube_goes_by_its_girth(built):
    """Half-axes 45 and 70: girth 4 a E(1 - b²/a²) (Abramowitz & Stegun 1964, ch. 17); from right over the back, where the
    seam is, to the left it is half of that."""
    _, report = built(
        HEAD.format(thick=3.0)
        + """
shell tube { at 0 mm to 150 mm: oval(across: 140 mm by 90 mm) }
mark way on tube { path: [right by 20 mm, back by 75 mm, left by 130 mm] }
"""
    )
    girth = 4 * 70 * ellipe(1 - 45**2 / 70**2)
    [mark] = report["marks"]
    assert mark["length"] == pytest.approx(math.hypot(110, girth / 2), abs=1e-4)
