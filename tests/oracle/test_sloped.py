"""Sloped cuts against a development that shares nothing with the program: generatrices of the hull of both level
sections, followed to the cutting planes at every depth, flattened as a strip of triangles (`unroll.py`). And the rings of
bent walls against curves in space: ellipses by quadrature, on cones about balls found here by vectors."""

import math

import numpy as np
import pytest
import shapely

from test_coordinates import contour, dxf_contour, farthest, registered
from unroll import Ellipse, cross_area, flatten, rules


class Moved:
    """A section turned by `spin` and moved by `by`."""

    def __init__(self, section, spin=0.0, by=(0.0, 0.0)):
        self.section, self.spin, self.by = section, math.radians(spin), np.array(by)

    def point(self, phi):
        x, y = np.moveaxis(self.section.point(phi - self.spin), -1, 0)
        c, s = math.cos(self.spin), math.sin(self.spin)
        return np.stack([c * x - s * y, s * x + c * y], axis=-1) + self.by


def normal_of(front, left):
    """A plane that leans toward the front and the left by these angles, degrees."""
    n = np.array([math.tan(math.radians(front)), math.tan(math.radians(left)), 1.0])
    return n / np.linalg.norm(n)


def sloped(lower, upper, rise, facing, thick, planes, count=40001):
    """The neutral flat of a wall measured outside, with the feet of its faces' edges in the planes (point, normal)."""
    a, b, normal = rules(lower, upper, rise, facing, count)
    along = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]

    def met(depth, plane):
        at, n = plane
        p = a + depth * normal
        return p + along * (((at - p) @ n) / (along @ n))[:, None]

    neutral = -0.5 * thick
    na, nb = met(neutral, planes[0]), met(neutral, planes[1])
    flat_a, flat_b = flatten(na, nb)
    rule = (flat_b - flat_a) / np.linalg.norm(flat_b - flat_a, axis=1)[:, None]
    curves = {"neutral lower": flat_a, "neutral upper": flat_b}
    for face, depth in (("inside", -thick), ("middle", -0.5 * thick), ("outside", 0.0)):
        for name, plane in (("lower", planes[0]), ("upper", planes[1])):
            edge = met(depth, plane)
            foot = edge - (depth - neutral) * normal
            curves[f"{face} {name}"] = flat_a + np.einsum("ij,ij->i", foot - na, along)[:, None] * rule
            curves[f"{face} {name} girth"] = np.linalg.norm(np.diff(edge, axis=0), axis=1).sum()
    curves["neutral area"] = 0.5 * abs(cross_area(np.vstack([flat_a, flat_b[::-1]])))
    return curves


CASES = {
    # A pipe that widens a little, cut sloping at one end.
    "pipe": ((Ellipse(30, 30), "across: 60 mm"), (Ellipse(34, 34), "across: 68 mm"), 80, 110, 5.0, (0, 0), (25, 0), (0, 0)),
    # A cone cut sloping at both ends, each its own way.
    "cone": ((Ellipse(60, 60), "across: 120 mm"), (Ellipse(30, 30), "across: 60 mm"), 110, 30, 4.0, (0, 10), (18, -6), (0, 0)),
    # An oblique cone: the upper circle stands aside.
    "oblique": ((Ellipse(50, 50), "across: 100 mm"), (Ellipse(30, 30), "across: 60 mm"), 120, 200, 3.0, (5, 0), (-12, 8), (18, -7)),
}


@pytest.mark.parametrize("name", CASES)
def test_a_sloping_cut_lies_on_the_outside_development(built, name):
    (lower, below), (upper, above), tall, facing, thick, low, high, by = CASES[name]
    folder, report = built(
        case(thick)
        + f"""
shell wall {{
    at 0 mm: circle({below}, tilt: toward(front: {low[0]} deg, left: {low[1]} deg))
    at {tall} mm: circle({above}, tilt: toward(front: {high[0]} deg, left: {high[1]} deg), shift: toward(front: {by[0]} mm, left: {by[1]} mm))
    seam: butt(facing: {facing} deg), rim: level
}}
"""
    )
    planes = [
        (np.zeros(3), normal_of(*low)),
        (np.array([by[0], by[1], tall], float), normal_of(*high)),
    ]
    curves = sloped(lower, Moved(upper, by=by), tall, math.radians(facing), thick, planes)
    check(folder, report, curves)


def test_a_spun_oval_cut_sloping_lies_on_the_outside_development(built):
    folder, report = built(
        case(3)
        + """
shell wall {
    at 0 mm: oval(across: 90 mm by 130 mm, spin: 25 deg)
    at 150 mm: oval(across: 110 mm by 80 mm, spin: 70 deg, tilt: toward(back: 14 deg), shift: toward(left: 12 mm))
    seam: butt(facing: 300 deg), rim: level
}
"""
    )
    lower, upper = Moved(Ellipse(65, 45), 25), Moved(Ellipse(40, 55), 70, (0, 12))
    planes = [(np.zeros(3), normal_of(0, 0)), (np.array([0, 12.0, 150.0]), normal_of(-14, 0))]
    check(folder, report, sloped(lower, upper, 150, math.radians(300), 3.0, planes))


