"""Two ovals turned against each other: the trap of the joining. Joined point to point by parameter both rims keep
their lengths and the flat is off by 5 mm at the best that it can be laid. The right joining is that of the hull, by
equal outward normals (`unroll.py`), and its area is that of scipy's hull (Qhull: Barber, Dobkin & Huhdanpaa, ACM
TOMS 22, 1996).

An oval that lies askew is written in two ways: spun, which is exact, and as an outline, a polygon of tangents with its
corners rounded, within OFF of it."""

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull
from scipy.special import ellipe

from test_coordinates import dxf_contour, farthest, registered
from unroll import Ellipse, flatten

A, B = 80.0, 40.0
TALL = 300.0
SIDES = 200
OFF = 0.02  # mm: how far the outline of tangents may stand off the oval


class Turned(Ellipse):
    """An ellipse turned by an angle about its middle."""

    def __init__(self, a, b, turn):
        super().__init__(a, b)
        self.turn = turn
        c, s = math.cos(turn), math.sin(turn)
        self.matrix = np.array([[c, s], [-s, c]])

    def point(self, phi):
        return super().point(phi - self.turn) @ self.matrix

    def at(self, t):
        """The point of a parameter, which is not the direction of its normal."""
        return np.column_stack([self.a * np.cos(t), self.b * np.sin(t)]) @ self.matrix


def tangents(oval):
    """Corners of the polygon of tangents at points evenly spread along the oval, counter-clockwise."""
    t = np.linspace(0, 2 * np.pi, 200_001)
    p = oval.at(t)
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(p, axis=0), axis=1))])
    t = np.interp(np.linspace(0, along[-1], SIDES, endpoint=False), along, t)
    phi = np.unwrap(np.arctan2(np.sin(t) / oval.b, np.cos(t) / oval.a)) + oval.turn
    n = np.column_stack([np.cos(phi), np.sin(phi)])
    h = np.einsum("ij,ij->i", oval.at(t), n)
    corners = [np.linalg.solve([n[i], n[(i + 1) % SIDES]], [h[i], h[(i + 1) % SIDES]]) for i in range(SIDES)]
    return np.array(corners)


def lifted(points, z):
    return np.insert(points, 2, z, axis=1)


def ring(lower, upper):
    return np.vstack([lower, upper[::-1]])


@pytest.mark.parametrize("degrees", [45.0, -30.0])
def test_turned_ovals_are_joined_as_their_hull_is(built, degrees):
    below, above = Turned(A, B, 0.0), Turned(A, B, math.radians(degrees))
    # The least radius of the ellipse is b²/a; a little less leaves every corner its room.
    corner = 0.95 * B * B / A
    corners = tangents(above)
    # First to the wearer's right (-y), second to the front (x).
    points = ", ".join(f"{-y:.6f} mm by {x:.6f} mm" for x, y in corners)
    folder, report = built(
        f"""
prop turned {{ title: "Turned ovals", of: film }}
stock film {{ as: card, thick: 0.001 mm, size: 2500 mm by 2500 mm, density: 900 kg/m3, neutral: 100 % }}
shell wall {{
    at 0 mm: oval(across: {2 * B} mm by {2 * A} mm)
    at {TALL} mm: outline(points: [
        {points}
    ], corner: {corner} mm)
    seam: butt(facing: front), rim: level
}}
"""
    )
    [piece] = report["pieces"]
    # Girth: 4 a E(1 - b²/a²), Abramowitz & Stegun 1964, ch. 17.
    girth = 4 * A * ellipe(1 - (B / A) ** 2)
    long = {e["name"]: e["outside"] for e in piece["edges"]}
    assert long["bottom"] == pytest.approx(girth, abs=0.001)
    assert long["top"] == pytest.approx(girth, abs=2 * math.pi * OFF)

    t = np.linspace(0, 2 * np.pi, 4001)
    hull = ConvexHull(np.vstack([lifted(below.at(t), 0), lifted(above.at(t), TALL)]))
    side = hull.area - 2 * math.pi * A * B
    assert piece["area"] == pytest.approx(side, rel=2e-4)

    right = ring(*flatten(lifted(below.point(t), 0), lifted(above.point(t), TALL)))
    contour = dxf_contour(folder, report, piece)
    moved = registered(contour, right)
    # The polygon of tangents turns in steps, and so does the flat beyond it.
    assert farthest(moved, right) <= 10 * OFF
    assert farthest(right, moved) <= 10 * OFF

    # By parameter: the same rims, and another flat.
    wrong = flatten(lifted(below.at(t), 0), lifted(above.at(t - above.turn), TALL))
    for rim in wrong:
        assert np.linalg.norm(np.diff(rim, axis=0), axis=1).sum() == pytest.approx(girth, abs=0.01)
    off = registered(ring(*wrong), right)
    assert max(farthest(off, right), farthest(right, off)) > 4


@pytest.mark.parametrize("degrees", [45.0, -30.0, 75.0])
def test_a_spun_oval_is_joined_as_its_hull_is(built, degrees):
    below, above = Turned(A, B, 0.0), Turned(A, B, math.radians(degrees))
    folder, report = built(
        f"""
prop spun {{ title: "Spun ovals", of: film }}
stock film {{ as: card, thick: 0.001 mm, size: 2500 mm by 2500 mm, density: 900 kg/m3, neutral: 100 % }}
shell wall {{
    at 0 mm: oval(across: {2 * B} mm by {2 * A} mm)
    at {TALL} mm: oval(across: {2 * B} mm by {2 * A} mm, spin: {degrees} deg)
    seam: butt(facing: front), rim: level
}}
"""
    )
    [piece] = report["pieces"]
    girth = 4 * A * ellipe(1 - (B / A) ** 2)
    long = {e["name"]: e["outside"] for e in piece["edges"]}
    assert long["bottom"] == pytest.approx(girth, abs=0.001)
    assert long["top"] == pytest.approx(girth, abs=0.001)
    t = np.linspace(0, 2 * np.pi, 4001)
    hull = ConvexHull(np.vstack([lifted(below.at(t), 0), lifted(above.at(t), TALL)]))
    assert piece["area"] == pytest.approx(hull.area - 2 * math.pi * A * B, rel=1e-5)
    right = ring(*flatten(lifted(below.point(t), 0), lifted(above.point(t), TALL)))
    contour = dxf_contour(folder, report, piece)
    moved = registered(contour, right)
    assert max(farthest(moved, right), farthest(right, moved)) <= 0.02
