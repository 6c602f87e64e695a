"""Where parts stand: frames against scipy's rotations, and how deep parts stand in each other against shapely's
sections (upright walls of one height touch only sideways: the least shift that parts two convex outlines is the least
distance of the origin from the border of their Minkowski difference)."""

import math
import re

import numpy as np
import pytest
import shapely
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from conftest import build, run

PROP = 'prop p { title: "P", of: foam5 }\n'


def turned(front, left, spin):
    """The axis leans by slopes front and left; the spin follows about the leaning axis."""
    slope = np.array([math.tan(math.radians(front)), math.tan(math.radians(left))])
    lean = math.atan(np.hypot(*slope))
    about = np.array([-slope[1], slope[0], 0.0])
    if np.linalg.norm(about) > 0:
        about /= np.linalg.norm(about)
    return (Rotation.from_rotvec(lean * about) * Rotation.from_rotvec([0, 0, math.radians(spin)])).as_matrix()


@pytest.mark.parametrize("front,left,spin", [(0, 0, 50), (25, 0, 0), (0, -40, 130), (20, 35, -75), (-60, 10, 10)])
def test_frames_are_scipys_rotations(built, front, left, spin):
    tilt = f"toward(front: {front} deg, left: {left} deg)"
    _, report = built(
        PROP
        + "shell a { at 0 mm to 100 mm: circle(across: 90 mm), tilt: toward(left: 30 deg), spin: 20 deg }\n"
        + f"shell b on a.top {{ at 0 mm to 50 mm: circle(across: 90 mm), tilt: {tilt}, spin: {spin} deg,"
        + " shift: toward(front: 3 mm, right: 70 mm, up: 11 mm) }\n"
    )
    parts = {p["name"]: p["place"] for p in report["parts"]}
    host = turned(0, 30, 20)
    own = host @ turned(front, left, spin)
    assert np.allclose(parts["a"]["axis"], host[:, 2], atol=2e-6)
    assert np.allclose(parts["b"]["axis"], own[:, 2], atol=2e-6)
    assert np.allclose(parts["b"]["front"], own[:, 0], atol=2e-6)
    assert np.allclose(parts["b"]["at"], host @ np.array([3.0, -70.0, 111.0]), atol=2e-6)


def outline(points):
    """A language outline from points x to the front, y to the left: its first numbers grow to the wearer's right."""
    return ", ".join(f"{-y:.6f} mm by {x:.6f} mm" for x, y in points)


def apart(a, b):
    """The least shift that parts two convex outlines."""
    hull = ConvexHull((a[:, None, :] - b[None, :, :]).reshape(-1, 2))
    return -hull.equations[:, 2].max()


def ellipse(across, by, middle):
    t = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    return np.column_stack([0.5 * by * np.cos(t) + middle[0], 0.5 * across * np.sin(t) + middle[1]])


@pytest.mark.parametrize("seed", range(8))
def test_depths_are_the_least_shift_that_parts_two_sections(tmp_path, seed):
    rng = np.random.default_rng(seed)
    across, by, other = rng.uniform(70, 120), rng.uniform(70, 120), rng.uniform(60, 90)
    left = 0.5 * across + rng.uniform(0.1, 0.6) * 0.5 * other
    front = rng.uniform(-15, 15)
    prop = tmp_path / "case.prop"
    prop.write_text(
        PROP
        + f"shell a {{ at 0 mm to 100 mm: oval(across: {across:.4f} mm by {by:.4f} mm) }}\n"
        + f"shell b {{ at 0 mm to 100 mm: circle(across: {other:.4f} mm), shift: toward(front: {front:.4f} mm, left: {left:.4f} mm) }}\n"
    )
    done = run("check", prop)
    asked = apart(ellipse(across, by, (0, 0)), ellipse(other, other, (front, left)))
    assert shapely.Polygon(ellipse(across, by, (0, 0))).intersects(shapely.Polygon(ellipse(other, other, (front, left))))
    said = re.search(r"([\d.]+) mm deep in", done.stderr + done.stdout)
    assert said, done.stderr + done.stdout
    # The deepest point of a shallow lens has the other's nearest wall across from it, with the normals opposed: where
    # that is so, moving along them parts the two, and nothing less does.
    assert abs(float(said.group(1)) - asked) < 0.15, (said.group(0), asked)