def case(thick):
    """The head of a prop of one foam, `thick` mm."""
    return f"""
prop case {{ title: "Case", of: sheet }}
stock sheet {{ as: foam, thick: {thick} mm, size: 1500 mm by 1500 mm, density: 100 kg/m3 }}
"""


def check(folder, report, curves):
    expected = contour(curves)
    [piece] = report["pieces"]
    moved = registered(dxf_contour(folder, report, piece), expected)
    assert farthest(moved, expected) <= 0.006
    assert farthest(expected[::7], moved) <= 0.006
    area = shapely.Polygon(expected).area
    assert piece["area"] == pytest.approx(area, rel=1e-5)
    by_name = {e["name"]: e for e in piece["edges"]}
    for end, edge in (("lower", "bottom"), ("upper", "top")):
        for face in ("inside", "outside"):
            assert by_name[edge][face] == pytest.approx(curves[f"{face} {end} girth"], abs=0.01)


def cut_length(radius, slope, tilt):
    """The perimeter of the plane cut of a cone whose radius on the cut's middle is `radius` and falls by `slope` a length,
    the plane tilted by `tilt`: points of generatrices in the plane, summed."""
    phi = np.linspace(0, 2 * np.pi, 200001)
    lean = math.tan(tilt)
    # On the generatrix at phi: r = radius − slope z, z = −lean r cos phi.
    r = radius / (1 - slope * lean * np.cos(phi))
    p = np.column_stack([r * np.cos(phi), r * np.sin(phi), -lean * r * np.cos(phi)])
    return np.linalg.norm(np.diff(p, axis=0), axis=1).sum()


def test_the_rings_of_a_flipped_horn_have_the_ellipses_of_one_cone(built):
    _, report = built(
        case(3)
        + """
shell horn {
    at bottom: circle(across: 80 mm), at top: circle(across: 12 mm)
    spine: [bend(angle: 120 deg, long: 420 mm, joints: 6, style: flipped)], rim: level
}
"""
    )
    slope = 34 / 420
    for k, piece in enumerate(report["pieces"]):
        ends = {e["name"]: e["outside"] for e in piece["edges"]}
        for name, i in (("bottom", k), ("top", k + 1)):
            tilt = math.radians(10) if 0 < i < 7 else 0.0
            assert ends[name] == pytest.approx(cut_length(40 - slope * 60 * i, slope, tilt), abs=0.01)


def test_the_rings_of_a_mitred_horn_lie_on_both_their_cones(built):
    """Balls on the centre line, shrinking evenly; the rim between two cones lies on both."""
    _, report = built(
        case(3)
        + """
shell horn {
    at bottom: circle(across: 80 mm), at top: circle(across: 30 mm)
    spine: [bend(angle: 90 deg, long: 300 mm, joints: 3)], rim: level
}
"""
    )
    half, long = math.radians(15), 300.0
    lengths = [50.0, 100.0, 100.0, 50.0]
    at, way = [np.zeros(2)], []
    for i, step in enumerate(lengths):
        turn = 2 * half * i
        way.append(np.array([math.sin(turn), math.cos(turn)]))
        at.append(at[-1] + step * way[-1])
    slope = 25 / long
    cosine = 1 / math.hypot(1, slope)
    place = np.concatenate([[0], np.cumsum(lengths)])
    ball = cosine * (40 - slope * place)
    phi = np.linspace(0, 2 * np.pi, 20001)
    for i in (1, 2, 3):
        a, b = way[i - 1], way[i]

        def on_first(z):
            # A point of the cone before, z along its axis from the ball's middle: (in the bend's plane, across it).
            r = (ball[i] - slope * cosine * z) / cosine
            out = np.array([a[1], -a[0]])
            return np.column_stack([z[:, None] * a + (r * np.cos(phi))[:, None] * out, r * np.sin(phi)])

        def off_second(p):
            z = p[:, :2] @ b
            return np.sqrt(np.maximum((p**2).sum(axis=1) - z**2, 0)) - (ball[i] - slope * cosine * z) / cosine

        # Two cones that touch one ball meet in a plane: (a/c + b/c)·x = r (s/c + s/c). That it lies on the second cone too
        # is looked at.
        sine = slope * cosine
        n, off = (a + b) / cosine, ball[i] * 2 * sine / cosine
        out = np.array([a[1], -a[0]])
        flat = ball[i] / cosine * np.cos(phi) * (n @ out)
        rim = on_first((off - flat) / (n @ a - slope * np.cos(phi) * (n @ out)))
        assert abs(off_second(rim)).max() < 1e-9
        girth = np.linalg.norm(np.diff(rim, axis=0), axis=1).sum()
        below, above = report["pieces"][i - 1], report["pieces"][i]
        for piece, name in ((below, "top"), (above, "bottom")):
            [edge] = [e for e in piece["edges"] if e["name"] == name]
            assert edge["outside"] == pytest.approx(girth, abs=0.01)
