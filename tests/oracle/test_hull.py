"""The wall between two convex sections is the side of their convex hull. scipy's hull (Qhull: Barber, Dobkin &
Huhdanpaa, "The Quickhull algorithm for convex hulls", ACM TOMS 22, 1996) knows nothing of support functions, so its
lateral area is an independent measure of every flat piece: 500 random pairs of sections agree within 1e-5."""

import math
import random

import numpy as np
import pytest
from scipy.spatial import ConvexHull

PAIRS = 500
A_PROP = 25
SAMPLES = 1500


def circle(r):
    d = r.uniform(40, 160)
    t = np.linspace(0, 2 * np.pi, SAMPLES, endpoint=False)
    return f"circle(across: {d:.3f} mm)", 0.5 * round(d, 3) * np.column_stack([np.cos(t), np.sin(t)])


def oval(r):
    across, by, fullness = r.uniform(50, 160), r.uniform(50, 160), r.choice([2.0, 2.0, 2.5, 3.0])
    a, b = 0.5 * round(by, 3), 0.5 * round(across, 3)
    t = np.linspace(0, 2 * np.pi, SAMPLES, endpoint=False)
    c, s = np.cos(t), np.sin(t)
    e = 2 / fullness
    points = np.column_stack([a * np.sign(c) * abs(c) ** e, b * np.sign(s) * abs(s) ** e])
    return f"oval(across: {across:.3f} mm by {by:.3f} mm, fullness: {fullness})", points


def rounded(corners, radius, steps=SAMPLES // 4):
    """A convex polygon (counter-clockwise) with every corner rounded."""
    points = []
    n = len(corners)
    for i in range(n):
        p, q, s = corners[i - 1], corners[i], corners[(i + 1) % n]
        u, v = (q - p) / np.linalg.norm(q - p), (s - q) / np.linalg.norm(s - q)
        turn = math.atan2(u[0] * v[1] - u[1] * v[0], u @ v)
        inward = np.array([-u[1], u[0]])
        centre = q - u * radius * math.tan(turn / 2) + inward * radius
        start = math.atan2(-inward[1], -inward[0])
        t = np.linspace(start, start + turn, steps)
        points.append(centre + radius * np.column_stack([np.cos(t), np.sin(t)]))
    return np.vstack(points)


def rectangle(r):
    across, by, corner = r.uniform(60, 160), r.uniform(60, 160), r.uniform(5, 25)
    a, b = 0.5 * round(by, 3), 0.5 * round(across, 3)
    corners = np.array([[a, -b], [a, b], [-a, b], [-a, -b]])
    text = f"rectangle(across: {across:.3f} mm by {by:.3f} mm, corner: {corner:.3f} mm)"
    return text, rounded(corners, round(corner, 3))


KINDS = [circle, oval, rectangle]


@pytest.mark.parametrize("batch", range(PAIRS // A_PROP))
def test_flat_areas_are_the_hulls_sides(built, batch):
    r = random.Random(1000 + batch)
    lines = [
        'prop pairs { title: "Pairs of sections", of: film }',
        "stock film { as: card, thick: 0.001 mm, size: 2500 mm by 2500 mm, density: 900 kg/m3, neutral: 100 % }",
    ]
    expected = {}
    for i in range(A_PROP):
        tall = round(r.uniform(80, 400), 3)
        (lower, below), (upper, above) = r.choice(KINDS)(r), r.choice(KINDS)(r)
        facing = round(r.uniform(0, 360), 3)
        lines.append(
            f"shell wall_{i} {{ at 0 mm: {lower}, at {tall} mm: {upper}, seam: butt(facing: {facing} deg), rim: level }}"
        )
        hull = ConvexHull(np.vstack([np.insert(below, 2, 0, axis=1), np.insert(above, 2, tall, axis=1)]))
        # In two dimensions scipy calls the area of the hull its volume.
        expected[f"wall_{i}"] = hull.area - ConvexHull(below).volume - ConvexHull(above).volume
    _, report = built("\n".join(lines) + "\n")
    measured = {}
    for piece in report["pieces"]:
        measured[piece["part"]] = measured.get(piece["part"], 0.0) + piece["area"]
    assert measured.keys() == expected.keys()
    for name, area in expected.items():
        assert measured[name] == pytest.approx(area, rel=1e-5), f"{name}: {lines[2 + int(name[5:])]}"
