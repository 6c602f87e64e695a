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


def test_panels_have_the_area_of_the_hulls_flat_sides(built):
    """Walls between like polygons are flat panels: what they come to is the hull's area less its two ends."""
    r = random.Random(7)
    lines = [
        'prop frusta { title: "Frusta in panels", of: film }',
        "stock film { as: card, thick: 0.0001 mm, size: 2500 mm by 2500 mm, density: 900 kg/m3, neutral: 100 % }",
    ]
    expected = {}
    for i, sides in enumerate([3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 5, 6, 3, 4]):
        tall, spin = round(r.uniform(40, 300), 3), round(r.uniform(0, 90), 3)
        wide = [round(r.uniform(60, 260), 3) for _ in range(2)]
        ends = [f"polygon(sides: {sides}, across_corners: {w} mm, spin: {spin} deg)" for w in wide]
        lines.append(f"shell wall_{i} {{ at 0 mm: {ends[0]}, at {tall} mm: {ends[1]} }}")
        t = math.radians(spin) + (np.arange(sides) + 0.5) * 2 * math.pi / sides
        figures = [0.5 * w * np.column_stack([np.cos(t), np.sin(t)]) for w in wide]
        hull = ConvexHull(np.vstack([np.insert(figures[0], 2, 0, axis=1), np.insert(figures[1], 2, tall, axis=1)]))
        expected[f"wall_{i}"] = hull.area - sum(ConvexHull(f).volume for f in figures)
    _, report = built("\n".join(lines) + "\n")
    measured, rounded = {}, {}
    for piece in report["pieces"]:
        name = piece["part"].split(" ")[0]
        measured[name] = measured.get(name, 0.0) + piece["area"]
        # Corners are written in thousandths: each edge may lie half of one off.
        outline = sum(edge["neutral"] for edge in piece["edges"])
        rounded[name] = rounded.get(name, 0.0) + 0.0005 * outline
    assert measured.keys() == expected.keys()
    for name, area in expected.items():
        assert measured[name] == pytest.approx(area, abs=rounded[name]), name
